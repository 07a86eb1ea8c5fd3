"""The player's stock as a form: cables, adapters and boxes, counted, with what the gig in view needs beside."""

from __future__ import annotations

from PySide6.QtCore import QSize
from PySide6.QtWidgets import QDialog, QDialogButtonBox, QPushButton, QVBoxLayout, QWidget

from app.desk import Desk
from app.dialogs.stock_rows import StockPanel
from app.panes.forms.fields import Form, plain
from rigcore.book.edits.stock import keep_stock, stock_from_draft
from rigcore.lists.stock_needs import stock_needs

LEAST = (660, 430)
SIZE = (900, 560)


class StockForm(QDialog):
    """Edits the stock of the book as one step."""

    def __init__(self, desk: Desk, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self.setWindowTitle(self.tr("Stock"))
        self._desk = desk
        patch = desk.analysis().patch
        rows = [item.model_dump(mode="json", exclude_defaults=True) for item in desk.book.stock]
        self.panel = StockPanel(rows, desk.catalogue, self.check, lambda stock: stock_needs(patch, stock))
        self._wrong = plain("", "strong")
        self.own = QPushButton(self.tr("Own what this gig needs"))
        self.own.setAutoDefault(False)
        self.own.setToolTip(self.tr("Add every cable and box the gig in view is short of"))
        self.own.clicked.connect(self.panel.own_missing)
        self.buttons = QDialogButtonBox()
        roles = QDialogButtonBox.ButtonRole
        self.yes = self.buttons.addButton(self.tr("Keep"), roles.AcceptRole)
        self.buttons.addButton(self.tr("Cancel"), roles.RejectRole)
        self.buttons.addButton(self.own, roles.ResetRole)
        self.buttons.accepted.connect(self._keep)
        self.buttons.rejected.connect(self.reject)
        column = QVBoxLayout(self)
        column.setContentsMargins(14, 14, 14, 14)
        column.setSpacing(8)
        words = self.tr("What you own, those in the rig too. Needed and short are for {}.").format(patch.gig.name)
        column.addWidget(plain(words, "soft"))
        column.addWidget(self.panel, 1)
        column.addWidget(self._wrong)
        column.addWidget(self.buttons)
        self.setMinimumSize(*LEAST)
        self.resize(QSize(*SIZE).boundedTo(self.screen().availableSize()))
        self.check()

    @property
    def wrong(self) -> str:
        """What the dialog says does not hold."""
        return self._wrong.text()

    def check(self) -> None:
        """Say what does not hold, and whether the gig is short of anything."""
        self._say(stock_from_draft(self.panel.rows)[1])
        short = sum(need.short for need in self.panel.missing())
        self.own.setEnabled(short > 0)

    def _say(self, words: str) -> None:
        self._wrong.setText(words)
        self._wrong.setVisible(bool(words))

    def _keep(self) -> None:
        for form in self.findChildren(Form):
            form.hand_in()
        stock, wrong = stock_from_draft(self.panel.rows)
        if stock is None:
            self._say(wrong)
            return
        catalogue = self._desk.shipped
        with self._desk.refusals() as refused:
            kept = self._desk.edit(self.tr("Change the stock"), lambda book: keep_stock(book, stock, catalogue))
        if kept:
            self.accept()
        else:
            self._say(refused[0])
