"""If something dies: what falls silent, what to do, who has a spare. Worked out off the interface thread."""

from __future__ import annotations

from typing import Any

from PySide6.QtCore import Qt, QThreadPool
from PySide6.QtWidgets import QDialog, QDialogButtonBox, QFrame, QScrollArea, QVBoxLayout, QWidget

from app.desk import Desk
from app.dialogs.book_files import Job
from app.panes.forms.fields import plain

SIZE = (680, 600)


class LifelinesDialog(QDialog):
    """The lifeline card of the gig in view."""

    def __init__(self, desk: Desk, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self.setWindowTitle(self.tr("If something dies"))
        self._said = plain(self.tr("Working out what hangs on what…"), "soft")
        self._column = QVBoxLayout()
        self._column.setSpacing(10)
        page = QWidget()
        page.setLayout(self._column)
        scroll = QScrollArea()
        scroll.setWidgetResizable(True)
        scroll.setHorizontalScrollBarPolicy(Qt.ScrollBarPolicy.ScrollBarAlwaysOff)
        scroll.setWidget(page)
        scroll.setProperty("role", "reading")
        scroll.setAccessibleName(self.tr("Lifelines"))
        page.setAutoFillBackground(False)
        scroll.viewport().setAutoFillBackground(False)
        buttons = QDialogButtonBox()
        buttons.addButton(self.tr("Close"), QDialogButtonBox.ButtonRole.RejectRole)
        buttons.rejected.connect(self.reject)
        column = QVBoxLayout(self)
        column.setContentsMargins(16, 14, 16, 14)
        column.setSpacing(10)
        column.addWidget(plain(self.tr("If something dies"), "title"))
        column.addWidget(self._said)
        column.addWidget(scroll, 1)
        column.addWidget(buttons)
        self.resize(*SIZE)
        self.rows: tuple[Any, ...] | None = None
        patch = desk.analysis().patch
        self._is_wired = bool(patch.rig.links or patch.gig.landings)
        self._job = Job(lambda: _card(patch))
        self._job.answer.done.connect(self._show)
        self._job.answer.failed.connect(self._said.setText)
        QThreadPool.globalInstance().start(self._job)

    def _show(self, rows: tuple[Any, ...]) -> None:
        self.rows = rows
        words = self.tr("What silences most stands first. {} single points of failure.").format(len(rows))
        if not rows:
            words = self.tr("No single thing silences anything that must be heard.")
            if not self._is_wired:
                words = self.tr("Nothing is wired yet: on the Patch sheet, draw cables down to the house line.")
        self._said.setText(words)
        for row in rows:
            self._column.addWidget(self._card(row))
        self._column.addStretch(1)

    def _card(self, row: Any) -> QFrame:
        card = QFrame()
        card.setProperty("role", "row")
        inside = QVBoxLayout(card)
        inside.setContentsMargins(12, 8, 12, 8)
        inside.setSpacing(3)
        inside.addWidget(plain(row.dies, "strong"))
        inside.addWidget(plain(self.tr("Silent: {}").format(row.silent)))
        inside.addWidget(plain(self.tr("Do: {}").format(row.do or self.tr("nothing at hand helps"))))
        spare = {"yes": self.tr("a spare is packed"), "house": self.tr("the house may lend one")}.get(
            row.spare, self.tr("no spare is packed")
        )
        inside.addWidget(plain("; ".join((spare, *(one.removesuffix(".") for one in row.caution))), "soft"))
        return card


def _card(patch: Any) -> object:
    from rigcore.lists.lifeline_card import lifeline_card

    return lifeline_card(patch)
