"""Two gigs compared: what differs in patch, landings, settings, places and what is carried."""

from __future__ import annotations

from itertools import groupby

from PySide6.QtWidgets import QWidget

from app.desk import Desk
from app.dialogs.sheet_dialog import SheetDialog, say
from app.panes.top_bar import gig_words
from rigcore.lists.gig_difference import TITLES, gig_difference
from rigcore.patch.build import build_patch


class CompareForm(SheetDialog):
    """The gig in view beside another one of the book."""

    def __init__(self, desk: Desk, parent: QWidget | None = None) -> None:
        super().__init__(say("Compare two gigs"), say("Close"), parent)
        self._desk = desk
        self.no.hide()
        gigs = desk.book.gigs
        names = [(gig_words(desk.book, gig), gig.id) for gig in gigs]
        at = [gig.id for gig in gigs].index(desk.gig_id)
        self._old, self._new = gigs[at - 1].id if len(gigs) > 1 else gigs[0].id, desk.gig_id
        self.form.title(self.tr("What differs"), "")
        self.old = self.form.choice(self.tr("From"), names, self._old, self._take_old)
        self.new = self.form.choice(self.tr("To"), names, self._new, self._take_new)
        self.told = self.form.say("")
        self.form.finish()
        self.compare()
        self.resize(620, 560)

    def compare(self) -> None:
        """Say what differs between the two chosen."""
        old, new = (build_patch(self._desk.book, one, self._desk.shipped) for one in (self._old, self._new))
        lines: list[str] = []
        for part, changes in groupby(gig_difference(old, new).changes, key=lambda one: one.part):
            lines += ["", self.tr(TITLES[part]), *(f"  {one.words}" for one in changes)]
        same = self.tr("Nothing differs.")
        if old.gig.id == new.gig.id:
            same = self.tr("This is one gig twice: choose another. New gig in the Gig menu makes one.")
        self.told.setText("\n".join(lines).strip() or same)

    def _take_old(self, gig_id: str) -> None:
        self._old = gig_id
        self.compare()

    def _take_new(self, gig_id: str) -> None:
        self._new = gig_id
        self.compare()
