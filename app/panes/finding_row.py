"""One finding as a row that opens: badge, sentence, working, basis, remedies."""

from __future__ import annotations

from collections.abc import Callable
from html import escape

from PySide6.QtCore import Qt, Signal
from PySide6.QtGui import QFontMetrics, QKeyEvent, QMouseEvent, QResizeEvent
from PySide6.QtWidgets import QFrame, QHBoxLayout, QPushButton, QVBoxLayout, QWidget

from app.panes.accepting import AcceptField
from app.panes.forms.fields import Elided, button_text, plain
from app.panes.marks import Badge
from rigcore.book.house import fact_words
from rigcore.rules.accepted import can_accept
from rigcore.rules.rule import Finding, Remedy, Rule
from rigcore.rules.words import pieces

WIDEST_REMEDY = 210
NARROW_PX = 640
"""Below this width remedies stand under the working, not beside the sentence."""
INDENT_PX = 34
Lookup = Callable[[str], Rule | None]


def even_lines(text: str, metrics: QFontMetrics, room_px: int) -> str:
    """Return a text in one line, or broken at a blank into two lines about as wide; what does not fit is elided."""
    if metrics.horizontalAdvance(text) <= room_px:
        return text
    words = pieces(text)
    halves = [(" ".join(words[:count]), " ".join(words[count:])) for count in range(1, len(words))]
    if not halves:
        return metrics.elidedText(text, Qt.TextElideMode.ElideRight, room_px)
    best = min(halves, key=lambda half: max(metrics.horizontalAdvance(line) for line in half))
    return "\n".join(metrics.elidedText(line, Qt.TextElideMode.ElideRight, room_px) for line in best)


