"""The Fit sheet: where every hand-off lands, what the solver would do, and the hand that overrules it."""

from __future__ import annotations

from typing import Any

from PySide6.QtCore import QRect, Qt, QTimer
from PySide6.QtGui import QShowEvent
from PySide6.QtWidgets import (
    QApplication,
    QProgressBar,
    QScrollArea,
    QSplitter,
    QVBoxLayout,
    QWidget,
)

from app.desk import Desk
from app.fit_sheet.board import BoardHead, FitBoard
from app.fit_sheet.board_rows import board
from app.fit_sheet.head import FitHead
from app.fit_sheet.solving import Proposal, Solving, Tour
from app.fit_sheet.tour_table import TourTable
from app.panes.forms.fields import plain
from app.theme import Theme
from rigcore.book.edits.fits import apply_fit
from rigcore.book.edits.gigs import unbind_landing
from rigcore.book.edits.pins import pin_landing
from rigcore.lists.fit_list import chain_words
from rigcore.rules.rule import Thing

SHARES, SHARES_WITH_TABLE = [330, 110], [220, 220]


class FitSheet(QWidget):
    """The sheet. Its public methods are what the window's actions call."""

    def __init__(self, desk: Desk, theme: Theme, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self.setProperty("role", "pane")
        self.setAttribute(Qt.WidgetAttribute.WA_StyledBackground)
        self.desk = desk
        self.solving = Solving(desk.shipped, self)
        self.proposal: Proposal | None = None
        self.tour: Tour | None = None
        self._in_view = ""
        self._told: tuple[str, str] = ("", "")
        self._is_stale = True
        self._build(theme)
        self._listen()
        self.refresh()

    # -- parts -------------------------------------------------------------------------------

    def _build(self, theme: Theme) -> None:
        self.head = FitHead()
        self.buttons, self.lines, self.kit = self.head.buttons, self.head.lines, self.head.kit
        self.board = FitBoard(theme)
        self._scroll = QScrollArea()
        self._scroll.setWidgetResizable(True)
        self._scroll.setHorizontalScrollBarPolicy(Qt.ScrollBarPolicy.ScrollBarAlwaysOff)
        self._scroll.setWidget(self.board)
        self._scroll.setFocusPolicy(Qt.FocusPolicy.NoFocus)
        self._scroll.setAccessibleName(self.tr("Hand-offs and sockets"))
        self._scroll.viewport().setAutoFillBackground(False)
        self.board.setAutoFillBackground(False)
        self._said = plain("", "soft")
        self._empty = plain("", "soft")
        self._bar = QProgressBar()
        self._bar.setTextVisible(False)
        self._bar.setAccessibleName(self.tr("Progress of the solver"))
        self.setFocusProxy(self.board)
        self.parts = QSplitter(Qt.Orientation.Vertical)
        self.parts.setChildrenCollapsible(False)
        self._heads = BoardHead(self.board)
        upper = QWidget()
        over = QVBoxLayout(upper)
        over.setContentsMargins(0, 0, 0, 0)
        over.setSpacing(0)
        over.addWidget(self._heads)
        over.addWidget(self._scroll, 1)
        self.parts.addWidget(upper)
        self.parts.addWidget(self._below())
        self.parts.setStretchFactor(0, 1)
        self.parts.setSizes(SHARES)
        column = QVBoxLayout(self)
        column.setContentsMargins(18, 12, 18, 8)
        column.setSpacing(6)
        column.addWidget(self.head)
        column.addWidget(self._said)
        column.addWidget(self._bar)
        column.addWidget(self._empty)
        column.addWidget(self.parts, 1)
        column.addStretch(0)

    def _below(self) -> QWidget:
        """What is short, and the reasons of the chosen hand-off; or the table of the tour kit."""
        self._short = plain("", "strong")
        self._why_head = plain("", "heading")
        self._why = plain("")
        page = QWidget()
        page.setProperty("role", "column")
        inside = QVBoxLayout(page)
        inside.setContentsMargins(0, 4, 0, 0)
        inside.setSpacing(4)
        for widget in (self._short, self._why_head, self._why):
            inside.addWidget(widget)
        inside.addStretch(1)
        self._words = QScrollArea()
        self._words.setWidgetResizable(True)
        self._words.setHorizontalScrollBarPolicy(Qt.ScrollBarPolicy.ScrollBarAlwaysOff)
        self._words.setWidget(page)
        self._words.setProperty("role", "reading")
        self._words.setAccessibleName(self.tr("What is short, and why it lands so"))
        page.setAutoFillBackground(False)
        self._words.viewport().setAutoFillBackground(False)
        self.table = TourTable()
        self.table.hide()
        below = QWidget()
        both = QVBoxLayout(below)
        both.setContentsMargins(0, 0, 0, 0)
        both.addWidget(self._words, 1)
        both.addWidget(self.table, 1)
        below.setMinimumHeight(3 * self.fontMetrics().height())
        return below

    def _listen(self) -> None:
        self.desk.changed.connect(self._on_changed)
        self.desk.analysed.connect(self._follow)
        self.desk.selected.connect(self._on_selected)
        methods = {"keep": self.fit_it, "fresh": self.fit_afresh, "take": self.take_proposal, "stop": self.stop}
        self.head.pressed.connect(lambda name: methods[name]())
        self.lines.activated.connect(lambda _index: self.fit_on_lines(self.lines.currentData()))
        self.kit.clicked.connect(self.show_tour)
        self.board.chosen.connect(self._choose)
        self.board.wanted.connect(self.land)
        self.board.unwanted.connect(self.unbind)
        self.board.reached.connect(self._reach)
        self.solving.answered.connect(self._take)
        self.solving.failed.connect(self._on_failed)
        self.solving.moved.connect(self._tell)

    # -- what actions call -------------------------------------------------------------------

    def fit_it(self) -> None:
        """Ask for the best fit that keeps what is landed."""
        self._ask(fresh=False)

    def fit_afresh(self) -> None:
        """Ask for the best fit from nothing."""
        self._ask(fresh=True)

    def fit_on_lines(self, lines: int | None) -> None:
        """Show the rig on so many lines of the house; None takes the proposal away."""
        self.lines.setCurrentIndex(self.lines.findData(lines))
        if lines is None:
            self.solving.drop()
            self.proposal = None
            self._say("")
            self.refresh()
        else:
            self._ask(lines=lines)

    def take_proposal(self) -> None:
        """Land everything as proposed, as one step."""
        if not self.can_take:
            return
        landings, gig_id = self.proposal.fit.landings, self.desk.gig_id  # type: ignore[union-attr]
        lines = self.proposal.lines  # type: ignore[union-attr]
        words = self.tr("Fit the rig") if lines is None else self.tr("Fit the rig on {} lines").format(lines)
        self.desk.edit(words, lambda book: apply_fit(book, gig_id, landings, self.desk.shipped))

    def stop(self) -> None:
        """End the work; the best so far is shown."""
        self.solving.stop()

    def show_tour(self, on: bool | None = None) -> None:
        """Show the tour kit in place of the reasons, or put it away."""
        wanted = on if on is not None else not self.kit.isChecked()
        self._lay_table(on=False)
        if wanted:
            self.kit.setChecked(True)
            self.solving.tour(self.desk.book, self.desk.gig_id)
        self.refresh()

    def _lay_table(self, *, on: bool) -> None:
        """Show the table of the kit in place of the reasons, or the reasons again."""
        self.kit.setChecked(on)
        if self.table.isHidden() == on:
            self.table.setVisible(on)
            self._words.setVisible(not on)
            self.parts.setSizes(SHARES_WITH_TABLE if on else SHARES)

    def land(self, hand_off: str, socket: str) -> None:
        """Land a hand-off on a socket by the cheapest chain, against the solver if need be."""
        self.solving.land(self.desk.book, self.desk.gig_id, hand_off, socket)
        self._tell()

    def unbind(self, hand_off: str | None = None) -> None:
        """Take a landing away; of the chosen hand-off unless another is named."""
        name = hand_off or (self.board.row.id if self.board.row is not None else None)
        gig_id = self.desk.gig_id
        if name is None or self.desk.book.gig(gig_id).landing(name) is None:
            self._say(self.tr("Choose a hand-off that lands somewhere first"))
            return
        words = self.tr("Unbind {}").format(self._name(name))
        self.desk.edit(words, lambda book: unbind_landing(book, gig_id, name))

    def set_theme(self, theme: Theme) -> None:
        """Wear a theme."""
        self.board.set_theme(theme)

    def reveal(self, things: tuple[Thing, ...]) -> None:
        """Bring a hand-off or socket into view."""
        self._on_selected(things)
        for thing in things:
            if thing.kind == "socket":
                self.board.reach_socket(thing.id)

    def settle(self) -> None:
        """Wait until the solver is done; for pictures of the program."""
        while self.solving.is_busy:
            QApplication.processEvents()
        self.refresh()

    # -- asking and taking -------------------------------------------------------------------

    def _ask(self, *, fresh: bool = False, lines: int | None = None) -> None:
        self.lines.setCurrentIndex(self.lines.findData(lines))
        self._lay_table(on=False)
        self.solving.propose(self.desk.book, self.desk.gig_id, fresh=fresh, lines=lines)
        self._tell()

    def _take(self, answer: Any) -> None:
        if isinstance(answer, Proposal):
            self.proposal = answer
            self._say(answer.proof)
        elif isinstance(answer, Tour):
            self.tour = answer
            self._say(answer.words)
            self.table.show_tour(answer)
            self._lay_table(on=True)
        else:
            self._pin(answer)
        self.refresh()

    def _pin(self, pin: Any) -> None:
        gig_id, landing = self.desk.gig_id, pin.landing
        label = next(one.label for one in self.desk.book.house(self._gig.house).sockets if one.id == landing.socket)
        name = self._name(landing.hand_off)
        words = self.tr("Land {} on {}").format(name, label)
        if not self.desk.edit(words, lambda book: pin_landing(book, gig_id, landing, self.desk.shipped)):
            return
        said = [self.tr("{} lands on {}.").format(name, label)]
        if pin.chain is None:
            said.append(self.tr("Nothing owned or for sale leads there, so no cable is chosen."))
        bought = self._to_buy(pin.chain) if pin.chain is not None else ""
        if bought:
            said.append(self.tr("To buy: {}.").format(bought))
        if pin.ousted:
            ousted = ", ".join(map(self._name, pin.ousted))
            said.append(self.tr("{} had that line and has none now; Fit it finds another.").format(ousted))
        self._say(" ".join(said))

    def _to_buy(self, chain: Any) -> str:
        patch = self.desk.latest().patch
        pairs = zip(chain.pieces, chain.items, strict=True)
        return ", ".join(chain_words(patch, [piece]) for piece, item in pairs if item.comes_from == "buy")

    def _on_failed(self, sentence: str) -> None:
        self.kit.setChecked(False)
        self._say(sentence[:1].upper() + sentence[1:] + ".")
        self.refresh()

    @property
    def _gig(self) -> Any:
        return self.desk.book.gig(self.desk.gig_id)

    @property
    def is_stale(self) -> bool:
        """Whether rig, house, landings or stock have changed since the proposal was made."""
        if self.proposal is None:
            return False
        then, book = self.proposal.fit.patch, self.desk.book
        now = (self._gig, book.rig(self._gig.rig), book.house(self._gig.house), book.stock, book.gear)
        return now != (then.gig, then.rig, then.house, then.book.stock, then.book.gear)

    @property
    def is_taken(self) -> bool:
        """Whether what is landed is what is proposed."""
        if self.proposal is None:
            return False
        by_name = {one.hand_off: one for one in self._gig.landings}
        return by_name == {one.hand_off: one for one in self.proposal.fit.landings}

    @property
    def can_take(self) -> bool:
        """Whether there is a proposal of the book as it is, with something new in it."""
        return self.proposal is not None and not self.is_stale and not self.is_taken

    def _name(self, hand_off: str) -> str:
        rig = self.desk.book.rig(self.desk.rig_id)
        return next((one.name for one in rig.hand_offs if one.id == hand_off), hand_off)

    # -- following the desk ------------------------------------------------------------------

    def _on_changed(self, _old: object, _new: object) -> None:
        if self.solving.is_busy:
            self.solving.drop()
            self._say(self.tr("The book has changed; ask again."))
        then = self.proposal.fit.patch if self.proposal is not None else None
        if then is not None and (then.gig.id, then.rig.id, then.house.id) != (
            self._gig.id, self._gig.rig, self._gig.house
        ):  # fmt: skip
            self.proposal = None
            self._say("")
            self.lines.setCurrentIndex(0)
        self._lay_table(on=False)
        self._is_stale = True

    def _follow(self, _analysis: object) -> None:
        self._is_stale = True
        if self.isVisible():
            self.refresh()

    def showEvent(self, event: QShowEvent) -> None:
        """Follow what changed while nobody looked."""
        super().showEvent(event)
        if self._is_stale:
            self.refresh()

    def refresh(self) -> None:
        """Show the gig in view and the proposal."""
        self._is_stale = False
        analysis = self.desk.latest()
        rows = board(analysis, self.proposal, is_stale=self.is_stale and not self.is_taken)
        middle = self.tr("solid: landed; dashed: proposed")
        self.board.show_rows(rows)
        self._heads.say(analysis.patch.rig.name, middle, analysis.patch.house.name)
        self._begin_at_the_first()
        empty = self._empty_words(rows)
        self._empty.setText(empty)
        self._empty.setVisible(bool(empty))
        self.parts.setVisible(bool(rows.hand_offs or rows.sockets))
        self._short.setText("\n".join(self.proposal.sentences) if self.proposal is not None else "")
        self._short.setVisible(bool(self._short.text()))
        self._explain()
        self._tell()

    def _begin_at_the_first(self) -> None:
        """Bring the first hand-off of a gig to the top when the gig comes into view."""
        if self._in_view != self.desk.gig_id and self.isVisible():
            self._in_view = self.desk.gig_id
            # The bar knows how far it goes only once the board has been given its height.
            QTimer.singleShot(0, self, self._show_the_first)

    def _show_the_first(self) -> None:
        places = self.board.plan.hand_offs
        if self.board.row is not None:
            self._reach(places[self.board.row.id].toRect())
        else:
            top = min((box.top() for box in places.values()), default=0.0)
            self._scroll.verticalScrollBar().setValue(round(top))

    def _empty_words(self, rows: Any) -> str:
        if not rows.hand_offs:
            return self.tr("Nothing to fit yet: on the Patch sheet, drag from an output down to the house line.")
        if not rows.sockets:
            return self.tr("The house has no sockets yet: describe it under Gig, The house.")
        return ""

    def _explain(self) -> None:
        row = self.board.row
        self._why_head.setText(f"{row.name} · {row.about}" if row is not None else "")
        hint = self.tr("Choose a hand-off to read why it lands so. Drag it onto another socket, or press Enter and use "
                       "the arrows, to overrule the solver; Delete takes its landing away.")  # fmt: skip
        self._why.setText("\n".join(row.reasons) if row is not None else hint if self.board.rows.hand_offs else "")
        self._why_head.setVisible(row is not None)

    def _say(self, words: str) -> None:
        self._told = (words, self.desk.gig_id)

    def _tell(self) -> None:
        """Say how far the solver is, or what came of it, and let the buttons follow."""
        task, hand_offs = self.solving.task, bool(self.board.rows.hand_offs)
        for name in ("keep", "fresh"):
            self.buttons[name].setEnabled(hand_offs and task is None)
        self.lines.setEnabled(hand_offs and task is None)
        self.head.light("take", task is None and self.can_take)
        self.buttons["stop"].setEnabled(task is not None)
        self._bar.setVisible(task is not None)
        if task is None:
            self._said.setText(self._still_words() if hand_offs else "")
        else:
            done, of = (task.where.done, task.where.of) if task.where is not None else (0, 0)
            self._bar.setRange(0, of)
            self._bar.setValue(done)
            self._said.setText(self._working_words(task))
        self._said.setVisible(bool(self._said.text()))
        self._said.setAccessibleName(self._said.text())

    def _working_words(self, task: Any) -> str:
        if task.halt.is_set():
            return self.tr("Stopping…")
        if task.where is None:
            return self.tr("Looking for chains: {} searches so far…").format(task.sought)
        where = task.where
        return self.tr("Aim {} of {}: {}, {} s…").format(where.done + 1, where.of, where.aim, f"{where.seconds:.1f}")

    def _still_words(self) -> str:
        words, gig_id = self._told
        if self.proposal is not None and self.is_taken:
            return self.tr("{} This is how it is landed.").format(self.proposal.proof)
        if self.proposal is not None and self.is_stale:
            stale = self.tr("The proposal is from before the last change; press Fit it again.")
            return f"{words} {stale}" if words != self.proposal.proof else stale
        if words and gig_id == self.desk.gig_id:
            return words
        return self.tr("Fit it finds a line and a chain of cables and boxes for every hand-off that has none.")

    # -- selection ---------------------------------------------------------------------------

    def _choose(self, name: str) -> None:
        kind = "landing" if self._gig.landing(name) is not None else "hand-off"
        self.desk.select((Thing(kind, name),))  # type: ignore[arg-type]
        self._explain()

    def _on_selected(self, things: tuple[Thing, ...]) -> None:
        for thing in things:
            if thing.kind in ("landing", "hand-off"):
                self.board.choose(thing.id, tell=False)
                self._explain()

    def _reach(self, place: QRect) -> None:
        centre = place.center()
        self._scroll.ensureVisible(centre.x(), centre.y(), 0, place.height() // 2 + 12)
