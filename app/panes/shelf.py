"""The shelf: every gear type by category, to search, drag onto a sheet, or add with Enter."""

from __future__ import annotations

from collections.abc import Callable, Iterable
from html import escape

from PySide6.QtCore import QByteArray, QMimeData, QModelIndex, QPoint, QRectF, QSize, Qt, Signal
from PySide6.QtGui import (
    QColor,
    QDrag,
    QFocusEvent,
    QFont,
    QFontMetricsF,
    QKeyEvent,
    QPainter,
    QPen,
    QPixmap,
    QResizeEvent,
)
from PySide6.QtWidgets import (
    QAbstractItemView,
    QLineEdit,
    QStyle,
    QStyledItemDelegate,
    QStyleOptionViewItem,
    QTreeWidget,
    QTreeWidgetItem,
    QVBoxLayout,
    QWidget,
)

from app.panes.forms.fields import plain
from app.panes.forms.words import figures
from app.panes.marks import worn_theme
from app.theme import Theme
from app.viewport import own_viewport
from rigcore.catalogue.catalogue import Catalogue
from rigcore.catalogue.gear import GearType
from rigcore.rules.words import pieces

MIME = "application/x-loomwright-gear"
GEAR = Qt.ItemDataRole.UserRole
COUNT = GEAR + 1
_ASIDE = 26
"""What a card has beside its words."""
HEADING_GAP = 8
MOST_LINES = 3
"""Least room between a heading and the count at its end."""

HEADINGS: tuple[tuple[str, tuple[str, ...]], ...] = (
    ("Keys", ("keys", "controller")),
    ("Playback", ("playback",)),
    ("Voice and microphones", ("microphone",)),
    ("Other players", ("guitar", "bass", "drums", "percussion", "brass", "strings")),
    ("DI boxes and between", ("di", "splitter", "isolator", "pad")),
    ("Adapters", ("adapter",)),
    ("Mixers and processors", ("mixer", "equaliser", "processor")),
    ("Hearing", ("monitor", "in-ear")),
    ("Amplifiers, loudspeakers", ("amplifier", "loudspeaker")),
    ("Pedals", ("pedal",)),
    ("House", ("stage box", "desk", "multicore")),
    ("Power", ("power",)),
    ("Stands and furniture", ("furniture",)),
    ("Other", ("other",)),
)
"""Heading of each group of categories, in the order of the shelf."""


def matches(gear: GearType, query: str) -> bool:
    """Return whether every word of the query stands in the gear's name, category or description."""
    hay = f"{gear.name} {gear.category} {gear.about} {gear.family or ''}".casefold()
    return all(word in hay for word in query.casefold().split())


def found(stock: Iterable[GearType], query: str) -> set[str]:
    """Return the ids of what a query finds: by name if any name has all its words, else by description too."""
    stock = tuple(stock)
    words = query.casefold().split()
    named = {gear.id for gear in stock if all(word in gear.name.casefold() for word in words)}
    return named or {gear.id for gear in stock if matches(gear, query)}


def tip_of(gear: GearType) -> str:
    """Return the tooltip of a gear type, escaped."""
    lines = [f"<b>{escape(gear.name)}</b>"]
    if gear.about:
        lines.append(escape(gear.about))
    lines += [f"{escape(label)}: {escape(text)}" for label, text in figures(gear)]
    return "<div>" + "<br>".join(lines) + "</div>"


def beside_count(words: str, count: str, metrics: QFontMetricsF, room_px: float) -> str:
    """Return a heading, elided where its count at the end of the line leaves too little room."""
    room = room_px - metrics.horizontalAdvance(count) - HEADING_GAP
    return metrics.elidedText(words, Qt.TextElideMode.ElideRight, room)


