"""The card of a gear type as the Patch sheet will draw it."""

from __future__ import annotations

from PySide6.QtCore import Qt, QTimer
from PySide6.QtWidgets import QVBoxLayout, QWidget

from app.desk import Desk
from app.theme import Theme
from rigcore.book.book import empty_book
from rigcore.book.edits.rebuild import checked
from rigcore.book.gig import Gig
from rigcore.book.house import House
from rigcore.book.rig import Rig, Unit
from rigcore.catalogue.catalogue import Catalogue
from rigcore.catalogue.gear import GearType


class GearPreview(QWidget):
    """A Patch sheet of its own with one card on it; it can be looked at and nothing else."""

    def __init__(self, catalogue: Catalogue, theme: Theme, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        from app.canvas.patch_view import PatchSheet

        self._desk = Desk(catalogue, self)
        self.sheet = PatchSheet(self._desk, theme)
        self.sheet.setAttribute(Qt.WidgetAttribute.WA_TransparentForMouseEvents)
        self.sheet.setFocusPolicy(Qt.FocusPolicy.NoFocus)
        # Nothing can be dragged here: the sheet's own hint would mislead.
        self.sheet.hint = lambda: "" if self.sheet.patch.plan.cards else self.tr("Its card comes once it has a name.")
        self.setMinimumSize(260, 200)
        column = QVBoxLayout(self)
        column.setContentsMargins(0, 0, 0, 0)
        column.addWidget(self.sheet)

    def show_gear(self, gear: GearType) -> None:
        """Show the card of a gear type."""
        book = checked(
            empty_book(), gear=(gear,),
            rigs=(Rig(id="rig", name="Rig", units=(Unit(id="unit", name=gear.name, gear=gear.id),)),),
            houses=(House(id="house", name="House"),),
            gigs=(Gig(id="gig", name="Gig", rig="rig", house="house"),),
        )
        self._desk.take(book, None)
        QTimer.singleShot(0, self, self.sheet.zoom_to_fit)