class FindingRow(QFrame):
    """A finding.

    ``chosen`` when clicked or entered, ``toggled`` when opened or closed, ``walked(step)`` by arrows,
    ``accepted(reason)`` when the player takes the risk.
    """

    chosen = Signal(object)
    toggled = Signal(object, bool)
    walked = Signal(object, int)
    remedied = Signal(object)
    accepted = Signal(object, str)

    def __init__(self, finding: Finding, rule_of: Lookup, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self.setProperty("role", "row")
        self.setFocusPolicy(Qt.FocusPolicy.StrongFocus)
        self.setCursor(Qt.CursorShape.PointingHandCursor)
        self.finding = finding
        self._rule_of = rule_of
        self._more: QWidget | None = None
        self.setAccessibleName(self.tr("{}: {}").format(finding.severity, finding.sentence))
        self.setAccessibleDescription("; ".join(finding.working))
        self._column = QVBoxLayout(self)
        self._column.setContentsMargins(10, 7, 10, 7)
        self._column.setSpacing(4)
        top = QHBoxLayout()
        top.setSpacing(10)
        top.addWidget(Badge(finding.severity), 0, Qt.AlignmentFlag.AlignVCenter)
        words = QVBoxLayout()
        words.setSpacing(1)
        self._sentence = plain(finding.sentence, "strong" if finding.severity == "fault" else "")
        words.addWidget(self._sentence)
        short = self._short()
        # with its parent from the start: shown without one it would be a window, and take the keyboard away
        self._brief = Elided(short, "soft", self, lines=2)
        self._brief.setVisible(bool(short))
        words.addWidget(self._brief)
        top.addLayout(words, 1)
        self._top = top
        self._foot = QHBoxLayout()
        self._foot.setContentsMargins(INDENT_PX, 2, 0, 0)
        self._foot.addStretch(1)
        self._is_narrow = False
        self._buttons = self._remedy_buttons(finding.remedies)
        self._arrow = QPushButton("▸")
        self._arrow.setProperty("role", "link")
        self._arrow.setFixedWidth(24)
        self._arrow.setFocusPolicy(Qt.FocusPolicy.NoFocus)
        self._arrow.setToolTip(self.tr("Show the working and the basis"))
        self._arrow.setAccessibleName(self.tr("Working and basis"))
        self._arrow.clicked.connect(lambda: self.open(not self.is_open))
        top.addWidget(self._arrow)
        self._column.addLayout(top)
        self._column.addLayout(self._foot)
        self._place_first()

    @property
    def is_open(self) -> bool:
        """Whether working and basis are shown."""
        return self._more is not None

    @property
    def buttons(self) -> list[QPushButton]:
        """The buttons of the remedies; all but the first are shown when the row is open."""
        return self._buttons

    def renew(self, finding: Finding) -> None:
        """Take the same finding of a later analysis: only its remedies can differ."""
        if [one.words for one in finding.remedies] != [one.words for one in self.finding.remedies]:
            self.open(False)
            for button in self._buttons:
                button.hide()
                button.deleteLater()
            self.finding = finding
            self._buttons = self._remedy_buttons(finding.remedies)
            self._place_first()
        self.finding = finding

    def resizeEvent(self, event: QResizeEvent) -> None:
        """Take the first remedy under the working where the row grows narrow, and back."""
        super().resizeEvent(event)
        if self._is_narrow != (self.width() < NARROW_PX):
            self._is_narrow = not self._is_narrow
            self._place_first()

    def _place_first(self) -> None:
        """Put the first remedy beside the sentence, or under the working where the row is narrow."""
        if not self._buttons:
            return
        first = self._buttons[0]
        if self._is_narrow:
            self._top.removeWidget(first)
            self._foot.insertWidget(0, first)
        else:
            self._foot.removeWidget(first)
            self._top.insertWidget(self._top.count() - 1, first)

    def open(self, wide: bool) -> None:
        """Show or hide working and basis."""
        if wide == self.is_open:
            return
        self._arrow.setText("▾" if wide else "▸")
        if self._more is not None:
            self._column.removeWidget(self._more)
            self._more.hide()
            for button in self._buttons[1:]:
                button.setParent(self)
                button.hide()
            self._more.deleteLater()
            self._more = None
        else:
            self._more = self._working()
            self._column.addWidget(self._more)
        self._brief.setVisible(not wide and bool(self._brief.whole))
        self.toggled.emit(self, wide)

    def _short(self) -> str:
        if not self.finding.working:
            return ""
        return self.tr("working: {}").format(" · ".join(self.finding.working))

    def _remedy_buttons(self, remedies: tuple[Remedy, ...]) -> list[QPushButton]:
        buttons = []
        for number, remedy in enumerate(remedies):
            button = QPushButton(self)
            button.setText(button_text(even_lines(remedy.words, button.fontMetrics(), WIDEST_REMEDY)))
            button.setProperty("role", "remedy")
            button.setAccessibleName(remedy.words)
            button.setAccessibleDescription(self.finding.sentence)
            button.setToolTip(escape(remedy.words))
            button.hide()
            button.clicked.connect(lambda _on=False, number=number: self._apply(number))
            buttons.append(button)
        if buttons:
            buttons[0].show()
        return buttons

    def _apply(self, number: int) -> None:
        self.remedied.emit(self.finding.remedies[number])

    def _working(self) -> QWidget:
        more = QWidget()
        column = QVBoxLayout(more)
        column.setContentsMargins(INDENT_PX, 0, 4, 2)
        column.setSpacing(3)
        for line in self.finding.working:
            column.addWidget(plain(line))
        if len(self._buttons) > 1:
            column.addLayout(self._other_remedies())
        rule = self._rule_of(self.finding.rule)
        if rule is not None:
            column.addWidget(plain(self.tr("Why: {}").format(rule.why), "soft"))
            column.addWidget(plain(self.tr("Sum: {}").format(rule.working), "soft"))
            column.addWidget(plain(self.tr("Basis: {}").format("; ".join(rule.basis)), "soft"))
        if self.finding.assumed:
            words = self.tr("Assumed, not known: {}").format("; ".join(map(fact_words, self.finding.assumed)))
            column.addWidget(plain(words, "soft"))
        column.addWidget(plain(self.tr("Rule {}").format(self.finding.rule), "soft"))
        if can_accept(self.finding):
            field = AcceptField()
            field.given.connect(lambda reason: self.accepted.emit(self, reason))
            column.addWidget(field)
        return more

    def _other_remedies(self) -> QHBoxLayout:
        row = QHBoxLayout()
        row.setContentsMargins(0, 2, 0, 2)
        row.setSpacing(8)
        row.addWidget(plain(self.tr("or"), "soft", wrap=False))
        for button in self._buttons[1:]:
            row.addWidget(button)
            button.show()
        row.addStretch(1)
        return row

    def mousePressEvent(self, event: QMouseEvent) -> None:
        """Take the focus and show the place."""
        if event.button() == Qt.MouseButton.LeftButton:
            self.setFocus(Qt.FocusReason.MouseFocusReason)
            self.chosen.emit(self)
        super().mousePressEvent(event)

    def mouseDoubleClickEvent(self, _event: QMouseEvent) -> None:
        """Open or close."""
        self.open(not self.is_open)

    def keyPressEvent(self, event: QKeyEvent) -> None:
        """Enter shows the place, arrows walk, open and close."""
        key = event.key()
        if key in (Qt.Key.Key_Return, Qt.Key.Key_Enter):
            self.chosen.emit(self)
        elif key in (Qt.Key.Key_Up, Qt.Key.Key_Down):
            self.walked.emit(self, 1 if key == Qt.Key.Key_Down else -1)
        elif key in (Qt.Key.Key_Right, Qt.Key.Key_Left):
            self.open(key == Qt.Key.Key_Right)
        elif key == Qt.Key.Key_Space:
            self.open(not self.is_open)
        else:
            super().keyPressEvent(event)
