"""Opening, saving, importing and exporting, with the questions they need. What to show is the window's business."""

from __future__ import annotations

import contextlib
from collections.abc import Callable
from pathlib import Path

from PySide6.QtCore import QObject, QRunnable, QThreadPool, Signal, SignalInstance
from PySide6.QtWidgets import QWidget

from app.desk import Desk
from app.dialogs.questions import Questions
from app.settings import Settings
from rigcore import resources
from rigcore.book import file as book_file
from rigcore.book.book import Book
from rigcore.book.ids import slug
from rigcore.errors import BookNotSaved, BookUnreadable, LoomwrightError

SAMPLE = "tandem.loom"
FINISH_MS = 20_000
"""How long leaving waits for a packet."""


class _Answer(QObject):
    """Carries a worker's result home to the interface thread."""

    done = Signal(object)
    failed = Signal(str)


class Job(QRunnable):
    """Runs a function off the interface thread; its refusals come back as one sentence."""

    def __init__(self, work: Callable[[], object]) -> None:
        super().__init__()
        self.setAutoDelete(False)
        self._work = work
        self.answer = _Answer()

    def run(self) -> None:
        """Do the work."""
        try:
            result = self._work()
        except LoomwrightError as refusal:
            self._tell(self.answer.failed, refusal.sentence)
        except Exception as error:
            self._tell(self.answer.failed, f"this did not work out ({error}); the book is unharmed")
        else:
            self._tell(self.answer.done, result)

    @staticmethod
    def _tell(signal: SignalInstance, what: object) -> None:
        with contextlib.suppress(RuntimeError):  # nobody is there any more when the program has ended
            signal.emit(what)


class BookFiles(QObject):
    """The book's way between desk and disk. ``said(sentence, tone)`` tells how it went."""

    said = Signal(str, str)
    busy = Signal(bool)
    recent_changed = Signal()
    exported = Signal(object)

    def __init__(self, desk: Desk, settings: Settings, window: QWidget) -> None:
        super().__init__(window)
        self._desk = desk
        self._settings = settings
        self._window = window
        self._job: Job | None = None
        self.ask = Questions()

    @property
    def name(self) -> str:
        """The book's name as shown."""
        return self._desk.path.name if self._desk.path else self.tr("This book")

    @property
    def is_busy(self) -> bool:
        """Whether a packet is being written."""
        return self._job is not None

    def may_leave(self) -> bool:
        """Return whether the book on the desk may go: it is saved, or the user has said so."""
        if self._desk.is_saved:
            return True
        answer = self.ask.unsaved(self._window, self.name)
        if answer == "save":
            return self.save()
        return answer == "discard"

    def new(self) -> None:
        """Put an empty plan on the desk."""
        if self.may_leave():
            self._desk.new()

    def open(self, path: Path | None = None) -> bool:
        """Open a book, asking which if none is given."""
        if not self.may_leave():
            return False
        path = path or self.ask.book_to_open(self._window, self._settings.folder)
        return self.open_now(path) if path is not None else False

    def open_now(self, path: Path) -> bool:
        """Open a book without asking about the present one."""
        try:
            self._desk.open(path)
        except BookUnreadable as refusal:
            self._settings.forget_book(path)
            self.recent_changed.emit()
            self.said.emit(refusal.sentence, "refused")
            return False
        self._remember(path)
        self.said.emit(self.tr("Opened {}").format(path.name), "done")
        return True

    def open_sample(self, name: str = SAMPLE) -> bool:
        """Put a copy of a shipped book on the desk; the shipped file is never written."""
        return self.open_copy(resources.samples() / name)

    def open_copy(self, path: Path) -> bool:
        """Put what a file holds on the desk as a book that lies nowhere yet."""
        try:
            book, _ = book_file.load(path, self._desk.shipped)
        except BookUnreadable as refusal:
            self.said.emit(refusal.sentence, "refused")
            return False
        self._desk.take(book, None)
        return True

    def take_unsaved(self, book: Book) -> None:
        """Put a book on the desk that lies nowhere yet and would be missed."""
        self._desk.take(book, None, saved=False)

    def save(self) -> bool:
        """Save the book where it lies, asking where if nowhere."""
        if self._desk.path is None:
            return self.save_as()
        return self._save_to(self._desk.path)

    def save_as(self) -> bool:
        """Save the book somewhere else."""
        gig = self._desk.book.gig(self._desk.gig_id)
        folder = Path(self._settings.folder) if self._settings.folder else Path.home()
        suggestion = self._desk.path or folder / f"{slug(gig.act or gig.name)}.loom"
        path = self.ask.book_to_save(self._window, str(suggestion))
        return self._save_to(path) if path is not None else False

    def export(self) -> None:
        """Write the packet into a folder the user picks, off the interface thread."""
        if self._job is not None:
            self.said.emit(self.tr("The packet is still being written"), "refused")
            return
        folder = self.ask.folder(self._window, self._settings.folder)
        if folder is None:
            return
        analysis, paper, feet = self._desk.analysis(), self._settings.paper, self._settings.feet

        def work() -> Path:
            from rigcore.paper.packet import write_packet

            return write_packet(analysis, folder, paper=paper, feet=feet)

        self._job = Job(work)
        self._job.answer.done.connect(self._exported)
        self._job.answer.failed.connect(self._not_exported)
        self.busy.emit(True)
        self.said.emit(self.tr("Writing the packet…"), "")
        QThreadPool.globalInstance().start(self._job)

    def finish(self) -> None:
        """Wait for a packet that is being written."""
        if self._job is not None:
            QThreadPool.globalInstance().waitForDone(FINISH_MS)

    def _exported(self, path: Path) -> None:
        self._end_job()
        self.said.emit(self.tr("The packet lies at {}").format(path), "done")
        self.exported.emit(path)

    def _not_exported(self, sentence: str) -> None:
        self._end_job()
        self.said.emit(sentence, "refused")

    def _end_job(self) -> None:
        self._job = None
        self.busy.emit(False)

    def _save_to(self, path: Path) -> bool:
        try:
            self._desk.save(path)
        except BookNotSaved as refusal:
            self.said.emit(refusal.sentence, "refused")
            return False
        self._remember(path)
        self.said.emit(self.tr("Saved {}").format(path), "done")
        return True

    def _remember(self, path: Path) -> None:
        self._settings.remember_book(path)
        self._settings.folder = str(path.absolute().parent)
        self.recent_changed.emit()
