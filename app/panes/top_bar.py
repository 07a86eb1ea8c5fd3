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

TAB_PADDING_PX = 30


def gig_words(book: Book, gig: Gig) -> str:
    """Return a gig as the chooser shows it: rig · house · date."""
    parts = [book.rig(gig.rig).name, book.house(gig.house).name, day_words(gig.date)]
    return " · ".join(part for part in parts if part)


def day_words(date: dt.date | None) -> str:
    """Return a date as spoken, without leading noughts."""
    return f"{date.day} {date:%b %Y}" if date else ""


class TopBar(QWidget):
    """The dark bar: menus and buttons above, sheets and the gig in view below.

    ``gig_chosen(id)`` and ``sheet_chosen(index)`` tell what the user picked.
    """

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
        self._tools: list[QWidget] = [_tool(action) for action in tools]
        first = QHBoxLayout()
        first.setContentsMargins(16, 4, 12, 0)
        first.setSpacing(6)
        first.addWidget(plain("Loomwright", "brand", wrap=False))
        first.addSpacing(4)
        first.addWidget(menus, 0, Qt.AlignmentFlag.AlignVCenter)
        first.addStretch(1)
        for tool in self._tools:
            first.addWidget(tool)
        second = QHBoxLayout()
        second.setContentsMargins(8, 0, 12, 0)
        second.setSpacing(12)
        second.addWidget(self.tabs, 0, Qt.AlignmentFlag.AlignBottom)
        second.addStretch(1)
        second.addWidget(self.gigs, 30, Qt.AlignmentFlag.AlignVCenter)
        rows = QVBoxLayout(self)
        rows.setContentsMargins(0, 0, 0, 0)
        rows.setSpacing(0)
        rows.addLayout(first)
        rows.addLayout(second)
        self.setSizePolicy(QSizePolicy.Policy.Preferred, QSizePolicy.Policy.Fixed)

    def resizeEvent(self, event: QResizeEvent) -> None:
        """Keep the menus whole."""
        super().resizeEvent(event)
        self._menus.setMinimumWidth(self._menus.sizeHint().width())

    def show_gigs(self, desk: Desk) -> None:
        """List the gigs of the book that are not put away, the one in view chosen."""
        book = desk.book
        gigs = [gig for gig in book.gigs if not gig.archived or gig.id == desk.gig_id]
        self._ids = [gig.id for gig in gigs]
        words = [gig_words(book, gig) for gig in gigs]
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
