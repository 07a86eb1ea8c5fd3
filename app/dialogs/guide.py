"""The guide: a few chapters with a picture each, beside the window while one works. Its words are an asset."""

from __future__ import annotations

import tomllib

from msgspec import Struct
from PySide6.QtCore import QSize, Qt
from PySide6.QtGui import QColor, QPainter, QPixmap, QResizeEvent, QShowEvent
from PySide6.QtWidgets import QDialog, QHBoxLayout, QLabel, QListWidget, QScrollArea, QVBoxLayout, QWidget

from app.panes.dress import Wardrobe
from app.panes.forms.fields import plain
from rigcore import resources

SIZE = (860, 620)


class Chapter(Struct, frozen=True):
    """One chapter: title, the picture's name, and its paragraphs."""

    title: str
    picture: str
    text: tuple[str, ...]


def chapters() -> tuple[Chapter, ...]:
    """Return the chapters in order."""
    rows = tomllib.loads((resources.assets() / "guide.toml").read_text(encoding="utf-8"))["chapter"]
    return tuple(Chapter(row["title"], row["picture"], tuple(row["text"])) for row in rows)


class Guide(QDialog):
    """Chapters on the left, the chosen one on the right."""

    def __init__(self, wardrobe: Wardrobe, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self.setWindowTitle(self.tr("Guide"))
        self.setModal(False)
        self._wardrobe = wardrobe
        self._chapters = chapters()
        self.list = QListWidget()
        self.list.setAccessibleName(self.tr("Chapters"))
        self.list.setFixedWidth(220)
        self.list.addItems([self.tr(one.title) for one in self._chapters])
        self._picture = QLabel()
        self._picture.setAlignment(Qt.AlignmentFlag.AlignLeft | Qt.AlignmentFlag.AlignTop)
        self._picture.setAccessibleName(self.tr("Picture"))
        self._title = plain("", "title")
        self._texts = [plain("") for _ in range(max(len(one.text) for one in self._chapters))]
        page = QWidget()
        column = QVBoxLayout(page)
        column.setContentsMargins(18, 14, 18, 14)
        column.setSpacing(10)
        for part in (self._title, *self._texts, self._picture):
            column.addWidget(part)
        column.addStretch(1)
        self._scroll = QScrollArea()
        self._scroll.setWidgetResizable(True)
        self._scroll.setProperty("role", "reading")
        self._scroll.setAccessibleName(self.tr("The chapter"))
        self._scroll.setHorizontalScrollBarPolicy(Qt.ScrollBarPolicy.ScrollBarAlwaysOff)
        self._scroll.setWidget(page)
        row = QHBoxLayout(self)
        row.setContentsMargins(12, 12, 0, 12)
        row.setSpacing(0)
        row.addWidget(self.list)
        row.addWidget(self._scroll, 1)
        self.resize(*SIZE)
        self.list.currentRowChanged.connect(lambda _row: self._show())
        wardrobe.changed.connect(self._wear)
        self.list.setCurrentRow(0)

    def showEvent(self, event: QShowEvent) -> None:
        """Lay the chapters out again: choosing the first one did so before they had their style."""
        super().showEvent(event)
        self.list.scheduleDelayedItemsLayout()

    def resizeEvent(self, event: QResizeEvent) -> None:
        """Give the picture the new width."""
        super().resizeEvent(event)
        self._show()

    def _wear(self, _theme: object) -> None:
        self._show()

    def _show(self) -> None:
        chapter = self._chapters[max(self.list.currentRow(), 0)]
        self._title.setText(self.tr(chapter.title))
        for place, label in enumerate(self._texts):
            label.setVisible(place < len(chapter.text))
            label.setText(self.tr(chapter.text[place]) if place < len(chapter.text) else "")
        self._picture.setPixmap(self._scaled(chapter.picture))
        self._picture.setVisible(not self._picture.pixmap().isNull())

    def _scaled(self, name: str) -> QPixmap:
        """Return a picture in the face that is worn, as wide as there is room and sharp on any screen."""
        folder = resources.assets() / "screens"
        files = (folder / f"{name}-{self._wardrobe.theme.name}.png", folder / f"{name}.png")
        whole = QPixmap(str(next((one for one in files if one.is_file()), "")))
        if whole.isNull():
            return whole
        ratio = self.devicePixelRatioF()
        room = max(self._scroll.viewport().width() - 40, 200)
        size = QSize(round(room * ratio), round(room * ratio * whole.height() / whole.width()))
        scaled = whole.scaled(size, Qt.AspectRatioMode.KeepAspectRatio, Qt.TransformationMode.SmoothTransformation)
        painter = QPainter(scaled)  # a picture of the program is not to be taken for a part of it
        painter.setPen(QColor(self._wardrobe.theme.text_soft))
        painter.drawRect(scaled.rect().adjusted(0, 0, -1, -1))
        painter.end()
        scaled.setDevicePixelRatio(ratio)
        return scaled
