"""The findings pane: what the rules say about the gig in view, worst first."""

from __future__ import annotations

from collections import Counter

from PySide6.QtCore import Qt, QTimer, Signal
from PySide6.QtGui import QPaintEvent
from PySide6.QtWidgets import QHBoxLayout, QScrollArea, QVBoxLayout, QWidget

from app.desk import Desk
from app.panes.accepting import AcceptedRow
from app.panes.finding_row import FindingRow
from app.panes.forms.fields import plain
from app.viewport import own_viewport
from rigcore.analysis import Analysis
from rigcore.book.book import AcceptedRisk
from rigcore.book.edits.risks import accept_risk, take_back
from rigcore.rules.accepted import acceptance
from rigcore.rules.rule import SEVERITIES, Finding, Remedy, Rule, Thing

Key = tuple[str, tuple[Thing, ...], str]

AT_ONCE = 6
"""How many rows are made at once: more than the pane shows at its usual height."""
LATER, REST_MS = 24, 200
"""So many follow so long after these have been painted, and so on."""

PLURAL = {"fault": ("fault", "faults"), "risk": ("risk", "risks"), "note": ("note", "notes")}


def rule_of(rule_id: str) -> Rule | None:
    """Return the rule of that id, None if the rulebook has none."""
    from rigcore.rules.rulebook import rule

    return rule(rule_id)


def count_words(findings: tuple[Finding, ...]) -> str:
    """Return the findings counted: ``1 fault · 1 risk · 3 notes``."""
    count = Counter(one.severity for one in findings)
    parts = [f"{count[name]} {PLURAL[name][count[name] != 1]}" for name in SEVERITIES if count[name]]
    return " · ".join(parts) or "nothing found"


def worst_first(findings: tuple[Finding, ...]) -> list[Finding]:
    """Return the findings by severity, else in the order of the rules."""
    return sorted(findings, key=lambda one: SEVERITIES.index(one.severity))


