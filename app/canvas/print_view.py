"""The print view of the Stage sheet: the plot's page of the packet itself, to zoom and move, not to touch.

Nothing is drawn here a second time. The packet is made as it would be exported, and its page is shown as the PDF draws
it, dot for dot; so what is on the screen is what is on the paper.
"""

from __future__ import annotations

from PySide6.QtCore import QPoint, QRectF, Qt, QThreadPool, QTimer, Signal
from PySide6.QtGui import QColor, QDragEnterEvent, QDragMoveEvent, QImage, QKeyEvent, QMouseEvent, QPainter, QShowEvent
from PySide6.QtWidgets import QApplication, QGraphicsItem, QGraphicsScene, QStyleOptionGraphicsItem, QWidget

from app.canvas.gestures.gesture import Gesture, Pointer
from app.canvas.gestures.pan import Pan
from app.canvas.painting import steady
from app.canvas.sheet_view import SheetView
from app.desk import Desk
from app.dialogs.book_files import Job
from app.pages import Wanted, page_images, pdf_of
from app.settings import Settings
from app.theme import Theme

PLOT = "Stage plot"
"""The title of the page."""
PAGE_PX = 800.0
"""How wide the page lies on the sheet at 100 %."""
MOST_PX = 3200
"""No page is drawn wider: nearly 400 dots an inch."""
EDGE = 16.0
REST_MS = 120
STEP_PX = 40
_WAYS = {Qt.Key.Key_Left: (-1, 0), Qt.Key.Key_Right: (1, 0), Qt.Key.Key_Up: (0, -1), Qt.Key.Key_Down: (0, 1)}


class PageItem(QGraphicsItem):
    """One page as a picture: dot for dot where the scale is the one it was drawn for, else stretched till it is."""

    def __init__(self) -> None:
        super().__init__()
        self.image = QImage()
        self.area = QRectF()

    def show_image(self, image: QImage) -> None:
        """Show another picture of the page."""
        self.prepareGeometryChange()
        self.image = image
        self.area = QRectF(0.0, 0.0, PAGE_PX, PAGE_PX * image.height() / image.width())
        self.update()

    def boundingRect(self) -> QRectF:
        return self.area

    @steady
    def paint(self, painter: QPainter, option: QStyleOptionGraphicsItem, widget: QWidget | None = None) -> None:
        way = painter.worldTransform()
        device = painter.device()
        ratio = device.devicePixelRatio() if device is not None else 1.0
        wide = round(PAGE_PX * way.m11() * ratio)
        if wide != self.image.width():
            painter.setRenderHint(QPainter.RenderHint.SmoothPixmapTransform)
            painter.drawImage(self.area, self.image)
            return
        painter.resetTransform()
        image = QImage(self.image)
        image.setDevicePixelRatio(ratio)
        painter.drawImage(QPoint(round(way.dx()), round(way.dy())), image)


