"""Commands on gigs and houses."""

from __future__ import annotations

from app.commands.command import Commands
from rigcore.book.book import Book
from rigcore.book.edits.gigs import add_gig
from rigcore.book.edits.houses import add_house, add_rig, new_plan
from rigcore.book.edits.rebuild import checked
from rigcore.book.gig import Gig
from rigcore.book.ids import new_id
from rigcore.book.rig import Rig


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

    def edit_stock(self) -> None:
        """Open the player's stock."""
        from app.dialogs.stock_form import StockForm

        self.run(StockForm(self.desk, self.window))

    def take_reply(self) -> None:
        """Paste what the house of the gig in view has answered."""
        from app.dialogs.reply_form import ReplyForm

        self.run(ReplyForm(self.desk, self.window))

    def lifelines(self) -> None:
        """Say what falls silent if one thing dies, and what to do then."""
        from app.dialogs.lifelines import LifelinesDialog

        self.run(LifelinesDialog(self.desk, self.window))

    def compare(self) -> None:
        """Say what differs between two gigs of the book."""
        from app.dialogs.compare_form import CompareForm

        self.run(CompareForm(self.desk, self.window))

    def plans(self) -> None:
        """List all gigs, rigs and houses to copy, rename, put away or remove."""
        from app.dialogs.plans import PlansDialog

        self.run(PlansDialog(self.desk, self.window))

    def new_rig(self) -> None:
        """Begin an empty rig and bind it to the house in view."""
        book = self.desk.book
        name = self.tr("New rig")
        rig_id = new_id(name, {one.id for one in book.rigs})
        gig_name = self.tr("{} at {}").format(name, book.house(book.gig(self.desk.gig_id).house).name)
        gig_id = new_id(gig_name, {one.id for one in book.gigs})
        house_id = book.gig(self.desk.gig_id).house

        def make(old: Book) -> Book:
            new = add_rig(old, Rig(id=rig_id, name=name))
            return add_gig(new, Gig(id=gig_id, name=gig_name[:120], rig=rig_id, house=house_id))

        if self.desk.edit(self.tr("New rig"), make):
            self.desk.show_gig(gig_id)

    def new_house(self) -> None:
        """Begin a house of which little is known, and bind the rig in view to it."""
        book = self.desk.book
        name = self.tr("New house")
        house_id = new_id(name, {one.id for one in book.houses})
        rig_id = self.desk.rig_id
        gig_name = self.tr("{} at {}").format(book.rig(rig_id).name, name)
        gig_id = new_id(gig_name, {one.id for one in book.gigs})
        house = checked(new_plan(self.desk.shipped).houses[0], id=house_id, name=name)

        def make(old: Book) -> Book:
            new = add_house(old, house, self.desk.shipped)
            return add_gig(new, Gig(id=gig_id, name=gig_name[:120], rig=rig_id, house=house_id))

        if self.desk.edit(self.tr("New house"), make):
            self.desk.show_gig(gig_id)
            self.edit_house()
