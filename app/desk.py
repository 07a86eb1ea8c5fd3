"""The open book on its desk: the present snapshot, its history, its file, its selection.

The only object that changes. It says "changed from this to that"; views compare
the parts and touch what differs. It knows nothing of the trade.
"""

from __future__ import annotations

from collections.abc import Callable, Iterable
from pathlib import Path

from PySide6.QtCore import QObject, QTimer, Signal

from rigcore.analysis import Analysis, analyse
from rigcore.book import file as book_file
from rigcore.book.book import Book
from rigcore.book.edits.houses import new_plan
from rigcore.book.edits.rebuild import checked
from rigcore.book.history import History
from rigcore.catalogue.catalogue import Catalogue
from rigcore.errors import LoomwrightError
from rigcore.rules.rule import Thing


class Desk(QObject):
    """Holds one book and lets everybody know.

    Signals carry plain objects. ``changed(old, new)`` follows every edit, undo,
    redo and opening; ``analysed(analysis)`` follows once the rules have run;
    ``selected(things)`` when the selection changes; ``refused(sentence)`` when an
    edit was impossible; ``titled()`` when name, file or saved state change.
    """

    changed = Signal(object, object)
    analysed = Signal(object)
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
            self._analysis = analyse(self.book, self.gig_id, self.shipped)
        return self._analysis

    def edit(self, words: str, change: Callable[[Book], Book]) -> bool:
        """Apply a pure edit; on refusal say why and return False."""
        try:
            book = change(self.book)
        except LoomwrightError as refusal:
            self.refused.emit(refusal.sentence)
            return False
        self._show(self._history.after(book, words))
        return True

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
        self._gig_id = None
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
        self.changed.emit(old, self.book)
        self.titled.emit()
        self._timer.start()

    def _tell_analysis(self) -> None:
        self.analysed.emit(self.analysis())


def _with_gig(book: Book, catalogue: Catalogue) -> Book:
    """Return the book with a first gig of its own first rig and house, or of an empty plan's."""
    plan = new_plan(catalogue)
    rigs, houses = book.rigs or plan.rigs, book.houses or plan.houses
    gig = checked(plan.gigs[0], rig=rigs[0].id, house=houses[0].id)
    return checked(book, rigs=rigs, houses=houses, gigs=(gig,))