def in_lines(words: str, metrics: QFontMetricsF, room_px: float) -> list[str]:
    """Return a name in as many lines as it takes, up to ``MOST_LINES``; the last is elided if need be."""
    lines: list[str] = []
    rest = pieces(words)
    while rest and len(lines) < MOST_LINES - 1 and metrics.horizontalAdvance(" ".join(rest)) > room_px:
        line = rest.pop(0)
        while rest and metrics.horizontalAdvance(f"{line} {rest[0]}") <= room_px:
            line = f"{line} {rest.pop(0)}"
        lines.append(line)
    lines += [" ".join(rest)] if rest else []
    return [metrics.elidedText(line, Qt.TextElideMode.ElideRight, room_px) for line in lines]


def run_drag(drag: QDrag) -> None:
    """Run a drag to its end."""
    drag.exec(Qt.DropAction.CopyAction)


class _CardDelegate(QStyledItemDelegate):
    """Paints gear as cards with a strip of tape, headings as plain words."""

    def sizeHint(self, option: QStyleOptionViewItem, index: QModelIndex) -> QSize:
        if not index.data(GEAR):
            return QSize(100, option.fontMetrics.height() + 12)
        room = option.widget.viewport().width() - _ASIDE
        lines = in_lines(str(index.data()), QFontMetricsF(option.font), room)
        return QSize(100, len(lines) * option.fontMetrics.height() + 14)

    def paint(self, painter: QPainter, option: QStyleOptionViewItem, index: QModelIndex) -> None:
        view = option.widget
        theme = worn_theme()
        painter.save()
        painter.setRenderHint(QPainter.RenderHint.Antialiasing)
        box = QRectF(option.rect)
        state = QStyle.StateFlag
        focused = bool(option.state & state.State_Selected) and view.hasFocus()
        text = str(index.data(Qt.ItemDataRole.DisplayRole))
        if not index.data(GEAR):
            count = "" if view.isExpanded(index) else str(index.data(COUNT))
            self._heading(painter, box.adjusted(2, 2, -6, 0), (text, count, focused), theme)
            painter.restore()
            return
        card = box.adjusted(2.5, 2.5, -2.5, -1.5)
        marked = option.state & (state.State_Selected | state.State_MouseOver)
        painter.setPen(QPen(QColor(theme.focus if focused else theme.text_soft if marked else theme.card_edge), 1))
        painter.setBrush(QColor(theme.card))
        painter.drawRoundedRect(card, 4, 4)
        tape = QRectF(card.left() + 4, card.top() + 4, 5, card.height() - 8)
        painter.setPen(Qt.PenStyle.NoPen)
        painter.setBrush(QColor(theme.house_edge))
        painter.drawRoundedRect(tape, 1, 1)
        painter.setPen(QColor(theme.text))
        room = card.adjusted(15, 0, -6, 0)
        shown = "\n".join(in_lines(text, QFontMetricsF(painter.font()), room.width()))
        painter.drawText(room, Qt.AlignmentFlag.AlignVCenter | Qt.AlignmentFlag.AlignLeft, shown)
        painter.restore()

    @staticmethod
    def _heading(painter: QPainter, box: QRectF, what: tuple[str, str, bool], theme: Theme) -> None:
        text, count, focused = what
        font = painter.font()
        font.setWeight(QFont.Weight.DemiBold)
        painter.setFont(font)
        painter.setPen(QColor(theme.focus if focused else theme.text_soft))
        mark = "▸" if count else "▾"
        shown = beside_count(f"{mark} {text}", count, QFontMetricsF(font), box.width())
        painter.drawText(box, Qt.AlignmentFlag.AlignVCenter | Qt.AlignmentFlag.AlignLeft, shown)
        font.setWeight(QFont.Weight.Normal)
        painter.setFont(font)
        painter.drawText(box, Qt.AlignmentFlag.AlignVCenter | Qt.AlignmentFlag.AlignRight, count)


