"""The open book on its desk: the present snapshot, its history, its file, its selection.

The only object that changes. It says "changed from this to that"; views compare
the parts and touch what differs. It knows nothing of the trade.
"""

from __future__ import annotations

from collections.abc import Callable, Iterable, Iterator
from contextlib import contextmanager
from pathlib import Path
from typing import NamedTuple

from PySide6.QtCore import QObject, QTimer, Signal

from app.beside import Beside, Run
from rigcore.analysis import Analysis, analyse
from rigcore.book import file as book_file
from rigcore.book.book import Book
from rigcore.book.edits.houses import new_plan
from rigcore.book.edits.rebuild import checked
from rigcore.book.history import History
from rigcore.catalogue.catalogue import Catalogue
from rigcore.errors import LoomwrightError
from rigcore.rules.rule import Thing

LONG_S = 0.05
"""A check that took longer is made beside the interface thread the next time."""
LARGE = 300
"""So is the first check of a book with as many units and cables in its rig."""


class _Question(NamedTuple):
    """What is to be checked; a new one for every change, told apart by identity."""

    book: Book
    gig_id: str


class Desk(QObject):
    """Holds one book and lets everybody know.

    Signals carry plain objects. ``changed(old, new)`` follows every edit, undo,
    redo and opening; ``analysed(analysis)`` follows once the rules have run;
    ``checking(on)`` frames a check that takes long; ``selected(things)`` when the
    selection changes; ``refused(sentence)`` when an edit was impossible;
    ``titled()`` when name, file or saved state change.
    """

    changed = Signal(object, object)
    analysed = Signal(object)
    checking = Signal(bool)
    selected = Signal(object)
    refused = Signal(str)
    titled = Signal()

    def __init__(self, catalogue: Catalogue, parent: QObject | None = None) -> None:
        super().__init__(parent)
        self.shipped = catalogue
        self._history = History(new_plan(catalogue))
        self._gig_id: str | None = None
        self._saved: Book | None = self._history.present
        self._on_disk: book_file.OnDisk | None = None
        self._analysis: Analysis | None = None
        self._told: Analysis | None = None
        self._before: Analysis | None = None
        self._took_s: float | None = None
        self._question = _Question(self.book, self.gig_id)
        self._beside = Beside(self)
        self._beside.ended.connect(self._take_answer)
        self._selection: tuple[Thing, ...] = ()
        self._timer = QTimer(self)
        self._timer.setSingleShot(True)
        self._timer.setInterval(0)
        self._timer.timeout.connect(self._tell_analysis)

    @property
    def book(self) -> Book:
        """The present book."""
        return self._history.present

    @property
    def history(self) -> History:
        """Past and future of the present book."""
        return self._history

    @property
    def catalogue(self) -> Catalogue:
        """The shipped catalogue with the book's own gear."""
        return self.book.with_catalogue(self.shipped)

    @property
    def gig_id(self) -> str:
        """The gig in view."""
        ids = [gig.id for gig in self.book.gigs]
        return self._gig_id if self._gig_id in ids else ids[0]

    @property
    def rig_id(self) -> str:
        """The rig of the gig in view."""
        return self.book.gig(self.gig_id).rig

    @property
    def path(self) -> Path | None:
        """Where the book lies on disk, if anywhere."""
        return self._on_disk.path if self._on_disk else None

    @property
    def on_disk(self) -> book_file.OnDisk | None:
        """How the book lay on disk when it was last read or written, None if it lies nowhere."""
        return self._on_disk

    @property
    def is_saved(self) -> bool:
        """Whether the file holds what is on the desk."""
        return self.book == self._saved

    @property
    def selection(self) -> tuple[Thing, ...]:
        """The selected things, shared by all sheets."""
        return self._selection

    def analysis(self) -> Analysis:
        """Return the analysis of the present book and gig, made now if it is stale."""
        if self._analysis is None:
            question = self._question
            self._keep(self._beside.waited(question) or Run(question, self._work(question)).go())
        assert self._analysis is not None
        return self._analysis

    def latest(self) -> Analysis:
        """Return the analysis to show now: the present one, or the last one told while a long check is under way."""
        if self._analysis is None and self._told is not None and self._is_long:
            return self._told
        return self.analysis()

    def check_now(self) -> None:
        """Make the check that is due now, not when the interface next has nothing to do."""
        if self._timer.isActive():
            self._timer.stop()
            self._tell_analysis()

    def edit(self, words: str, change: Callable[[Book], Book]) -> bool:
        """Apply a pure edit; on refusal say why and return False."""
        try:
            book = change(self.book)
        except LoomwrightError as refusal:
            self.refused.emit(refusal.sentence)
            return False
        self._show(self._history.after(book, words))
        return True

    @contextmanager
    def refusals(self) -> Iterator[list[str]]:
        """Collect the sentences of refused edits while a dialog tries one, to say them beside the form."""
        said: list[str] = []
        self.refused.connect(said.append)
        try:
            yield said
        finally:
            self.refused.disconnect(said.append)

    def undo(self) -> None:
        """Go one step back."""
        self._show(self._history.undone())

    def redo(self) -> None:
        """Go one step on."""
        self._show(self._history.redone())

    def select(self, things: Iterable[Thing]) -> None:
        """Make these things the selection."""
        things = tuple(things)
        if things != self._selection:
            self._selection = things
            self.selected.emit(things)

    def show_gig(self, gig_id: str) -> None:
        """Bring another gig of the book into view."""
        if gig_id != self.gig_id:
            self._gig_id = gig_id
            self._told = None
            self._announce(self.book)

    def take(self, book: Book, on_disk: book_file.OnDisk | None, *, saved: bool = True) -> None:
        """Put another book on the desk; its history starts here.

        A book without a gig gets one beside what it has, so that there is always
        something in view. ``saved`` is False for a book that would be missed if
        it were closed unsaved, as one just imported.
        """
        old = self.book
        if not book.gigs:
            book = _with_gig(book, self.shipped)
        self._history = History(book)
        self._saved = book if saved else None
        self._on_disk = on_disk
        self._gig_id = self._told = self._before = self._took_s = None
        self.select(())
        self._announce(old)

    def new(self) -> None:
        """Put an empty plan on the desk."""
        self.take(new_plan(self.shipped), None)

    def open(self, path: Path) -> None:
        """Put the book in a file on the desk.

        Raises
        ------
        BookUnreadable
            If it cannot be read; the desk stays as it was.
        """
        book, on_disk = book_file.load(path, self.shipped)
        self.take(book, on_disk)

    def save(self, path: Path) -> None:
        """Write the book to a file.

        Raises
        ------
        BookNotSaved
            If it cannot be written; nothing is lost.
        """
        before = self._on_disk if self._on_disk and self._on_disk.path == path else None
        self._on_disk = book_file.save(self.book, path, before)
        self._saved = self.book
        self.titled.emit()

    def _show(self, history: History) -> None:
        if history is self._history:
            return
        old = self.book
        self._history = history
        self._announce(old)

    def _announce(self, old: Book) -> None:
        self._analysis = None
        self._question = _Question(self.book, self.gig_id)
        self.changed.emit(old, self.book)
        self.titled.emit()
        self._timer.start()

    # -- checking ------------------------------------------------------------------------------

    @property
    def _is_long(self) -> bool:
        """Whether the check would keep a hand waiting: the last one did, or the book is large."""
        if self._took_s is not None:
            return self._took_s > LONG_S
        rig = self.book.rig(self.rig_id)
        return len(rig.units) + len(rig.links) >= LARGE

    def _work(self, question: _Question) -> Callable[[], Analysis]:
        shipped, before = self.shipped, self._before
        return lambda: analyse(question.book, question.gig_id, shipped, before)

    def _tell_analysis(self) -> None:
        if self._analysis is None and self._is_long:
            self._beside.wish(self._question, self._work(self._question))
            self.checking.emit(True)
            return
        self._beside.forget()
        self._tell()

    def _take_answer(self, run: Run[Analysis]) -> None:
        """Take what was found beside; an edit since then has a timer running, and a check of its own to come."""
        if run.about is self._question:
            self._keep(run)
            self._tell()

    def _keep(self, run: Run[Analysis]) -> None:
        if run.error is not None:
            raise run.error
        self._analysis = self._before = run.result
        self._took_s = run.took_s

    def _tell(self) -> None:
        self._told = self.analysis()
        self.checking.emit(False)
        self.analysed.emit(self._told)


def _with_gig(book: Book, catalogue: Catalogue) -> Book:
    """Return the book with a first gig of its own first rig and house, or of an empty plan's."""
    plan = new_plan(catalogue)
    rigs, houses = book.rigs or plan.rigs, book.houses or plan.houses
    gig = checked(plan.gigs[0], rig=rigs[0].id, house=houses[0].id)
    return checked(book, rigs=rigs, houses=houses, gigs=(gig,))
