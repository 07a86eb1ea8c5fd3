"""What stands above the sheet at the start: first steps, or work left behind by a fall. All of it can be put away."""

from __future__ import annotations

from collections.abc import Callable
from pathlib import Path

from PySide6.QtCore import QObject
from PySide6.QtWidgets import QVBoxLayout, QWidget

from app.desk import Desk
from app.dialogs.book_files import SAMPLE, BookFiles
from app.dialogs.kept_work import KeptWork, forget
from app.panes.strip import HintStrip
from app.settings import Settings
from rigcore import resources

FIRST_STEPS = (
    "Drag gear from the shelf onto the sheet, then drag from one port to another to lay a cable.",
    "Take a cable down to a tile of the house line: the list under Inputs follows by itself.",
    "Read a finding below and press its remedy; Ctrl+Z takes any step back.",
)


class Welcome(QObject):
    """Puts a strip of sentences at the top of a column, one at a time."""

    def __init__(self, column: QVBoxLayout, files: BookFiles, kept: KeptWork, parent: QWidget) -> None:
        super().__init__(parent)
        self._column = column
        self._files = files
        self._kept = kept
        self.hint: HintStrip | None = None

    def greet(self, desk: Desk, settings: Settings, *, first: bool) -> None:
        """Offer work left behind; else, on the very first start, open the sample with the first steps."""
        left = self._kept.orphan()
        if left is not None:
            self._offer(left, desk)
        elif first and (resources.samples() / SAMPLE).is_file():
            self._files.open_sample()
            if not settings.greeted:
                self.first_steps(settings)

    def first_steps(self, settings: Settings) -> None:
        """Show three sentences of what to try."""
        hint = self._put("\n".join(self.tr(one) for one in FIRST_STEPS))
        hint.put_away.connect(lambda: setattr(settings, "greeted", True))

    def tell_changed(self, desk: Desk) -> None:
        """Say that somebody else wrote the file, and offer to read it again."""
        path = desk.path
        if path is None:
            return
        words = self.tr("{} was changed by somebody else. What you have here stays until you decide.")
        hint = self._put(words.format(path.name), self.tr("Read it again"), lambda: self._read_again(path))
        hint.put_away.connect(lambda: self._files.said.emit(self.tr("Yours stays; save it under another name"), ""))

    def _read_again(self, path: Path) -> None:
        if self._files.may_leave() and self._files.open_now(path):
            self.put_away()

    def put_away(self) -> None:
        """Take the strip off."""
        if self.hint is not None:
            self._column.removeWidget(self.hint)
            self.hint.hide()
            self.hint.deleteLater()
            self.hint = None

    def _put(self, words: str, act: str = "", do: Callable[[], None] | None = None) -> HintStrip:
        self.put_away()
        self.hint = HintStrip(words, act)
        self.hint.put_away.connect(self.put_away)
        if do is not None:
            self.hint.acted.connect(do)
        self._column.insertWidget(0, self.hint)
        return self.hint

    def _offer(self, left: Path, desk: Desk) -> None:
        words = self.tr("Work from last time was not saved, and kept.")
        hint = self._put(words, self.tr("Open it"), lambda: self._open(left, desk))
        hint.put_away.connect(lambda: forget(left))

    def _open(self, left: Path, desk: Desk) -> None:
        if not self._files.may_leave() or not self._files.open_copy(left):
            return
        self._files.take_unsaved(desk.book)
        if self._kept.keep() is not None:
            forget(left)
        self.put_away()
        self._files.said.emit(self.tr("Here is the work from last time; save it"), "done")