class GearTree(QTreeWidget):
    """The list itself. ``taken(gear_id)`` on Enter or double click."""

    taken = Signal(str)

    def __init__(self, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        own_viewport(self).setAutoFillBackground(False)
        self.setHeaderHidden(True)
        self.setIndentation(0)
        self.setRootIsDecorated(False)
        self.setDragEnabled(True)
        self.setDragDropMode(QAbstractItemView.DragDropMode.DragOnly)
        self.setMouseTracking(True)
        self.setExpandsOnDoubleClick(False)
        self.setVerticalScrollMode(QAbstractItemView.ScrollMode.ScrollPerPixel)
        self.setHorizontalScrollBarPolicy(Qt.ScrollBarPolicy.ScrollBarAlwaysOff)
        self.setItemDelegate(_CardDelegate(self))
        self.setAccessibleName(self.tr("Gear types"))
        self.drag_runner: Callable[[QDrag], None] = run_drag
        self.itemDoubleClicked.connect(lambda item: self._take(item))
        self.itemClicked.connect(self._clicked)

    def focusInEvent(self, event: QFocusEvent) -> None:
        """Choose a row when the keyboard comes in: only a chosen one shows that it has it."""
        super().focusInEvent(event)
        item = self.currentItem() or self.topLevelItem(0)
        if item is not None and event.reason() != Qt.FocusReason.MouseFocusReason:
            self.setCurrentItem(item)

    def resizeEvent(self, event: QResizeEvent) -> None:
        """Let names go into two lines, or into one, as there is room now."""
        super().resizeEvent(event)
        if event.size().width() != event.oldSize().width():
            self.scheduleDelayedItemsLayout()

    def keyPressEvent(self, event: QKeyEvent) -> None:
        """Enter takes the gear, or opens the heading."""
        item = self.currentItem()
        if event.key() in (Qt.Key.Key_Return, Qt.Key.Key_Enter) and item is not None:
            if item.data(0, GEAR):
                self._take(item)
            else:
                item.setExpanded(not item.isExpanded())
            return
        super().keyPressEvent(event)

    def startDrag(self, _actions: Qt.DropAction) -> None:
        """Drag the gear under the hand, by id."""
        item = self.currentItem()
        gear_id = item.data(0, GEAR) if item is not None else None
        if gear_id:
            self.drag_runner(self.drag_of(item))

    def drag_of(self, item: QTreeWidgetItem) -> QDrag:
        """Return the drag of an item, not yet begun."""
        mime = QMimeData()
        mime.setData(MIME, QByteArray(str(item.data(0, GEAR)).encode("utf-8")))
        drag = QDrag(self)
        drag.setMimeData(mime)
        drag.setPixmap(self._picture(item))
        drag.setHotSpot(QPoint(14, 14))
        return drag

    def _picture(self, item: QTreeWidgetItem) -> QPixmap:
        return self.viewport().grab(self.visualItemRect(item)) if item is not None else QPixmap()

    def _take(self, item: QTreeWidgetItem) -> None:
        gear_id = item.data(0, GEAR)
        if gear_id:
            self.taken.emit(gear_id)

    @staticmethod
    def _clicked(item: QTreeWidgetItem) -> None:
        if not item.data(0, GEAR):
            item.setExpanded(not item.isExpanded())


class Shelf(QWidget):
    """The pane on the left. ``wanted(gear_id)`` when gear is to be added to the sheet in view."""

    wanted = Signal(str)

    def __init__(self, catalogue: Catalogue, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self.setProperty("role", "pane")
        self.setAttribute(Qt.WidgetAttribute.WA_StyledBackground)
        self.setAccessibleName(self.tr("Shelf"))
        self._gear: tuple[GearType, ...] = ()
        self._unmade: dict[int, list[GearType]] = {}
        self._open_before: set[int] | None = None
        self.search = QLineEdit()
        self.search.setPlaceholderText(self.tr("type to find gear"))
        self.search.setClearButtonEnabled(False)
        self.search.setAccessibleName(self.tr("Find gear"))
        self.search.textChanged.connect(self._filter)
        self.search.returnPressed.connect(self._take_first)
        self.tree = GearTree()
        self.tree.taken.connect(self.wanted)
        self.tree.itemExpanded.connect(self._fill)
        self._none = plain(self.tr("No gear of that name. Try a shorter word."), "soft")
        self._none.hide()
        column = QVBoxLayout(self)
        column.setContentsMargins(12, 10, 8, 8)
        column.setSpacing(7)
        column.addWidget(plain(self.tr("Shelf"), "title"))
        column.addWidget(self.search)
        column.addWidget(self._none)
        column.addWidget(self.tree, 1)
        self.stock(catalogue)

    def stock(self, catalogue: Catalogue) -> None:
        """Show the gear types of a catalogue; the same ones are left alone."""
        gear = tuple(catalogue.gear.values())
        if gear == self._gear:
            return
        self._gear = gear
        self._unmade.clear()
        self.tree.clear()
        for words, categories in HEADINGS:
            rows = [one for category in categories for one in gear if one.category == category]
            if not rows:
                continue
            heading = QTreeWidgetItem([self.tr(words)])
            heading.setChildIndicatorPolicy(QTreeWidgetItem.ChildIndicatorPolicy.ShowIndicator)
            self.tree.addTopLevelItem(heading)
            heading.setData(0, COUNT, len(rows))
            self._unmade[self.tree.topLevelItemCount() - 1] = rows
            heading.setExpanded(self.tree.topLevelItemCount() == 1)
        self._filter(self.search.text())

    def _fill(self, heading: QTreeWidgetItem) -> None:
        """Make the cards under a heading, once it is opened or searched."""
        for one in self._unmade.pop(self.tree.indexOfTopLevelItem(heading), ()):
            item = QTreeWidgetItem(heading, [one.name])
            item.setData(0, GEAR, one.id)
            item.setToolTip(0, tip_of(one))

    def shown(self) -> list[str]:
        """Return the ids of the gear types that fit the search, top to bottom."""
        return [str(item.data(0, GEAR)) for item in self._items() if not item.isHidden()]

    def focus_search(self) -> None:
        """Put the cursor in the search field."""
        self.search.setFocus(Qt.FocusReason.ShortcutFocusReason)
        self.search.selectAll()

    def keyPressEvent(self, event: QKeyEvent) -> None:
        """Down from the search field walks into the list, Escape empties the field."""
        if event.key() == Qt.Key.Key_Down and self.search.hasFocus():
            first = self._first()
            if first is not None:
                self.tree.setCurrentItem(first)
                self.tree.setFocus(Qt.FocusReason.TabFocusReason)
        elif event.key() == Qt.Key.Key_Escape and self.search.text():
            self.search.clear()
        else:
            super().keyPressEvent(event)

    def _items(self) -> list[QTreeWidgetItem]:
        headings = [self.tree.topLevelItem(at) for at in range(self.tree.topLevelItemCount())]
        for heading in headings:
            self._fill(heading)
        return [one.child(at) for one in headings for at in range(one.childCount())]

    def _first(self) -> QTreeWidgetItem | None:
        return next((item for item in self._items() if not item.isHidden()), None)

    def _take_first(self) -> None:
        first = self._first()
        if first is not None and self.search.text().strip():
            self.wanted.emit(first.data(0, GEAR))

    def _filter(self, query: str) -> None:
        wanted, searching = found(self._gear, query), bool(query.strip())
        headings = range(self.tree.topLevelItemCount())
        if searching and self._open_before is None:
            self._open_before = {at for at in headings if self.tree.topLevelItem(at).isExpanded()}
        for at in headings:
            heading = self.tree.topLevelItem(at)
            if searching:
                self._fill(heading)
            fits = at in self._unmade
            for place in range(heading.childCount()):
                item = heading.child(place)
                hidden = item.data(0, GEAR) not in wanted
                item.setHidden(hidden)
                fits = fits or not hidden
            heading.setHidden(not fits)
            if searching:
                heading.setExpanded(True)
            elif self._open_before is not None:
                heading.setExpanded(at in self._open_before)
        if not searching:
            self._open_before = None
        self._none.setVisible(not wanted)
