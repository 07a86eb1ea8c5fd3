"""The top bar: name, menus, the gig in view, the sheets' tabs, and a few buttons."""

from __future__ import annotations

import datetime as dt
from collections.abc import Sequence

from PySide6.QtCore import QSignalBlocker, QSize, Qt, Signal
from PySide6.QtGui import QAction, QFont, QFontMetrics, QResizeEvent
from PySide6.QtWidgets import QHBoxLayout, QMenuBar, QSizePolicy, QTabBar, QToolButton, QVBoxLayout, QWidget

from app.desk import Desk
from app.panes.forms.fields import plain
from app.panes.marks import Chooser
from rigcore.book.book import Book
from rigcore.book.gig import Gig

SPACES_PX = 60
"""What lies between the parts when they are closest."""
TAB_PADDING_PX = 36


def gig_words(book: Book, gig: Gig) -> str:
    """Return a gig as the chooser shows it: rig · house · date."""
    parts = [book.rig(gig.rig).name, book.house(gig.house).name, day_words(gig.date)]
    return " · ".join(part for part in parts if part)


def day_words(date: dt.date | None) -> str:
    """Return a date as spoken, without leading noughts."""
    return f"{date.day} {date:%b %Y}" if date else ""


class TopBar(QWidget):
    """The dark bar. ``gig_chosen(id)`` and ``sheet_chosen(index)`` tell what the user picked."""

    gig_chosen = Signal(str)
    sheet_chosen = Signal(int)

    def __init__(self, menus: QMenuBar, tools: Sequence[QAction], parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self.setProperty("role", "bar")
        self.setAttribute(Qt.WidgetAttribute.WA_StyledBackground)
        menus.setNativeMenuBar(False)
        menus.setSizePolicy(QSizePolicy.Policy.Fixed, QSizePolicy.Policy.Fixed)
        self._menus = menus
        self.gigs = Chooser()
        self.gigs.on_bar = True
        self.gigs.setAccessibleName(self.tr("Gig"))
        self.gigs.setToolTip(self.tr("The gig in view: rig, house and date"))
        self.gigs.setMinimumContentsLength(6)
        self.gigs.setMaximumWidth(380)
        self.gigs.activated.connect(self._pick)
        self.tabs = SheetTabs()
        self.tabs.setAccessibleName(self.tr("Sheets"))
        self.tabs.currentChanged.connect(self.sheet_chosen)
        self._ids: list[str] = []
        row = QHBoxLayout(self)
        row.setContentsMargins(16, 0, 12, 0)
        row.setSpacing(6)
        self._brand = plain("Loomwright", "brand", wrap=False)
        row.addWidget(self._brand)
        row.addSpacing(4)
        row.addWidget(menus, 0, Qt.AlignmentFlag.AlignVCenter)
        row.addSpacing(6)
        row.addWidget(self.gigs, 30)
        row.addSpacing(14)
        holder = QVBoxLayout()
        holder.setContentsMargins(0, 0, 0, 0)
        holder.addStretch(1)
        holder.addWidget(self.tabs)
        row.addLayout(holder)
        row.addStretch(1)
        self._tools: list[QWidget] = [_tool(action) for action in tools]
        for tool in self._tools:
            row.addWidget(tool)
        self.setFixedHeight(max(46, self.fontMetrics().height() * 2 + 12))

    def resizeEvent(self, event: QResizeEvent) -> None:
        """Keep menus and tabs whole: what the menus have too goes first, then the program's name."""
        super().resizeEvent(event)
        self._menus.setMinimumWidth(self._menus.sizeHint().width())
        margins = self.layout().contentsMargins()
        kept = (self._menus.sizeHint(), self.gigs.minimumSizeHint(), self.tabs.sizeHint())
        room = self.width() - margins.left() - margins.right() - SPACES_PX - sum(size.width() for size in kept)
        parts: list[list[QWidget]] = [self._tools[-1:], [self._brand], self._tools[:-1]]
        for group in parts:
            room -= sum(part.sizeHint().width() + self.layout().spacing() for part in group)
            for part in group:
                part.setVisible(room >= 0)

    def show_gigs(self, desk: Desk) -> None:
        """List the gigs of the book, the one in view chosen."""
        book = desk.book
        self._ids = [gig.id for gig in book.gigs]
        words = [gig_words(book, gig) for gig in book.gigs]
        with QSignalBlocker(self.gigs):
            if [self.gigs.itemText(at) for at in range(self.gigs.count())] != words:
                self.gigs.clear()
                self.gigs.addItems(words)
            self.gigs.setCurrentIndex(self._ids.index(desk.gig_id))
        self.gigs.setEnabled(True)

    def add_sheet(self, name: str) -> None:
        """Add the tab of a sheet."""
        self.tabs.addTab(name)

    def _pick(self, index: int) -> None:
        if 0 <= index < len(self._ids):
            self.gig_chosen.emit(self._ids[index])


class SheetTabs(QTabBar):
    """The tabs: each wide enough for its name in the strong type of the one in front, so that none is ever cut."""

    def __init__(self, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self.setProperty("role", "sheets")
        self.setDrawBase(False)
        self.setExpanding(False)
        self.setUsesScrollButtons(False)
        self.setElideMode(Qt.TextElideMode.ElideNone)
        self.setSizePolicy(QSizePolicy.Policy.Fixed, QSizePolicy.Policy.Fixed)

    def tabSizeHint(self, index: int) -> QSize:
        """Return the size a tab needs in front."""
        strong = QFont(self.font())
        strong.setWeight(QFont.Weight.DemiBold)
        words = QFontMetrics(strong).horizontalAdvance(self.tabText(index))
        size = super().tabSizeHint(index)
        return QSize(max(size.width(), words + TAB_PADDING_PX), size.height())

    def minimumSizeHint(self) -> QSize:
        """Never narrower than all the tabs."""
        return self.sizeHint()


def _tool(action: QAction) -> QToolButton:
    button = QToolButton()
    button.setDefaultAction(action)
    button.setToolButtonStyle(Qt.ToolButtonStyle.ToolButtonTextOnly)
    button.setFocusPolicy(Qt.FocusPolicy.TabFocus)
    return button
