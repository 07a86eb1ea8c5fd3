"""Taking a book in from two to four spreadsheets: pick the files, read every problem, take all or nothing."""

from __future__ import annotations

from collections.abc import Callable
from pathlib import Path

from PySide6.QtWidgets import QFileDialog, QHBoxLayout, QLineEdit, QPlainTextEdit, QPushButton, QWidget

from app.dialogs.sheet_dialog import SheetDialog, say
from rigcore.book.book import Book
from rigcore.catalogue.catalogue import Catalogue
from rigcore.errors import ImportRefused, LoomwrightError

FILES: tuple[tuple[str, str, bool], ...] = (
    ("units", "Units", True),
    ("patch", "Patch", True),
    ("gear", "Own gear", False),
    ("house", "House", False),
)
"""Each file: its part in the import, its label, whether it is needed."""

Importer = Callable[..., Book]


class FileField(QWidget):
    """A line for a path with a button to browse."""

    def __init__(self, title: str, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self.edit = QLineEdit()
        self.edit.setAccessibleName(title)
        browse = QPushButton(self.tr("Browse…"))
        browse.setAutoDefault(False)
        browse.setAccessibleName(self.tr("Browse for {}").format(title))
        browse.clicked.connect(self._browse)
        self._title = title
        row = QHBoxLayout(self)
        row.setContentsMargins(0, 0, 0, 0)
        row.setSpacing(6)
        row.addWidget(self.edit, 1)
        row.addWidget(browse)
        self.setFocusProxy(self.edit)

    @property
    def path(self) -> Path | None:
        """The file, or None."""
        text = self.edit.text().strip()
        return Path(text).expanduser() if text else None

    def _browse(self) -> None:
        kinds = self.tr("Spreadsheets (*.csv *.tsv *.toml);;All files (*)")
        name, _ = QFileDialog.getOpenFileName(self, self._title, str(Path(self.edit.text()).parent), kinds)
        if name:
            self.edit.setText(name)


class ImportWizard(SheetDialog):
    """Makes a book; ``book`` holds it once accepted, and is None until then."""

    def __init__(
        self, catalogue: Catalogue, parent: QWidget | None = None, *, importer: Importer | None = None
    ) -> None:
        super().__init__(say("Import spreadsheets"), say("Import"), parent)
        self._catalogue = catalogue
        self._importer = importer
        self.book: Book | None = None
        self.form.title(
            self.tr("Import spreadsheets"),
            self.tr("A list of units and a list of what is patched to what; own gear and the house if you have them. "
                    "Nothing is taken in until all of it holds."),
        )
        self.files: dict[str, FileField] = {}
        for part, label, needed in FILES:
            words = self.tr(label) if needed else self.tr("{} (if any)").format(self.tr(label))
            self.files[part] = FileField(words)
            self.form.row(words, self.files[part], part)
        self.problems = QPlainTextEdit()
        self.problems.setReadOnly(True)
        self.problems.setAccessibleName(self.tr("Problems"))
        self.problems.setMinimumHeight(130)
        self.problems.setTabChangesFocus(True)
        self.problems.hide()
        self.form.add(self.problems)
        self.form.finish()
        self.fit(560)

    def commit(self) -> str:
        """Read the files; show every problem, or keep the book."""
        self.problems.hide()
        for part, label, needed in FILES:
            if needed and self.files[part].path is None:
                words = self.tr("Pick the file of the {} first.").format(self.tr(label).lower())
                return self.refuse(self.files[part].edit, words)
        try:
            self.book = self._import()
        except ImportRefused as refusal:
            return self._show(refusal.problems)
        except LoomwrightError as refusal:
            return refusal.sentence
        return ""

    def _import(self) -> Book:
        importer = self._importer
        if importer is None:
            from rigcore.book.sheets.plan import import_plan

            importer = import_plan
        paths = {part: field.path for part, field in self.files.items()}
        return importer(paths["units"], paths["patch"], paths["gear"], paths["house"], catalogue=self._catalogue)

    def _show(self, problems: tuple[str, ...]) -> str:
        self.problems.setPlainText("\n".join(problems))
        self.problems.show()
        self.resize(self.width(), max(self.height(), 520))
        count = len(problems)
        if count == 1:
            return self.tr("One problem; nothing was taken in. Mend it and import again.")
        return self.tr("{} problems; nothing was taken in. Mend them and import again.").format(count)
