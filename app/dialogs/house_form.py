"""The house as a form: what it has, and what it has said or is only assumed to have."""

from __future__ import annotations

import datetime as dt
from collections.abc import Callable
from html import escape
from typing import Literal, get_args

from PySide6.QtWidgets import QCompleter, QGridLayout, QLineEdit, QWidget

from app.desk import Desk
from app.dialogs.sheet_dialog import SheetDialog, say
from app.panes.forms.fields import plain
from app.panes.forms.words import fact_words
from app.panes.marks import Chooser
from rigcore.book.assumptions import assumptions
from rigcore.book.book import Book
from rigcore.book.edits.houses import change_house, known, learn
from rigcore.book.edits.rebuild import checked
from rigcore.book.house import FACT_CHOICES, Fact, FactKey, House

KINDS: tuple[str, ...] = get_args(House.model_fields["kind"].annotation)
FACTS: tuple[FactKey, ...] = get_args(FactKey)
State = Literal["known", "assumed"]


class FactRow:
    """One fact: known with its value, or assumed."""

    def __init__(self, key: FactKey, fact: Fact | None, words: tuple[str, str]) -> None:
        self.key = key
        self.before = fact
        self.state = Chooser()
        self.state.addItems(list(words))
        self.state.setCurrentIndex(0 if fact else 1)
        self.state.setAccessibleName(f"{fact_words(key)}: known or assumed")
        self.value = QLineEdit(fact.value if fact else "")
        self.value.setMaxLength(300)
        self.value.setAccessibleName(fact_words(key))
        asked = next((one for one in assumptions() if one.key == key), None)
        if asked is not None:
            self.value.setPlaceholderText(asked.words)
            self.value.setToolTip(escape(asked.question))
            self.value.setAccessibleDescription(asked.question)
        choices = FACT_CHOICES.get(key)
        if choices:
            completer = QCompleter(list(choices), self.value)
            completer.setCompletionMode(QCompleter.CompletionMode.UnfilteredPopupCompletion)
            completer.activated.connect(self._typed)
            self.value.setCompleter(completer)
            self.value.setPlaceholderText(" · ".join(choices))
        self.value.textEdited.connect(self._typed)
        self.state.currentIndexChanged.connect(lambda at: self.value.setEnabled(at == 0))
        self.value.setEnabled(True)

    @property
    def is_known(self) -> bool:
        """Whether the house has said it."""
        return self.state.currentIndex() == 0

    def _typed(self, text: str) -> None:
        self.state.setCurrentIndex(0 if text.strip() else 1)
        self.value.setEnabled(True)


class HouseForm(SheetDialog):
    """Edits the house of the gig in view, as one step."""

    def __init__(self, desk: Desk, parent: QWidget | None = None) -> None:
        super().__init__(say("The house"), say("Keep"), parent)
        self._desk = desk
        house = desk.book.house(desk.book.gig(desk.gig_id).house)
        self._house_id = house.id
        self._fields: dict[str, object] = {}
        form = self.form
        form.title(house.name, self.tr("What is not known is assumed, and the packet says so."))
        form.text(self.tr("Name"), house.name, self._takes("name"))
        form.text(self.tr("Place"), house.place, self._takes("place"))
        form.choice(self.tr("Kind"), [(self.tr(kind), kind) for kind in KINDS], house.kind, self._takes("kind"))
        for label, field, now in (
            (self.tr("Stage width"), "width_m", house.stage.width_m),
            (self.tr("Stage depth"), "depth_m", house.stage.depth_m),
        ):
            form.number(label, now, self._takes(field), unit="m", span=(1.0, 60.0), step=0.5)
        form.number(
            self.tr("Mains"), house.mains_v, self._takes("mains_v"),
            unit="V", span=(90.0, 260.0), step=1.0, places=0,
        )
        form.text(self.tr("Contact"), house.contact, self._takes("contact"))
        form.number(
            self.tr("Changeover"), float(house.changeover_min) if house.changeover_min else None,
            lambda new: self._fields.update(changeover_min=None if new is None else int(new)),
            unit="min", span=(1.0, 1440.0), step=5.0, places=0, empty=self.tr("not said"),
        )
        form.heading(self.tr("What the house has said"))
        states = (self.tr("known"), self.tr("assumed"))
        self.facts = [FactRow(key, house.fact(key), states) for key in FACTS]
        form.add(self._fact_grid())
        form.finish()
        self.fit(600)

    def _takes(self, field: str) -> Callable[[object], None]:
        return lambda value: self._fields.update({field: value})

    def _fact_grid(self) -> QWidget:
        holder = QWidget()
        grid = QGridLayout(holder)
        grid.setContentsMargins(0, 0, 0, 0)
        grid.setHorizontalSpacing(10)
        grid.setVerticalSpacing(5)
        grid.setColumnStretch(2, 1)
        for line, row in enumerate(self.facts):
            grid.addWidget(plain(fact_words(row.key, upper=True), "soft", wrap=False), line, 0)
            row.state.setMinimumContentsLength(9)
            grid.addWidget(row.state, line, 1)
            grid.addWidget(row.value, line, 2)
        return holder

    def commit(self) -> str:
        """Change the house in one edit."""
        for row in self.facts:
            if row.is_known and not row.value.text().strip():
                return self.tr("Say what is known about '{}', or set it to assumed.").format(fact_words(row.key))
        if not str(self._fields.get("name", "x")).strip():
            return self.tr("A house needs a name.")
        refused: list[str] = []
        self._desk.refused.connect(refused.append)
        try:
            self._desk.edit("Change the house", self._change)
        finally:
            self._desk.refused.disconnect(refused.append)
        return refused[0] if refused else ""

    def _change(self, book: Book) -> Book:
        fields = {
            key: value.strip() if isinstance(value, str) else value for key, value in self._fields.items()
        }
        sizes = {key: fields.pop(key) for key in ("width_m", "depth_m") if key in fields}
        house = book.house(self._house_id)
        if sizes:
            fields["stage"] = checked(house.stage, **sizes)
        kept = {row.key for row in self.facts if row.is_known}
        fields["facts"] = tuple(fact for fact in house.facts if fact.key in kept)
        book = change_house(book, house.id, **fields)
        for row in self.facts:
            value = row.value.text().strip()
            if row.key in FACT_CHOICES:
                value = value.lower()
            if row.is_known and (row.before is None or row.before.value != value):
                said_by = row.before.said_by if row.before else ""
                fact = known(row.key, value, said_by=said_by, said_on=dt.date.today())
                book = learn(book, house.id, fact)
        return book
