"""What every form of the details pane has: the desk, one way to edit, and the findings of its thing."""

from __future__ import annotations

from collections.abc import Callable

from PySide6.QtCore import Qt, Signal
from PySide6.QtWidgets import QHBoxLayout, QWidget

from app.desk import Desk
from app.panes.forms.fields import Form, plain
from app.panes.ladder import LadderBox
from app.panes.marks import Badge
from rigcore.book.book import Book
from rigcore.book.gig import Gig
from rigcore.book.house import House
from rigcore.book.rig import Owner, Rig
from rigcore.catalogue.catalogue import Catalogue
from rigcore.lists.gain_list import ladders_about
from rigcore.rules.rule import Finding, Thing

OWNERS: tuple[tuple[str, Owner], ...] = (("we bring it", "rig"), ("the house supplies it", "house"))


class ThingForm(Form):
    """A form about one thing of the book on the desk.

    ``asked(id)`` names an action of the window the user wants, ``show_things``
    what should be brought into view.
    """

    asked = Signal(str)
    show_things = Signal(object)

    def __init__(self, desk: Desk, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self.desk = desk

    @property
    def catalogue(self) -> Catalogue:
        """The whole catalogue of the book."""
        return self.desk.catalogue

    @property
    def gig(self) -> Gig:
        """The gig in view."""
        return self.desk.book.gig(self.desk.gig_id)

    @property
    def rig(self) -> Rig:
        """The rig in view."""
        return self.desk.book.rig(self.desk.rig_id)

    @property
    def house(self) -> House:
        """The house in view."""
        return self.desk.book.house(self.gig.house)

    def edit(self, words: str, change: Callable[[Book], Book]) -> bool:
        """Make an edit; a refusal is told by the desk."""
        return self.desk.edit(words[:1].upper() + words[1:], change)

    def owners(self) -> list[tuple[str, Owner]]:
        """Return the two suppliers in words."""
        return [(self.tr(words), owner) for words, owner in OWNERS]

    def ladder_of(self, thing: Thing) -> None:
        """Add the ladders of the lines a thing lies on; nothing where there is none."""
        ladders = ladders_about(self.desk.latest().patch, thing)
        if ladders:
            self.heading(self.tr("Ladder"))
            self.add(LadderBox(ladders))

    def findings_about(self, *things: Thing) -> None:
        """Add the findings that concern these things."""
        ids = {(one.kind, one.id) for one in things}
        about = [
            one for one in self.desk.latest().findings if any((t.kind, t.id) in ids for t in one.things)
        ]
        if not about:
            return
        self.heading(self.tr("Findings here"))
        for finding in about[:6]:
            self.add(_line(finding))
        if len(about) > 6:
            self.say(self.tr("and {} more in the list below").format(len(about) - 6), "soft")


def _line(finding: Finding) -> QWidget:
    line = QWidget()
    row = QHBoxLayout(line)
    row.setContentsMargins(0, 0, 0, 0)
    row.setSpacing(8)
    badge = Badge(finding.severity, side=20)
    row.addWidget(badge, 0, Qt.AlignmentFlag.AlignTop)
    row.addWidget(plain(finding.sentence), 1)
    return line
