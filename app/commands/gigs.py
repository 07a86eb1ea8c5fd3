"""Commands on gigs and houses."""

from __future__ import annotations

from app.commands.command import Commands


class GigCommands(Commands):
    """The Gig menu."""

    def edit(self) -> None:
        """Open the gig's form."""
        from app.dialogs.gig_form import GigDialog

        self.run(GigDialog(self.desk, self.window))

    def new(self) -> None:
        """Bind a rig to a house."""
        from app.dialogs.gig_form import GigDialog

        self.run(GigDialog(self.desk, self.window, new=True))

    def edit_house(self) -> None:
        """Open the house's form."""
        from app.dialogs.house_form import HouseForm

        self.run(HouseForm(self.desk, self.window))
