"""Commands on gear types: make one, change the one that is chosen."""

from __future__ import annotations

from app.commands.command import Commands
from rigcore.catalogue.gear import GearType


class GearCommands(Commands):
    """The gear part of the Edit menu."""

    def new(self) -> None:
        """Describe a gear type the catalogue lacks."""
        self._edit(None)

    def change(self) -> None:
        """Change the gear type of the chosen unit; a shipped type is copied first."""
        rig = self.desk.book.rig(self.desk.rig_id)
        units = [rig.unit(thing.id) for thing in self.desk.selection if thing.kind == "unit"]
        unit = next((one for one in units if one is not None), None)
        if unit is None:
            self.window.strip.say(self.tr("Choose a unit on the sheet first; its gear type is then opened"), "refused")
            return
        self._edit(self.desk.catalogue.gear_type(unit.gear), unit.id)

    def _edit(self, gear: GearType | None, unit_id: str = "") -> None:
        from app.dialogs.gear_editor import GearEditor

        self.run(GearEditor(self.desk, self.window.wardrobe.theme, gear, self.window, unit_id=unit_id))
