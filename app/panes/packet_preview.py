"""The Packet sheet: the real pages of the PDF, drawn anew after every edit, with the choice of pages above them."""

from __future__ import annotations

from PySide6.QtCore import Qt, QThreadPool, QTimer, Signal
from PySide6.QtGui import QAction, QImage, QKeyEvent, QPixmap, QResizeEvent, QShowEvent, QWheelEvent
from PySide6.QtWidgets import (
    QApplication,
    QHBoxLayout,
    QLabel,
    QMenu,
    QPushButton,
    QScrollArea,
    QVBoxLayout,
    QWidget,
)

from app.desk import Desk
from app.dialogs.book_files import Job
from app.pages import Wanted, page_images, pdf_of
from app.panes.forms.fields import plain
from app.panes.marks import Chooser
from app.settings import Settings
from rigcore.analysis import Analysis

REST_MS = 200
GAP = 16
WIDEST_PX = 1000
ZOOMS = (0.5, 0.75, 1.0, 1.5, 2.0)


def unprintable(analysis: Analysis, wanted: Wanted) -> str:
    """Return the characters no font prints, each once; empty where all is well. Runs off the interface thread."""
    from rigcore.paper.packet import unprintable_characters

    return unprintable_characters(analysis, pages=wanted.pages)


class PacketSheet(QWidget):
    """The preview. ``asked(action)`` wants an action of the window: to export, to print, to send."""

    asked = Signal(str)

    def __init__(self, desk: Desk, settings: Settings, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self.setProperty("role", "pane")
        self.setAttribute(Qt.WidgetAttribute.WA_StyledBackground)
        self._desk, self._settings = desk, settings
        self._job: Job | None = None
        self._again = False
        self._images: list[QImage] = []
        self._zoom = 1.0
        self._rest = QTimer(self)
        self._rest.setSingleShot(True)
        self._rest.setInterval(REST_MS)
        self._rest.timeout.connect(self.draw)
        self.whose = Chooser()
        self.whose.setAccessibleName(self.tr("Whose pages"))
        self.whose.setMinimumWidth(self.fontMetrics().horizontalAdvance("M" * 12))
        self.whose.addItems([self.tr("For the house"), self.tr("For the player"), self.tr("My choice")])
        self.whose.activated.connect(self._take_choice)
        self._ticks: dict[str, QAction] = {}
        self._said = plain("", "soft")
        self._pages = QVBoxLayout()
        self._pages.setSpacing(GAP)
        self._pages.setAlignment(Qt.AlignmentFlag.AlignHCenter | Qt.AlignmentFlag.AlignTop)
        holder = QWidget()
        holder.setLayout(self._pages)
        self._scroll = QScrollArea()
        self._scroll.setWidgetResizable(True)
        self._scroll.setWidget(holder)
        self._scroll.setProperty("role", "reading")
        self._scroll.setAccessibleName(self.tr("Pages of the packet"))
        holder.setAutoFillBackground(False)
        self._scroll.viewport().setAutoFillBackground(False)
        self.setFocusProxy(self._scroll)
        column = QVBoxLayout(self)
        column.setContentsMargins(18, 14, 18, 0)
        column.setSpacing(8)
        column.addLayout(self._head())
        column.addWidget(self._scroll, 1)
        desk.analysed.connect(lambda _analysis: self._rest.start() if self.isVisible() else None)
        self._take_choice(0)

    @property
    def wanted(self) -> Wanted:
        """What is chosen at present."""
        pages = tuple(name for name, tick in self._ticks.items() if tick.isChecked())
        return Wanted(self._settings.paper, self._settings.feet, pages)

    @property
    def images(self) -> list[QImage]:
        """The pages as last drawn."""
        return list(self._images)

    # -- parts -------------------------------------------------------------------------------

    def _head(self) -> QHBoxLayout:
        row = QHBoxLayout()
        row.setSpacing(8)
        row.addWidget(plain(self.tr("Packet"), "title", wrap=False))
        row.addWidget(self.whose)
        row.addWidget(self._page_menu())
        row.addWidget(self._said, 1)
        for words, action in (
            (self.tr("Export…"), "packet"), (self.tr("Print…"), "print"), (self.tr("Send…"), "send"),
        ):
            button = QPushButton(words)
            button.clicked.connect(lambda _on=False, action=action: self.asked.emit(action))
            row.addWidget(button)
        return row

    def _page_menu(self) -> QPushButton:
        from rigcore.paper.packet import MAKERS

        button = QPushButton(self.tr("Pages"))
        button.setAccessibleName(self.tr("Pages of the packet to show"))
        menu = QMenu(button)
        for page_id, (name, _) in MAKERS.items():
            tick = menu.addAction(name[:1].upper() + name[1:])
            tick.setCheckable(True)
            tick.triggered.connect(self._choose_own)
            self._ticks[page_id] = tick
        button.setMenu(menu)
        return button

    def _take_choice(self, index: int) -> None:
        from rigcore.paper.packet import CHOICES

        pages = {0: CHOICES["house"], 1: CHOICES["player"]}.get(index)
        for name, tick in self._ticks.items():
            if pages is not None:
                tick.setChecked(name in pages)
        self._rest.start()

    def _choose_own(self) -> None:
        self.whose.setCurrentIndex(2)
        self._rest.start()

    # -- drawing -----------------------------------------------------------------------------

    def draw(self) -> None:
        """Draw the pages anew, off the interface thread; a second wish waits for the first to end."""
        if not self.isVisible():
            return
        if self._job is not None:
            self._again = True
            return
        wanted = self.wanted
        if not wanted.pages:
            self._show([])
            self._said.setText(self.tr("Choose at least one page."))
            return
        analysis, width = self._desk.analysis(), round(self._width * self.devicePixelRatioF())
        self._job = Job(lambda: (page_images(pdf_of(analysis, wanted), width), unprintable(analysis, wanted)))
        self._job.answer.done.connect(self._drawn)
        self._job.answer.failed.connect(self._failed)
        QThreadPool.globalInstance().start(self._job)

    @property
    def _width(self) -> int:
        room = self._scroll.viewport().width() - 2 * GAP
        return max(200, round(min(room, WIDEST_PX) * self._zoom))

    def _drawn(self, made: tuple[list[QImage], str]) -> None:
        images, missing = made
        self._end()
        self._show(images)
        words = self.tr("{} page") if len(images) == 1 else self.tr("{} pages")
        more = self.tr("; Ctrl and the wheel, or + and −, zoom")
        if missing:
            more = self.tr("; no font here prints {}: they stand as hollow squares").format(" ".join(missing[:12]))
        self._said.setText(words.format(len(images)) + more)

    def _failed(self, sentence: str) -> None:
        self._end()
        self._said.setText(sentence)

    def _end(self) -> None:
        self._job = None
        if self._again:
            self._again = False
            self._rest.start()

    def _show(self, images: list[QImage]) -> None:
        self._images = images
        while self._pages.count() > len(images):
            self._pages.takeAt(self._pages.count() - 1).widget().deleteLater()
        while self._pages.count() < len(images):
            label = QLabel()
            label.setAccessibleName(self.tr("Page {}").format(self._pages.count() + 1))
            self._pages.addWidget(label)
        for place, image in enumerate(images):
            picture = QPixmap.fromImage(image)
            picture.setDevicePixelRatio(self.devicePixelRatioF())
            label = self._pages.itemAt(place).widget()
            label.setPixmap(picture)
            # At once and for good: until the layout is done a label would be squeezed and show its middle only.
            label.setFixedSize(picture.deviceIndependentSize().toSize())
        self._pages.activate()

    # -- what Qt asks ------------------------------------------------------------------------

    def showEvent(self, event: QShowEvent) -> None:
        """Draw when first looked at, and after whatever changed meanwhile."""
        super().showEvent(event)
        self._rest.start()

    def resizeEvent(self, event: QResizeEvent) -> None:
        """Draw as sharp as the new width wants."""
        super().resizeEvent(event)
        self._rest.start()

    def wheelEvent(self, event: QWheelEvent) -> None:
        """Zoom with Ctrl."""
        if event.modifiers() & Qt.KeyboardModifier.ControlModifier:
            self.zoom(1 if event.angleDelta().y() > 0 else -1)
            event.accept()
        else:
            super().wheelEvent(event)

    def keyPressEvent(self, event: QKeyEvent) -> None:
        """Zoom with plus and minus."""
        step = {"+": 1, "=": 1, "-": -1, "−": -1}.get(event.text(), 0)
        if step:
            self.zoom(step)
        else:
            super().keyPressEvent(event)

    def zoom(self, step: int) -> None:
        """Take the next larger or smaller size."""
        at = min(range(len(ZOOMS)), key=lambda place: abs(ZOOMS[place] - self._zoom))
        self._zoom = ZOOMS[min(max(at + step, 0), len(ZOOMS) - 1)]
        self._rest.start()

    def paper_changed(self) -> None:
        """Draw on the other paper, or in the other unit."""
        self._rest.start()

    def settle(self) -> None:
        """Draw now and wait until it is done; for pictures of the program."""
        self._rest.stop()
        self.draw()
        while self._job is not None:
            QApplication.processEvents()
