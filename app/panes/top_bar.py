"""The top bar: name, menus, the gig in view, the sheets' tabs, and a few buttons."""

from __future__ import annotations

import datetime as dt
from collections.abc import Sequence

from PySide6.QtCore import QSignalBlocker, Qt, Signal
from PySide6.QtGui import QAction
from PySide6.QtWidgets import QHBoxLayout, QMenuBar, QSizePolicy, QTabBar, QToolButton, QVBoxLayout, QWidget

from app.desk import Desk
from app.panes.forms.fields import plain
from app.panes.marks import Chooser
from rigcore.book.book import Book
from rigcore.book.gig import Gig


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
        menus.setSizePolicy(QSizePolicy.Policy.Maximum, QSizePolicy.Policy.Fixed)
        self.gigs = Chooser()
        self.gigs.on_bar = True
        self.gigs.setAccessibleName(self.tr("Gig"))
        self.gigs.setToolTip(self.tr("The gig in view: rig, house and date"))
        self.gigs.setMinimumContentsLength(24)
        self.gigs.setMaximumWidth(380)
        self.gigs.activated.connect(self._pick)
        self.tabs = QTabBar()
        self.tabs.setProperty("role", "sheets")
        self.tabs.setDrawBase(False)
        self.tabs.setExpanding(False)
        self.tabs.setUsesScrollButtons(False)
        self.tabs.setElideMode(Qt.TextElideMode.ElideNone)
        self.tabs.setAccessibleName(self.tr("Sheets"))
        self.tabs.currentChanged.connect(self.sheet_chosen)
        self._ids: list[str] = []
        row = QHBoxLayout(self)
        row.setContentsMargins(16, 0, 12, 0)
        row.setSpacing(6)
        row.addWidget(plain("Loomwright", "brand", wrap=False))
        row.addSpacing(4)
        row.addWidget(menus, 0, Qt.AlignmentFlag.AlignVCenter)
        row.addSpacing(6)
        row.addWidget(self.gigs, 3)
        row.addSpacing(14)
        holder = QVBoxLayout()
        holder.setContentsMargins(0, 0, 0, 0)
        holder.addStretch(1)
        holder.addWidget(self.tabs)
        row.addLayout(holder)
        row.addStretch(1)
        for action in tools:
            row.addWidget(_tool(action))
        self.setFixedHeight(max(46, self.fontMetrics().height() * 2 + 12))

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


def _tool(action: QAction) -> QToolButton:
    button = QToolButton()
    button.setDefaultAction(action)
    button.setToolButtonStyle(Qt.ToolButtonStyle.ToolButtonTextOnly)
    button.setFocusPolicy(Qt.FocusPolicy.TabFocus)
    return button
