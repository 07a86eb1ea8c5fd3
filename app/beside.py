"""Work beside the interface thread, for a check that takes long: one at a time, and the latest wish wins.

The worker touches no Qt: its end is looked for by a timer of the interface thread,
so that a desk may go at any moment. While it works the search for garbage rests,
for it would run in whichever thread comes first and throw widgets away in the wrong
one; and the interpreter changes hands often, so that a frame waits for the worker
half a millisecond and not five.
"""

from __future__ import annotations

import gc
import sys
import threading
import time
from collections.abc import Callable, Iterator
from contextlib import contextmanager
from typing import Generic, TypeVar

from msgspec import Struct, field
from PySide6.QtCore import QObject, QTimer, Signal

Found = TypeVar("Found")

LOOK_MS = 3
"""How often the end of the work is looked for."""
USUAL_TURN_S = sys.getswitchinterval()
TURN_S = 0.0005
"""How long one thread may keep the interpreter while the work runs."""


class Run(Struct, Generic[Found], eq=False):
    """One piece of work: what it is about, what came of it, and the seconds of its own it took."""

    about: object
    work: Callable[[], Found]
    result: Found | None = None
    error: BaseException | None = None
    took_s: float = 0.0

    def go(self) -> Run[Found]:
        """Do the work here and now; what goes wrong is kept for whoever takes the result."""
        begun = time.thread_time()
        try:
            with _unswept():
                self.result = self.work()
        except Exception as error:
            self.error = error
        self.took_s = time.thread_time() - begun
        return self


@contextmanager
def _unswept() -> Iterator[None]:
    """Let the search for garbage rest: next to all that a check makes lives to its end."""
    if not gc.isenabled():
        yield
        return
    gc.disable()
    try:
        yield
    finally:
        gc.enable()


class _Hand(Struct, eq=False):
    """The thread at work, and how the interpreter was before it began."""

    thread: threading.Thread | None = None
    swept: bool = field(default=True)

    def begin(self, run: Run[Found]) -> None:
        self.swept = gc.isenabled()
        gc.disable()
        sys.setswitchinterval(TURN_S)
        self.thread = threading.Thread(target=run.go, name="check")
        self.thread.start()

    def end(self) -> None:
        """Wait for the work, and leave the interpreter as it was."""
        if self.thread is None:
            return
        self.thread.join()
        self.thread = None
        sys.setswitchinterval(USUAL_TURN_S)
        if self.swept:
            gc.enable()


class Beside(QObject):
    """Runs work off the interface thread. ``ended(run)`` tells of what nobody has wished away since."""

    ended = Signal(object)

    def __init__(self, parent: QObject | None = None) -> None:
        super().__init__(parent)
        self._hand = hand = _Hand()
        self._now: Run[object] | None = None
        self._next: Run[object] | None = None
        self._look = QTimer(self)
        self._look.setInterval(LOOK_MS)
        self._look.timeout.connect(self._see)
        self.destroyed.connect(lambda: hand.end())

    @property
    def is_busy(self) -> bool:
        """Whether work is under way."""
        return self._now is not None

    def wish(self, about: object, work: Callable[[], object]) -> None:
        """Have this done, in place of what is waiting and instead of telling what is under way."""
        self._next = Run(about, work)
        if self._now is None:
            self._begin()

    def waited(self, about: object) -> Run[object] | None:
        """Wait for the work under way if it is about this very thing, and return it; it is told all the same."""
        if self._now is None or self._now.about is not about:
            return None
        self._hand.end()
        return self._now

    def forget(self) -> None:
        """Tell of nothing that is under way or waiting."""
        self._next = None
        if self._now is not None:
            self._now.about = None

    def _begin(self) -> None:
        self._now, self._next = self._next, None
        if self._now is not None:
            self._hand.begin(self._now)
            self._look.start()

    def _see(self) -> None:
        if self._now is None or (self._hand.thread is not None and self._hand.thread.is_alive()):
            return
        self._look.stop()
        self._hand.end()
        done = self._now
        self._now = None
        if self._next is not None:
            self._begin()
        elif done.about is not None:
            self.ended.emit(done)
