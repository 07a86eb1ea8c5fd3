"""Starts the window: fonts, face, the book to open, and what happens if something goes wrong inside."""

from __future__ import annotations

import builtins
import contextlib
import gc
import sys
import traceback
from collections.abc import Iterator, Sequence
from pathlib import Path
from types import TracebackType
from typing import TYPE_CHECKING

from PySide6.QtCore import QRectF, QSize, Qt
from PySide6.QtGui import QColor, QFont, QPainter, QPixmap
from PySide6.QtWidgets import QApplication, QLabel

if TYPE_CHECKING:
    from app.window import MainWindow

NAME = "loomwright"
TROUBLE = "last-trouble.txt"


def main(argv: Sequence[str] | None = None) -> int:
    """Start with an optional book: ``python -m app [BOOK]`` or ``--sample``."""
    words = list(sys.argv[1:] if argv is None else argv)
    sample = "--sample" in words
    books = [word for word in words if not word.startswith("-")]
    return run(Path(books[0]) if books else None, sample)


def run(path: Path | None, sample: bool = False) -> int:
    """Open the window on a book, on a copy of the sample, or as left to the user; returns the exit code."""
    window = begin(path, sample)
    app = application()
    mend = sys.excepthook
    sys.excepthook = hook_for(window)
    # Qt 6.11 leaves its own quitting out when the window goes in the first moments, or while a packet is written:
    # it is done here instead, not here as well, for a second quitting would end the next loop as it begins.
    app.setQuitOnLastWindowClosed(False)
    app.lastWindowClosed.connect(app.quit)
    try:
        return app.exec()
    finally:
        app.lastWindowClosed.disconnect(app.quit)
        app.setQuitOnLastWindowClosed(True)
        sys.excepthook = mend


def begin(path: Path | None, sample: bool = False) -> MainWindow:
    """Show the front cloth, and in its place the window as soon as there is one."""
    # What is fetched now stays for good, catalogue and libraries: searched for garbage as it grows, it would come
    # a tenth later; searched at every edit, it would double an edit's cost.
    gc.disable()
    try:
        app = application()
        cloth = front_cloth()
        cloth.show()
        app.processEvents()
        with plain_imports():
            window = open_window(app, path, sample)
        cloth.close()
    finally:
        gc.freeze()
        gc.enable()
    return window


@contextlib.contextmanager
def plain_imports() -> Iterator[None]:
    """Let the interpreter import without the toolkit looking on.

    The toolkit reads the source of every module, ours and others', to see whether it wants Qt's names spelled
    otherwise. None here does, and reading some 500 files takes a tenth of the start.
    """
    watched = builtins.__import__
    builtins.__import__ = getattr(builtins, "__orig_import__", watched)
    try:
        yield
    finally:
        builtins.__import__ = watched


def front_cloth() -> QLabel:
    """Return the picture shown while the rest is fetched: all of it is Qt alone, so it is there at once."""
    from app.theme import BLACKOUT, FAMILY, PAPER

    dark = QApplication.styleHints().colorScheme() == Qt.ColorScheme.Dark
    theme = BLACKOUT if dark else PAPER
    ratio = QApplication.primaryScreen().devicePixelRatio()
    cloth = QPixmap(QSize(420, 132) * ratio)
    cloth.setDevicePixelRatio(ratio)
    cloth.fill(QColor(theme.bar))
    painter = QPainter(cloth)
    painter.setRenderHint(QPainter.RenderHint.Antialiasing)
    tape = QRectF(60, 38, 300, 56)
    painter.fillRect(tape, QColor(theme.tape))
    font = QFont(FAMILY, 20)
    font.setWeight(QFont.Weight.Bold)
    painter.setFont(font)
    painter.setPen(QColor(theme.text))
    painter.drawText(tape, Qt.AlignmentFlag.AlignCenter, "Loomwright")
    painter.end()
    # The toolkit's own splash screen waits up to a second for its first frame; a label does not.
    label = QLabel(None, Qt.WindowType.SplashScreen | Qt.WindowType.FramelessWindowHint)
    label.setPixmap(cloth)
    label.resize(cloth.deviceIndependentSize().toSize())
    label.move(QApplication.primaryScreen().availableGeometry().center() - label.rect().center())
    return label


def application() -> QApplication:
    """Return the application with its name and faces; the one that exists if there is one."""
    from app.theme import load_fonts
    from app.translate import load_translations

    app = QApplication.instance()
    if not isinstance(app, QApplication):
        app = QApplication(sys.argv[:1])
        load_translations(app)
    app.setOrganizationName(NAME)
    app.setApplicationName(NAME)
    app.setApplicationDisplayName("")
    app.setDesktopFileName(NAME)
    load_fonts()
    return app


def open_window(app: QApplication, path: Path | None, sample: bool = False) -> MainWindow:
    """Return the window, shown and painted, with the book on its desk."""
    from app.desk import Desk
    from app.panes.dress import Wardrobe
    from app.settings import Settings
    from app.window import MainWindow
    from rigcore.catalogue.loader import shipped

    settings = Settings()
    wardrobe = Wardrobe(app, settings)
    desk = Desk(shipped())
    window = MainWindow(desk, settings, wardrobe)
    wardrobe.setParent(window)
    desk.setParent(window)
    if path is not None:
        window.files.open_now(path)
    elif sample:
        window.files.open_sample()
    # Checked before anybody looks: panes are laid out and sheets painted once, not twice.
    desk.check_now()
    window.details.refresh()
    wardrobe.wear()
    window.show()
    window.greet(first=path is None and not sample and not settings.recent)
    return window


def hook_for(window: MainWindow) -> object:
    """Return what to do with an exception nobody caught: one sentence, and the work kept."""

    def hook(kind: type[BaseException], error: BaseException, trace: TracebackType | None) -> None:
        if issubclass(kind, KeyboardInterrupt):
            sys.__excepthook__(kind, error, trace)
            return
        with contextlib.suppress(OSError):
            window.kept.folder.mkdir(parents=True, exist_ok=True)
            lines = traceback.format_exception(kind, error, trace)
            (window.kept.folder / TROUBLE).write_text("".join(lines), encoding="utf-8")
        window.tell_trouble()

    return hook


if __name__ == "__main__":
    raise SystemExit(main())