class FindingsPane(QWidget):
    """The pane at the bottom.

    ``show_things(things)`` asks to bring a place into view, ``opened`` tells of an opened row.
    """

    show_things = Signal(object)
    opened = Signal()

    def __init__(self, desk: Desk, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self.setProperty("role", "findings")
        self.setAttribute(Qt.WidgetAttribute.WA_StyledBackground)
        self.setAccessibleName(self.tr("Findings"))
        self._desk = desk
        self._findings: dict[Key, Finding] = {}
        self._rows: dict[Key, FindingRow] = {}
        self._order: list[FindingRow] = []
        self._count = plain("", "soft", wrap=False)
        self._list = QWidget()
        self._list.setProperty("role", "column")
        self._column = QVBoxLayout(self._list)
        self._column.setContentsMargins(14, 2, 14, 10)
        self._column.setSpacing(6)
        self._empty = plain("", "soft")
        self._column.addWidget(self._empty)
        self._taken = plain(self.tr("Accepted"), "heading", wrap=False)
        self._column.addWidget(self._taken)
        self._taken.hide()
        self._accepted: list[AcceptedRow] = []
        self._column.addStretch(1)
        self._scroll = QScrollArea()
        viewport = own_viewport(self._scroll)
        self._scroll.setWidgetResizable(True)
        self._scroll.setHorizontalScrollBarPolicy(Qt.ScrollBarPolicy.ScrollBarAlwaysOff)
        self._scroll.setFocusPolicy(Qt.FocusPolicy.NoFocus)
        self._scroll.setWidget(self._list)
        self._list.setAutoFillBackground(False)
        viewport.setAutoFillBackground(False)
        head = QHBoxLayout()
        head.setContentsMargins(14, 8, 14, 4)
        head.setSpacing(10)
        head.addWidget(plain(self.tr("Findings"), "title", wrap=False))
        head.addWidget(self._count, 0, Qt.AlignmentFlag.AlignVCenter)
        head.addStretch(1)
        self._checking = plain(self.tr("checking…"), "soft", wrap=False)
        self._checking.hide()
        head.addWidget(self._checking, 0, Qt.AlignmentFlag.AlignVCenter)
        whole = QVBoxLayout(self)
        whole.setContentsMargins(0, 0, 0, 0)
        whole.setSpacing(0)
        whole.addLayout(head)
        whole.addWidget(self._scroll, 1)
        self._rest = QTimer(self)
        self._rest.setSingleShot(True)
        self._rest.setInterval(REST_MS)
        self._rest.timeout.connect(lambda: self._lay_rows(LATER))
        desk.analysed.connect(self._take)
        desk.checking.connect(self._checking.setVisible)

    @property
    def rows(self) -> list[FindingRow]:
        """The rows made so far, top to bottom."""
        return list(self._order)

    @property
    def words(self) -> str:
        """The count line."""
        return self._count.text()

    def _take(self, analysis: Analysis) -> None:
        self.show_findings(analysis.findings)
        self._show_accepted(analysis)

    def _show_accepted(self, analysis: Analysis) -> None:
        for row in self._accepted:
            self._column.removeWidget(row)
            row.hide()
            row.deleteLater()
        found = [AcceptedRow(risk, finding) for finding, risk in analysis.accepted]
        self._accepted = [*found, *(AcceptedRow(risk, None) for risk in analysis.lapsed)]
        for at, row in enumerate(self._accepted):
            row.taken_back.connect(self._take_back)
            self._column.insertWidget(self._column.indexOf(self._taken) + 1 + at, row)
        self._taken.setVisible(bool(self._accepted))
        nothing = self.tr("The rules find nothing to say about this gig.")
        nothing_more = self.tr("The rules find nothing beyond what you have accepted.")
        self._empty.setText(nothing_more if analysis.accepted else nothing)

    def _take_back(self, risk: AcceptedRisk) -> None:
        self._desk.edit(self.tr("Take an accepted risk back"), lambda book: take_back(book, risk))

    def _accept(self, row: FindingRow, reason: str) -> None:
        risk = acceptance(row.finding, self._desk.gig_id, reason)
        self._desk.edit(self.tr("Accept a risk"), lambda book: accept_risk(book, risk))

    def show_findings(self, findings: tuple[Finding, ...]) -> None:
        """Show these findings; rows that stay keep their focus, their state and the scroll its place."""
        self._findings = {}
        for finding in worst_first(findings):
            self._findings.setdefault((finding.rule, finding.things, finding.sentence), finding)
        self._lay_rows()

    def settle(self) -> None:
        """Make now what would follow later, for a picture of all there is."""
        self._lay_rows(len(self._findings))

    def _lay_rows(self, most: int = AT_ONCE) -> None:
        """Make some of the rows that are wanted, the worst first, and the others once these have been seen."""
        place = self._scroll.verticalScrollBar().value()
        had_focus = next((at for at, row in enumerate(self._order) if row.hasFocus()), None)
        old, self._rows, self._order = self._rows, {}, []
        new = 0
        for key, finding in self._findings.items():
            row = old.get(key)
            if row is not None and row.finding == finding:
                old.pop(key)
                row.renew(finding)
            elif new < most:
                row = self._new_row(finding)
                new += 1
            else:
                continue
            self._rows[key] = row
            self._order.append(row)
        for row in old.values():
            self._column.removeWidget(row)
            row.hide()
            row.deleteLater()
        for at, row in enumerate(self._order):
            if self._column.indexOf(row) != at:
                self._column.insertWidget(at, row)
        self._empty.setVisible(not self._findings)
        self._count.setText(count_words(tuple(self._findings.values())))
        if had_focus is not None and self._order and not any(row.hasFocus() for row in self._order):
            self._order[min(had_focus, len(self._order) - 1)].setFocus()
        self._column.activate()
        self._scroll.verticalScrollBar().setValue(place)

    def paintEvent(self, event: QPaintEvent) -> None:
        """Let the next rows follow once these are seen."""
        super().paintEvent(event)
        if len(self._order) < len(self._findings):
            self._rest.start()

    def focus_first(self) -> None:
        """Put the focus on the worst finding."""
        if self._order:
            self._order[0].setFocus(Qt.FocusReason.ShortcutFocusReason)

    def _new_row(self, finding: Finding) -> FindingRow:
        row = FindingRow(finding, rule_of)
        row.chosen.connect(self._choose)
        row.walked.connect(self._walk)
        row.toggled.connect(self._opened)
        row.remedied.connect(self._remedy)
        row.accepted.connect(self._accept)
        return row

    def _choose(self, row: FindingRow) -> None:
        self.show_things.emit(row.finding.things)

    def _opened(self, row: FindingRow, wide: bool) -> None:
        if wide:
            self.opened.emit()
            # twice: the row and the list around it take their new heights in two turns
            QTimer.singleShot(0, self, lambda: QTimer.singleShot(0, self, lambda: self._reveal(row)))

    def _reveal(self, row: FindingRow) -> None:
        """Scroll an opened row into view, its head before its foot."""
        if row not in self._order:
            return
        bar, room = self._scroll.verticalScrollBar(), self._scroll.viewport().height()
        if row.y() + row.height() > bar.value() + room:
            bar.setValue(min(row.y() - 4, row.y() + row.height() - room + 6))
        if row.y() < bar.value():
            bar.setValue(row.y() - 4)

    def _walk(self, row: FindingRow, step: int) -> None:
        at = self._order.index(row) + step
        if 0 <= at < len(self._order):
            self._order[at].setFocus(Qt.FocusReason.TabFocusReason)
            self._scroll.ensureWidgetVisible(self._order[at], 0, 6)

    def _remedy(self, remedy: Remedy) -> None:
        self._desk.edit(remedy.words, remedy.apply)
