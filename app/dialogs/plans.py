"""Everything the book plans, in one list: gigs, rigs and houses to show, copy, rename, put away and remove."""

from __future__ import annotations

from collections.abc import Callable

from PySide6.QtCore import Qt
from PySide6.QtGui import QFont
from PySide6.QtWidgets import (
    QAbstractItemView,
    QDialog,
    QHBoxLayout,
    QPushButton,
    QTreeWidget,
    QTreeWidgetItem,
    QVBoxLayout,
    QWidget,
)

from app.desk import Desk
from app.panes.forms.fields import plain
from app.panes.top_bar import day_words
from rigcore.book.book import Book
from rigcore.book.edits.plans import KINDS, Kind, Plan, copy, plan_of, plans, put_away, remove, rename, why_kept

WHAT = Qt.ItemDataRole.UserRole
SIZE = (720, 480)


class PlansDialog(QDialog):
    """The list with its buttons. Every button is one step of the history; nothing is asked twice."""

    def __init__(self, desk: Desk, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self.setWindowTitle(self.tr("Gigs, rigs and houses"))
        self._desk = desk
        self._is_filling = False
        self.list = QTreeWidget()
        self.list.setColumnCount(2)
        self.list.setProperty("role", "list")
        self.list.setHeaderHidden(True)
        self.list.setIndentation(14)
        self.list.setRootIsDecorated(False)
        self.list.setUniformRowHeights(True)
        self.list.setAccessibleName(self.tr("Gigs, rigs and houses"))
        self.list.setEditTriggers(
            QAbstractItemView.EditTrigger.EditKeyPressed | QAbstractItemView.EditTrigger.SelectedClicked
        )
        self.list.itemChanged.connect(self._renamed)
        self.list.currentItemChanged.connect(lambda _now, _old: self._enable())
        self.list.itemDoubleClicked.connect(lambda _item, _column: self._show())
        self._reason = plain("", "soft")
        self.show_it = self._button(self.tr("&Show"), self._show)
        self.copy_it = self._button(self.tr("&Copy"), self._copy)
        self.rename_it = self._button(self.tr("&Rename"), self._rename)
        self.away = self._button(self.tr("&Put away"), self._put_away)
        self.remove_it = self._button(self.tr("Remo&ve"), self._remove)
        close = self._button(self.tr("Close"), self.accept)
        buttons = QVBoxLayout()
        buttons.setSpacing(6)
        for button in (self.show_it, self.copy_it, self.rename_it, self.away, self.remove_it):
            buttons.addWidget(button)
        buttons.addStretch(1)
        buttons.addWidget(close)
        row = QHBoxLayout()
        row.setSpacing(12)
        row.addWidget(self.list, 1)
        row.addLayout(buttons)
        column = QVBoxLayout(self)
        column.setContentsMargins(14, 14, 14, 14)
        column.setSpacing(8)
        words = self.tr("What is put away stays in the book and out of sight. Every step can be undone.")
        column.addWidget(plain(words, "soft"))
        column.addLayout(row, 1)
        column.addWidget(self._reason)
        self.resize(*SIZE)
        self._fill(("gig", desk.gig_id))
        desk.refused.connect(self._reason.setText)

    @property
    def chosen(self) -> tuple[Kind, str] | None:
        """The kind and id of the chosen row."""
        item = self.list.currentItem()
        return item.data(0, WHAT) if item is not None else None

    def choose(self, kind: Kind, plan_id: str) -> None:
        """Choose a row."""
        for at in range(self.list.topLevelItemCount()):
            head = self.list.topLevelItem(at)
            for place in range(head.childCount()):
                if head.child(place).data(0, WHAT) == (kind, plan_id):
                    self.list.setCurrentItem(head.child(place))

    # -- parts -------------------------------------------------------------------------------

    def _button(self, words: str, do: Callable[[], object]) -> QPushButton:
        button = QPushButton(words)
        button.setAutoDefault(False)
        button.clicked.connect(lambda: do())
        return button

    def _fill(self, chosen: tuple[Kind, str] | None) -> None:
        self._is_filling = True
        self.list.clear()
        self.list.ensurePolished()  # rows keep the height they are first measured with
        book = self._desk.book
        for kind in KINDS:
            head = QTreeWidgetItem(self.list, [{"gig": self.tr("Gigs"), "rig": self.tr("Rigs"),
                                                "house": self.tr("Houses")}[kind]])
            head.setFlags(Qt.ItemFlag.ItemIsEnabled)
            strong = QFont(self.font())
            strong.setWeight(QFont.Weight.DemiBold)
            head.setFont(0, strong)
            for plan in sorted(plans(book, kind), key=lambda one: one.archived):
                item = QTreeWidgetItem(head, [plan.name, about(book, kind, plan)])
                item.setData(0, WHAT, (kind, plan.id))
                item.setFlags(item.flags() | Qt.ItemFlag.ItemIsEditable)
                if plan.archived:
                    item.setForeground(0, self.palette().placeholderText())
                item.setForeground(1, self.palette().placeholderText())
            head.setExpanded(True)
        self.list.resizeColumnToContents(0)
        self._is_filling = False
        if chosen is not None:
            self.choose(*chosen)
        self._enable()

    def _enable(self) -> None:
        chosen = self.chosen
        for button in (self.copy_it, self.rename_it, self.away, self.remove_it):
            button.setEnabled(chosen is not None)
        self.show_it.setEnabled(chosen is not None and chosen[0] == "gig")
        self._reason.setText("")
        if chosen is None:
            return
        kind, plan_id = chosen
        is_away = plan_of(self._desk.book, kind, plan_id).archived
        self.away.setText(self.tr("&Take out again") if is_away else self.tr("&Put away"))
        reason = why_kept(self._desk.book, kind, plan_id)
        self.remove_it.setEnabled(not reason)
        if reason:
            self._reason.setText(self.tr("Cannot be removed: {}.").format(reason))

    def _edit(self, words: str, change: Callable[[Book], Book], then: tuple[Kind, str] | None) -> None:
        if self._desk.edit(words, change):
            self._fill(then)

    def _show(self) -> None:
        if self.chosen is not None and self.chosen[0] == "gig":
            self._desk.show_gig(self.chosen[1])
            self.accept()

    def _copy(self) -> None:
        kind, plan_id = self.chosen or ("gig", "")
        _, copy_id = copy(self._desk.book, kind, plan_id)
        name = plan_of(self._desk.book, kind, plan_id).name
        self._edit(self.tr("Copy {}").format(name), lambda book: copy(book, kind, plan_id)[0], (kind, copy_id))

    def _rename(self) -> None:
        self.list.editItem(self.list.currentItem(), 0)

    def _renamed(self, item: QTreeWidgetItem, column: int) -> None:
        if self._is_filling or column != 0:
            return
        kind, plan_id = item.data(0, WHAT)
        name = item.text(0)
        old = plan_of(self._desk.book, kind, plan_id).name
        if name != old:
            words = self.tr("Rename {} to {}").format(old, name)
            self._desk.edit(words, lambda book: rename(book, kind, plan_id, name))
        reason = self._reason.text()
        self._fill((kind, plan_id))
        if plan_of(self._desk.book, kind, plan_id).name != name:
            self._reason.setText(reason)

    def _put_away(self) -> None:
        kind, plan_id = self.chosen or ("gig", "")
        plan = plan_of(self._desk.book, kind, plan_id)
        words = self.tr("Take {} out again") if plan.archived else self.tr("Put {} away")
        away = not plan.archived
        self._edit(words.format(plan.name), lambda book: put_away(book, kind, plan_id, away), (kind, plan_id))

    def _remove(self) -> None:
        kind, plan_id = self.chosen or ("gig", "")
        name = plan_of(self._desk.book, kind, plan_id).name
        self._edit(self.tr("Remove {}").format(name), lambda book: remove(book, kind, plan_id), None)


def about(book: Book, kind: Kind, plan: Plan) -> str:
    """Return what stands beside a name in the list: where and when, or how often it is used."""
    if kind == "gig":
        words = " · ".join(filter(None, (book.rig(plan.rig).name, book.house(plan.house).name, day_words(plan.date))))
    else:
        times = sum(plan.id in (one.rig if kind == "rig" else one.house,) for one in book.gigs)
        words = f"{times} gig" if times == 1 else f"{times} gigs"
    return f"{words} · put away" if plan.archived else words
