"""Translations: the toolkit's own for its buttons, and ours where there is a file for the user's language."""

from __future__ import annotations

from pathlib import Path

from PySide6.QtCore import QLibraryInfo, QLocale, QTranslator
from PySide6.QtWidgets import QApplication

from rigcore import resources

OURS = "loomwright"


def load_translations(app: QApplication, locale: QLocale | None = None, folder: Path | None = None) -> list[str]:
    """Install what there is for a locale, by default the system's; returns the files taken.

    Ours lie in the assets as ``translations/loomwright_<language>.qm``; without one the words stay as written.
    """
    locale = locale if locale is not None else QLocale.system()
    folder = folder if folder is not None else resources.assets() / "translations"
    taken = []
    for name, place in (("qtbase", QLibraryInfo.path(QLibraryInfo.LibraryPath.TranslationsPath)), (OURS, str(folder))):
        translator = QTranslator(app)
        if translator.load(locale, name, "_", place) and app.installTranslator(translator):
            taken.append(Path(translator.filePath()).name)
    return taken
