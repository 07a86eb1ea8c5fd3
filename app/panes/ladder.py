"""The ladder of a line, painted: a column for each stage on a dBu scale, with its words and a chooser around it.

Stages, levels and words come from the core as they are; nothing is computed here but places.
"""

from __future__ import annotations

from collections.abc import Sequence
from html import escape
from itertools import groupby

from PySide6.QtCore import QEvent, QPointF, QRectF, QSize, Qt
from PySide6.QtGui import QColor, QFont, QFontMetricsF, QHelpEvent, QPainter, QPaintEvent, QPen, QResizeEvent
from PySide6.QtWidgets import QSizePolicy, QToolTip, QVBoxLayout, QWidget

from app.panes.dress import blend
from app.panes.forms.fields import plain
from app.panes.marks import Chooser, worn_theme
from app.theme import CONDENSED, Theme
from rigcore.lists.gain_list import Ladder, figures_of, words_of
from rigcore.patch.ladder import Rung
from rigcore.rules.words import pieces

PLOT_PX, USUAL_PX = 158.0, 260
STEP_DB = 20
WIDEST_BAR_PX = 30.0
NARROWEST_WORD_PX = 15.0
NAMES_APART_PX = 3.0


class LadderView(QWidget):
    """Paints one ladder."""

    def __init__(self, ladder: Ladder, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self.ladder = ladder
        self.setObjectName("Ladder picture")
        self.setSizePolicy(QSizePolicy.Policy.Ignored, QSizePolicy.Policy.Fixed)
        self.setAccessibleName(self.tr("Ladder, {}").format(ladder.title))
        self.setAccessibleDescription(ladder.spoken)
        self._low, self._high = span_db(ladder.rungs)

    # -- places ------------------------------------------------------------------------------

    @property
    def small(self) -> QFont:
        """The type of scale and names."""
        font = QFont(CONDENSED)
        font.setPointSizeF(max(self.font().pointSizeF() - 1.0, 8.0))
        return font

    @property
    def _line(self) -> float:
        return QFontMetricsF(self.small).height()

    def sizeHint(self) -> QSize:
        """High enough for the plot, the names in as many lines as they take, and the key."""
        return QSize(USUAL_PX, round(PLOT_PX + (1 + sum(self._name_lines())) * self._line + 16))

    def minimumSizeHint(self) -> QSize:
        """As narrow as the pane likes."""
        return QSize(1, self.sizeHint().height())

    def plot(self) -> QRectF:
        """Where the columns stand."""
        gutter = QFontMetricsF(self.small).horizontalAdvance("−140") + 7
        wide = self.width() if self.testAttribute(Qt.WidgetAttribute.WA_Resized) else USUAL_PX
        return QRectF(gutter, 1.0, max(wide - gutter - 1.0, 1.0), PLOT_PX)

    def column(self, place: int) -> QRectF:
        """Where one stage stands, over the whole height of the plot."""
        plot = self.plot()
        wide = (plot.width() - 8) / len(self.ladder.rungs)
        return QRectF(plot.left() + 4 + place * wide, plot.top(), wide, plot.height())

    def port_words(self) -> list[list[str]]:
        """Return the name of each stage's port, in the lines it is written in."""
        return [self._parted(rung.port, self.port_room(place).width()) for place, rung in enumerate(self.ladder.rungs)]

    def unit_words(self) -> list[list[str]]:
        """Return the name of each unit, in the lines it is written in."""
        wide = self.column(0).width()
        return [self._parted(name, (last + 1 - first) * wide) for first, last, name in units_of(self.ladder.rungs)]

    def port_room(self, place: int) -> QRectF:
        """Return how far the name of a stage's port may reach: its column, and if need be what those beside it spare.

        It goes no further than the unit's own stages.
        """
        rungs, column, measure = self.ladder.rungs, self.column(place), QFontMetricsF(self.small)
        left, right = column.left(), column.right()
        if measure.horizontalAdvance(rungs[place].port) <= column.width() - NAMES_APART_PX:
            return QRectF(left, 0.0, right - left, self._line)

        def spare(beside: int) -> float:
            if not 0 <= beside < len(rungs) or rungs[beside].node[:2] != rungs[place].node[:2]:
                return 0.0
            return max((column.width() - measure.horizontalAdvance(rungs[beside].port)) / 2 - NAMES_APART_PX, 0.0)

        return QRectF(left - spare(place - 1), 0.0, right - left + spare(place - 1) + spare(place + 1), self._line)

    def _parted(self, words: str, width: float) -> list[str]:
        """Return words in one line, or in two where that shows more of them."""
        return parted(words, QFontMetricsF(self.small), width - NAMES_APART_PX)

    def _name_lines(self) -> tuple[int, int]:
        """How many lines the names of the ports take, and those of the units."""
        return max(map(len, self.port_words()), default=1), max(map(len, self.unit_words()), default=1)

    def y_of(self, level_dbu: float) -> float:
        """Where a level lies; above the highest there is room for a figure."""
        plot = self.plot()
        share = (level_dbu - self._low) / (self._high - self._low)
        return plot.bottom() - min(max(share, 0.0), 1.0) * (plot.height() - self._line)

    def rung_at(self, x: float) -> Rung | None:
        """The stage whose column lies there."""
        for place, rung in enumerate(self.ladder.rungs):
            column = self.column(place)
            if column.left() <= x < column.right():
                return rung
        return None

    def tip(self, rung: Rung) -> str:
        """What is known of a stage, line by line."""
        return "\n".join((words_of(rung), *figures_of(rung)))

    # -- what Qt asks ------------------------------------------------------------------------

    def event(self, event: QEvent) -> bool:
        """Tell the figures of the stage under the mouse."""
        if event.type() == QEvent.Type.ToolTip and isinstance(event, QHelpEvent):
            rung = self.rung_at(event.pos().x())
            if rung is None:
                QToolTip.hideText()
                event.ignore()
            else:
                words = "<br>".join(escape(line) for line in self.tip(rung).splitlines())
                QToolTip.showText(event.globalPos(), f"<span>{words}</span>", self)
            return True
        return super().event(event)

    def resizeEvent(self, event: QResizeEvent) -> None:
        """Take the height the names need at the new width."""
        super().resizeEvent(event)
        if self.sizeHint().height() != self.height():
            self.updateGeometry()

    def paintEvent(self, _event: QPaintEvent) -> None:
        """Paint scale, columns, names and key."""
        painter = QPainter(self)
        painter.setRenderHint(QPainter.RenderHint.Antialiasing)
        painter.setFont(self.small)
        theme = worn_theme()
        self._paint_scale(painter, theme)
        for place, rung in enumerate(self.ladder.rungs):
            self._paint_rung(painter, theme, rung, self.column(place))
        self._paint_room(painter, theme)
        self._paint_names(painter, theme)
        self._paint_key(painter, theme)
        painter.end()

    # -- parts -------------------------------------------------------------------------------

    def _paint_scale(self, painter: QPainter, theme: Theme) -> None:
        plot = self.plot()
        painter.setPen(QPen(QColor(theme.card_edge), 1))
        painter.setBrush(QColor(theme.card))
        painter.drawRoundedRect(plot.adjusted(0.5, 0.5, -0.5, -0.5), 4, 4)
        faint, strong = QColor(blend(theme.card, theme.card_edge, 0.6)), QColor(blend(theme.card, theme.text_soft, 0.5))
        for level in range(self._low, self._high + 1, STEP_DB):
            y = round(self.y_of(level)) + 0.5
            if self._low < level < self._high:
                painter.setPen(QPen(strong if level == 0 else faint, 1))
                painter.drawLine(QPointF(plot.left() + 1, y), QPointF(plot.right() - 1, y))
            if level == self._low:
                continue  # under the frame there is no room, and above it the figure would stand too high
            painter.setPen(QColor(theme.text_soft))
            middle = max(y, plot.top() + self._line / 2)
            room = QRectF(0, middle - self._line / 2, plot.left() - 5, self._line)
            words = "dBu" if level == self._high else f"{level}".replace("-", "−")
            painter.drawText(room, Qt.AlignmentFlag.AlignRight | Qt.AlignmentFlag.AlignVCenter, words)

    def _paint_rung(self, painter: QPainter, theme: Theme, rung: Rung, column: QRectF) -> None:
        wide = min(column.width() * 0.62, WIDEST_BAR_PX)
        left, middle = column.center().x() - wide / 2, column.center().x()
        level, clip = rung.level, rung.clip_dbu
        painter.setPen(Qt.PenStyle.NoPen)

        def bar(low: float, high: float, colour: str) -> None:
            top, bottom = self.y_of(high), self.y_of(low)
            painter.fillRect(QRectF(left, top, wide, max(bottom - top, 1.0)), QColor(colour))

        nominal = level.nominal_dbu
        if nominal is not None and level.noise_dbu is not None:
            bar(level.noise_dbu, nominal, noise_colour(theme))
        if nominal is not None and level.peak_dbu is not None:
            bar(nominal, level.peak_dbu, theme.mic)
            if clip is not None and level.peak_dbu > clip:
                bar(max(clip, nominal), level.peak_dbu, theme.fault)
        if nominal is not None:
            y = self.y_of(nominal)
            painter.fillRect(QRectF(left, y - 1, wide, 2), QColor(theme.text))
        if clip is not None:
            y, half = self.y_of(clip), min(column.width() * 0.42, wide / 2 + 4)
            painter.setPen(QPen(QColor(theme.fault), 2.5, Qt.PenStyle.SolidLine, Qt.PenCapStyle.FlatCap))
            painter.drawLine(QPointF(middle - half, y), QPointF(middle + half, y))

    def _paint_room(self, painter: QPainter, theme: Theme) -> None:
        """Mark the head-room of the tightest stage: a measure from peak to clip where there is room for it."""
        rung = self.ladder.tightest
        if rung is None or rung.head_room_db is None or rung.level.peak_dbu is None or rung.clip_dbu is None:
            return
        column = self.column(self.ladder.rungs.index(rung))
        top, bottom = self.y_of(rung.clip_dbu), self.y_of(rung.level.peak_dbu)
        words = self.ladder.room_figure
        room = QRectF(0, 0, QFontMetricsF(self.small).horizontalAdvance(words) + 4, self._line)
        pen = QPen(QColor(theme.text), 1)
        painter.setPen(pen)
        if bottom - top >= self._line + 4:
            middle = column.center().x()
            painter.drawLine(QPointF(middle, top + 2), QPointF(middle, bottom - 1))
            for y in (top + 2, bottom - 1):
                painter.drawLine(QPointF(middle - 3, y), QPointF(middle + 3, y))
            room.moveCenter(QPointF(middle, (top + bottom) / 2))
            painter.fillRect(room, QColor(theme.card))
        else:
            room.moveCenter(QPointF(column.center().x(), min(top, bottom) - self._line / 2 - 2))
            room.moveTop(max(room.top(), self.plot().top() + 1))
        painter.drawText(room, Qt.AlignmentFlag.AlignCenter, words)

    def _paint_names(self, painter: QPainter, theme: Theme) -> None:
        """Write each stage's port under its column and each unit's name under its stages."""
        bottom, line = self.plot().bottom() + 4, self._line
        ports, units = self._name_lines()
        for place, words in enumerate(self.port_words()):
            _write(painter, self.port_room(place).translated(0, bottom), words, theme.text_soft)
        below = bottom + ports * line
        for (first, last, _), words in zip(units_of(self.ladder.rungs), self.unit_words(), strict=True):
            left, right = self.column(first).left(), self.column(last).right()
            if first:
                painter.setPen(QPen(QColor(theme.card_edge), 1))
                painter.drawLine(QPointF(left, bottom), QPointF(left, below + units * line))
            _write(painter, QRectF(left, below, right - left, line), words, theme.text)

    def _paint_key(self, painter: QPainter, theme: Theme) -> None:
        """Write what the fills and the line mean, in one line."""
        metrics = QFontMetricsF(self.small)
        y = self.plot().bottom() + 4 + (0.5 + sum(self._name_lines())) * self._line + 3
        x = self.plot().left()
        for words, colour, high in (
            (self.tr("nominal to peak"), theme.mic, 8.0), (self.tr("down to noise"), noise_colour(theme), 8.0),
            (self.tr("clip"), theme.fault, 2.5),
        ):
            wide = metrics.horizontalAdvance(words)
            if x + 13 + wide > self.width():
                return
            painter.fillRect(QRectF(x, y - high / 2, 9, high), QColor(colour))
            painter.setPen(QColor(theme.text_soft))
            painter.drawText(QRectF(x + 13, y - self._line / 2, wide + 2, self._line), 0, words)
            x += wide + 25


class LadderBox(QWidget):
    """A ladder with its title, its head-room and its gain in words; a chooser where there are several lines."""

    def __init__(self, ladders: Sequence[Ladder], parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self.setObjectName("Ladder")
        self._ladders = tuple(ladders)
        self._column = QVBoxLayout(self)
        self._column.setContentsMargins(0, 0, 0, 0)
        self._column.setSpacing(5)
        self.chooser: Chooser | None = None
        if len(self._ladders) > 1:
            self.chooser = Chooser()
            self.chooser.setObjectName("Line")
            self.chooser.setAccessibleName(self.tr("Line"))
            self.chooser.addItems([one.title for one in self._ladders])
            self.chooser.activated.connect(self._show)
            self._column.addWidget(self.chooser)
        else:
            self._column.addWidget(plain(self._ladders[0].title, "strong"))
        self._parts: list[QWidget] = []
        self._show(0)

    @property
    def shown(self) -> Ladder:
        """The ladder in view."""
        return self._ladders[self.chooser.currentIndex() if self.chooser else 0]

    def choose(self, title: str) -> None:
        """Show the ladder of that title, if there is one."""
        titles = [one.title for one in self._ladders]
        if self.chooser is not None and title in titles:
            self.chooser.setCurrentIndex(titles.index(title))
            self._show(titles.index(title))

    def _show(self, index: int) -> None:
        for part in self._parts:
            self._column.removeWidget(part)
            part.hide()
            part.setParent(None)
            part.deleteLater()
        ladder = self._ladders[index]
        self._parts = [LadderView(ladder), plain(ladder.head_room_words)]
        if ladder.gain_words:
            self._parts.append(plain(ladder.gain_words))
        for part in self._parts:
            self._column.addWidget(part)


def span_db(rungs: Sequence[Rung]) -> tuple[int, int]:
    """Return the ends of the scale in dBu: round numbers around all that is known."""
    known = [
        value for rung in rungs
        for value in (rung.level.noise_dbu, rung.level.nominal_dbu, rung.level.peak_dbu, rung.clip_dbu)
        if value is not None
    ]
    low, high = min(known, default=0.0), max(known, default=0.0)
    return int(low // STEP_DB) * STEP_DB, int(-(-(high + 6.0) // STEP_DB)) * STEP_DB


def units_of(rungs: Sequence[Rung]) -> list[tuple[int, int, str]]:
    """Return the first and last place of each unit on a ladder, with its name."""
    found = []
    for _, stages in groupby(enumerate(rungs), key=lambda one: one[1].node[:2]):
        places = list(stages)
        found.append((places[0][0], places[-1][0], places[0][1].name))
    return found


def noise_colour(theme: Theme) -> str:
    """Return the light fill that reaches down to the noise floor."""
    return blend(theme.card, theme.mic, 0.26)


def parted(words: str, measure: QFontMetricsF, width: float) -> list[str]:
    """Return words in one line if they fit, else in two parted at a blank; who writes them cuts what is still too long.

    A word that does not fit by itself is no reason for a second line unless there is another.
    """
    parts = pieces(words)
    if measure.horizontalAdvance(words) <= width or len(parts) < 2:
        return [words]
    pairs = [[" ".join(parts[:n]), " ".join(parts[n:])] for n in range(1, len(parts))]
    return min(pairs, key=lambda pair: max(map(measure.horizontalAdvance, pair)))


def _write(painter: QPainter, room: QRectF, lines: Sequence[str], colour: str) -> None:
    """Write lines below each other, the first in a room."""
    measure = QFontMetricsF(painter.font())
    for n, words in enumerate(lines):
        shown = measure.elidedText(words, Qt.TextElideMode.ElideRight, room.width() - NAMES_APART_PX)
        if room.width() >= NARROWEST_WORD_PX and shown != "…":
            painter.setPen(QColor(colour))
            flags = Qt.AlignmentFlag.AlignCenter | Qt.TextFlag.TextSingleLine
            painter.drawText(room.translated(0, n * room.height()), flags, shown)