class PrintView(SheetView):
    """Shows the page, follows every edit, and leaves on Escape: ``left()``."""

    left = Signal()

    def __init__(self, desk: Desk, theme: Theme, settings: Settings, parent: QWidget | None = None) -> None:
        super().__init__(desk, theme, parent)
        self.setObjectName("print-view")
        self.setAccessibleName(self.tr("Stage plot as it will be printed"))
        self._settings = settings
        self._job: Job | None = None
        self._pdf: tuple[object, bytes] = (None, b"")
        self._said = ""
        self._wait = QTimer(self)
        self._wait.setSingleShot(True)
        self._wait.setInterval(REST_MS)
        self._wait.timeout.connect(self.draw)
        self.page = PageItem()
        self.around = QGraphicsScene()
        self.around.addItem(self.page)
        self.keep(self.around)
        self.set_theme(theme)
        self.zoomed.connect(lambda _zoom: self._wait.start())
        desk.analysed.connect(lambda _analysis: self._wait.start())

    # -- what it shows -------------------------------------------------------------------------

    @property
    def image(self) -> QImage:
        """The page as last drawn."""
        return self.page.image

    @property
    def width_px(self) -> int:
        """How many dots wide the page is drawn at the present zoom."""
        return min(round(PAGE_PX * self.transform().m11() * self.devicePixelRatioF()), MOST_PX)

    def draw(self) -> None:
        """Draw the page anew, off the interface thread; a wish meanwhile is heard when that is done."""
        if not self.isVisible():
            return
        if self._job is not None:
            self._wait.start()
            return
        from rigcore.paper.packet import HOUSE_PAGES

        analysis, wide, (about, data) = self.desk.analysis(), self.width_px, self._pdf
        wanted = Wanted(self._settings.paper, self._settings.feet, HOUSE_PAGES)

        def work() -> tuple[object, bytes, QImage]:
            pdf = data if about == (analysis, wanted) else pdf_of(analysis, wanted)
            return (analysis, wanted), pdf, page_images(pdf, wide, title=PLOT)[0]

        self._job = Job(work)
        self._job.answer.done.connect(self._drawn)
        self._job.answer.failed.connect(self._failed)
        QThreadPool.globalInstance().start(self._job)

    def _drawn(self, made: tuple[object, bytes, QImage]) -> None:
        self._job = None
        about, data, image = made
        first = self.image.isNull()
        self._pdf, self._said = (about, data), ""
        self.page.show_image(image)
        if first:
            self.zoom_to_fit()
        self.redraw()

    def _failed(self, sentence: str) -> None:
        self._job = None
        self._said = sentence
        self.viewport().update()

    def paper_changed(self) -> None:
        """Draw on the other paper, or in the other unit."""
        self._wait.start()

    def set_theme(self, theme: Theme) -> None:
        """Change what lies round the page; the page stays paper."""
        self.theme = theme
        self.around.setBackgroundBrush(QColor(theme.sheet))
        self.redraw()

    def content(self) -> QRectF:
        return self.page.area

    def zoom_to_fit(self) -> None:
        """Show the page as wide as the window, from its top."""
        room, rect = self.viewport().size(), self.content()
        if rect.isEmpty() or room.width() < 10:
            return
        self.set_zoom(room.width() / (rect.width() + 2 * EDGE) / self.base_scale)
        top = self.mapToScene(0, room.height()).y() - self.mapToScene(0, 0).y()
        self.centerOn(rect.center().x(), top / 2 - EDGE)
        self._is_fitted = True

    def showEvent(self, event: QShowEvent) -> None:
        super().showEvent(event)
        self.draw()

    def hint(self) -> str:
        return self._said

    def settle(self) -> None:
        """Draw now and wait until it is done; for pictures of the program."""
        while self._job is not None or self._wait.isActive() or self.image.width() != self.width_px:
            if self._job is None:
                self._wait.stop()
                self.draw()
            QApplication.processEvents()

    # -- looking, not touching -----------------------------------------------------------------

    def gesture_for(self, event: QMouseEvent, pointer: Pointer) -> Gesture | None:
        return Pan(self)

    def keyPressEvent(self, event: QKeyEvent) -> None:
        """Arrows move the page, Escape leaves; nothing gets through to the plan below."""
        if event.key() == Qt.Key.Key_Escape and self.gesture is None:
            self.left.emit()
        elif event.key() in _WAYS and not event.modifiers() & Qt.KeyboardModifier.ControlModifier:
            x, y = _WAYS[Qt.Key(event.key())]
            for bar, step in ((self.horizontalScrollBar(), x), (self.verticalScrollBar(), y)):
                bar.setValue(bar.value() + step * STEP_PX)
        else:
            super().keyPressEvent(event)
        event.accept()

    def dragEnterEvent(self, event: QDragEnterEvent) -> None:
        event.ignore()

    def dragMoveEvent(self, event: QDragMoveEvent) -> None:
        event.ignore()
