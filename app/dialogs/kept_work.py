"""Unsaved work, kept beside: written when the hands rest, offered again after the program fell over."""

from __future__ import annotations

import contextlib
import os
from pathlib import Path

from PySide6.QtCore import QLockFile, QObject, QStandardPaths, QTimer

from app.desk import Desk
from rigcore.book import file as book_file
from rigcore.errors import LoomwrightError

REST_MS = 2_000


def state_folder() -> Path:
    """Return the folder of the user's state."""
    places = QStandardPaths.StandardLocation
    return Path(QStandardPaths.writableLocation(places.GenericStateLocation)) / "loomwright"


class KeptWork(QObject):
    """Keeps a copy of unsaved work in a folder, one file for each running program."""

    def __init__(self, desk: Desk, folder: Path, parent: QObject | None = None) -> None:
        super().__init__(parent)
        self._desk = desk
        self.folder = folder
        self._lock: QLockFile | None = None
        self._rest = QTimer(self)
        self._rest.setSingleShot(True)
        self._rest.setInterval(REST_MS)
        self._rest.timeout.connect(self.keep)
        desk.titled.connect(self._changed)

    @property
    def file(self) -> Path:
        """Where this program keeps its work."""
        return self.folder / f"kept-{os.getpid()}.loom"

    def keep(self) -> Path | None:
        """Write the work now; nothing is raised, for this may run while all is falling."""
        if self._desk.is_saved:
            return None
        try:
            self.folder.mkdir(parents=True, exist_ok=True)
            if self._lock is None:
                self._lock = QLockFile(str(self.file) + ".lock")
                self._lock.setStaleLockTime(0)
                self._lock.tryLock(0)
            book_file.save(self._desk.book, self.file)
        except (LoomwrightError, OSError):
            return None
        return self.file

    def drop(self) -> None:
        """Throw the copy away: the work is saved, or not wanted."""
        self._rest.stop()
        for path in (self.file, self.file.with_name(self.file.name + ".backup")):
            with contextlib.suppress(OSError):
                path.unlink(missing_ok=True)
        if self._lock is not None:
            self._lock.unlock()
            self._lock = None

    def orphan(self) -> Path | None:
        """Return the latest work a program left behind that is no longer running."""
        found = [path for path in self.folder.glob("kept-*.loom") if path != self.file and _is_left(path)]
        return max(found, key=lambda path: path.stat().st_mtime, default=None)

    def _changed(self) -> None:
        if self._desk.is_saved:
            self.drop()
        else:
            self._rest.start()


def forget(path: Path) -> None:
    """Remove work that was offered and is settled."""
    for one in (path, path.with_name(path.name + ".backup"), Path(str(path) + ".lock")):
        with contextlib.suppress(OSError):
            one.unlink(missing_ok=True)


def _is_left(path: Path) -> bool:
    lock = QLockFile(str(path) + ".lock")
    lock.setStaleLockTime(0)
    if not lock.tryLock(0):
        return False
    lock.unlock()
    return True
