"""Notices when the open book's file is changed by somebody else, and says so once for each change."""

from __future__ import annotations

from PySide6.QtCore import QFileSystemWatcher, QObject, QTimer, Signal

from app.desk import Desk
from rigcore.book.file import is_changed_on_disk

SETTLE_MS = 200
"""Writers replace a file in several steps; it is looked at when they are done."""


class DiskWatch(QObject):
    """Watches the file of the book on the desk. ``changed()`` when it no longer is what was read or written last."""

    changed = Signal()

    def __init__(self, desk: Desk, parent: QObject | None = None) -> None:
        super().__init__(parent)
        self._desk = desk
        self._told: object = None
        self._watcher = QFileSystemWatcher(self)
        self._settle = QTimer(self)
        self._settle.setSingleShot(True)
        self._settle.setInterval(SETTLE_MS)
        self._settle.timeout.connect(self.look)
        self._watcher.fileChanged.connect(lambda _path: self._settle.start())
        self._watcher.directoryChanged.connect(lambda _path: self._settle.start())
        desk.titled.connect(self._follow)

    def look(self) -> None:
        """Compare the file with what is known of it."""
        on_disk = self._desk.on_disk
        if on_disk is None:
            return
        self._follow()  # a file that was replaced is no longer watched
        if on_disk is not self._told and is_changed_on_disk(on_disk):
            self._told = on_disk
            self.changed.emit()

    def _follow(self) -> None:
        """Watch the file in its folder, and nothing else."""
        on_disk = self._desk.on_disk
        wanted = [] if on_disk is None else [str(on_disk.path), str(on_disk.path.parent)]
        watched = [*self._watcher.files(), *self._watcher.directories()]
        for path in watched:
            if path not in wanted:
                self._watcher.removePath(path)
        for path in wanted:
            if path not in watched:
                self._watcher.addPath(path)
