"""The solver beside the interface thread: one question at a time, with progress, a way to stop, and no stale answers.

What is asked is a word and a book; the answers are records ready to be shown.
"""

from __future__ import annotations

import threading
from collections.abc import Callable, Sequence
from typing import Any

from msgspec import Struct, field
from PySide6.QtCore import QObject, QTimer, Signal

from app.beside import Beside, Run
from rigcore.book.book import Book
from rigcore.catalogue.catalogue import Catalogue
from rigcore.errors import LoomwrightError

TELL_MS = 100


class Stopped(LoomwrightError):
    """The user stopped the work before there was anything to show."""


class Proposal(Struct, frozen=True, eq=False):
    """A fit ready to be shown: the fit, its rows by hand-off, the proof in words, and what is short."""

    fit: Any
    rows: dict[str, Any]
    proof: str
    sentences: tuple[str, ...]
    lines: int | None = None


class Tour(Struct, frozen=True, eq=False):
    """The kit of all gigs as rows, what each gig takes of it, and how large it is in words."""

    words: str
    kit: Sequence[Any]
    gigs: Sequence[tuple[str, Sequence[Any]]]


class Task(Struct, eq=False):
    """One question under way; the worker writes how far it is, the interface thread may stop it."""

    book: Book
    gig_id: str
    halt: threading.Event = field(default_factory=threading.Event)
    sought: int = 0
    where: Any = None

    def watch(self, where: Any) -> bool:
        """Take how a solve stands; answer whether to go on."""
        self.where = where
        return not self.halt.is_set()


class Chains:
    """Finds chains for one patch and remembers them, so that asking otherwise about the same gig is quick."""

    def __init__(self, task: Task, patch: Any) -> None:
        self.task, self.patch = task, patch
        self._known: dict[object, Sequence[Any]] = {}

    def __call__(self, patch: Any, hand_off: Any, socket: Any, stock: Any, *, length_m: Any, buy: bool) -> Any:
        """Return the cheapest chains; a stop ends the search between two of them."""
        from rigcore.solve.chains import chains_to

        if self.task.halt.is_set():
            raise Stopped("stopped while looking for chains; nothing is proposed, and what is landed stays as it is")
        key = (hand_off.id, socket.id, frozenset(stock.items()), length_m, buy) if patch is self.patch else None
        if key is not None and key in self._known:
            return self._known[key]
        self.task.sought += 1
        found = chains_to(patch, hand_off, socket, stock, length_m=length_m, buy=buy)
        if key is not None:
            self._known[key] = found
        return found


class Solving(QObject):
    """Asks the core. ``answered(answer)`` with a record, ``failed(sentence)``, ``moved()`` while it works."""

    answered = Signal(object)
    failed = Signal(str)
    moved = Signal()

    def __init__(self, catalogue: Catalogue, parent: QObject | None = None) -> None:
        super().__init__(parent)
        self._catalogue = catalogue
        self._beside = Beside(self)
        self._beside.ended.connect(self._take)
        self.task: Task | None = None
        self._chains: Chains | None = None
        self._pulse = QTimer(self)
        self._pulse.setInterval(TELL_MS)
        self._pulse.timeout.connect(self.moved)
        self._tasks: list[Task] = []
        # Leaving must not wait for a long search: the worker is joined when this goes.
        tasks = self._tasks
        self.destroyed.connect(lambda: [one.halt.set() for one in tasks])

    @property
    def is_busy(self) -> bool:
        """Whether a question is under way."""
        return self.task is not None

    def stop(self) -> None:
        """End the work; the best so far is told, with its gaps."""
        if self.task is not None:
            self.task.halt.set()

    def drop(self) -> None:
        """End the work and tell nothing of it: the book has changed."""
        self.stop()
        self._beside.forget()
        self._end()

    def propose(self, book: Book, gig_id: str, *, fresh: bool = False, lines: int | None = None) -> None:
        """Ask for the best fit, or for the best one on so many lines."""
        self._ask(Task(book, gig_id), lambda task: _propose(self._for(task), fresh=fresh, lines=lines))

    def land(self, book: Book, gig_id: str, hand_off: str, socket: str) -> None:
        """Ask for the cheapest chain between a hand-off and a socket."""
        self._ask(Task(book, gig_id), lambda task: _land(self._for(task), hand_off, socket))

    def tour(self, book: Book, gig_id: str) -> None:
        """Ask for the smallest kit for all gigs of the book."""
        self._ask(Task(book, gig_id), lambda task: _tour(task, self._catalogue))

    def _ask(self, task: Task, work: Callable[[Task], object]) -> None:
        self.stop()
        self.task = task
        self._tasks[:] = [task]
        self._beside.wish(task, lambda: work(task))
        self._pulse.start()

    def _for(self, task: Task) -> Chains:
        """Return the chains known for the patch of a task. Runs in the worker, of which there is one."""
        from rigcore.patch.build import build_patch

        known = self._chains
        if known is None or known.task.book is not task.book or known.task.gig_id != task.gig_id:
            known = Chains(task, build_patch(task.book, task.gig_id, self._catalogue))
            self._chains = known
        known.task = task
        return known

    def _take(self, run: Run[object]) -> None:
        if run.about is not self.task:
            return
        self._end()
        if isinstance(run.error, LoomwrightError):
            self.failed.emit(run.error.sentence)
        elif run.error is not None:
            self.failed.emit(self.tr("this did not work out ({}); the book is unharmed").format(run.error))
        else:
            self.answered.emit(run.result)

    def _end(self) -> None:
        self.task = None
        self._pulse.stop()


def _propose(chains: Chains, *, fresh: bool, lines: int | None) -> Proposal:
    from rigcore.lists.fit_list import fit_rows, fit_sentences, proof_words
    from rigcore.solve.budget import budget
    from rigcore.solve.fit import fit
    from rigcore.solve.fit_question import Asked

    asked, watch = Asked(fresh=fresh, found=chains), chains.task.watch
    found = fit(chains.patch, asked, watch) if lines is None else budget(chains.patch, lines, asked, watch).fit
    try:
        # Stopped, the reasons are left alone: each is a solve of its own.
        sentences = () if found.answer.stopped else fit_sentences(found)
    except Stopped:
        sentences = ()
    return Proposal(found, {row.hand_off: row for row in fit_rows(found)}, proof_words(found), sentences, lines)


def _land(chains: Chains, hand_off: str, socket: str) -> object:
    from rigcore.solve.pin import pin

    return pin(chains.patch, hand_off, socket, chains)


def _tour(task: Task, catalogue: Catalogue) -> Tour:
    from rigcore.lists.tour_list import gig_rows, kit_rows, tour_words
    from rigcore.solve.fit_question import Asked
    from rigcore.solve.tour import tour_kit

    tour = tour_kit(task.book, catalogue, asked=Asked(found=Chains(task, None)), watch=task.watch)
    return Tour(tour_words(tour), kit_rows(tour), gig_rows(tour))
