"""The gig as a form: this one's facts, or a new one bound from a rig, a house and a date."""

from __future__ import annotations

import datetime as dt

from PySide6.QtWidgets import QLineEdit, QWidget

from app.desk import Desk
from app.dialogs.sheet_dialog import SheetDialog, say
from app.panes.forms.fields import date_from, date_words
from rigcore.book.edits.gigs import add_gig, change_gig
from rigcore.book.gig import Gig
from rigcore.book.ids import new_id

NO_TIME = "'{}' is no time; write it as 18:30."
NO_DATE = "'{}' is no date; write year-month-day in figures."


class GigDialog(SheetDialog):
    """Edits the gig in view, or makes a new one and brings it into view."""

    def __init__(self, desk: Desk, parent: QWidget | None = None, *, new: bool = False) -> None:
        title = say("New gig") if new else say("This gig")
        super().__init__(title, say("Make it") if new else say("Keep"), parent)
        self._desk = desk
        self._new = new
        book, now = desk.book, desk.book.gig(desk.gig_id)
        self._rig, self._house = now.rig, now.house
        form = self.form
        form.title(title, "" if new else self.tr("{} at {}").format(book.rig(now.rig).name, book.house(now.house).name))
        if new:
            form.choice(self.tr("Rig"), [(one.name, one.id) for one in book.rigs], now.rig, self._take_rig)
            form.choice(self.tr("House"), [(one.name, one.id) for one in book.houses], now.house, self._take_house)
        self.name = form.text(self.tr("Name"), "" if new else now.name, _nothing, hint=self.tr("how you speak of it"))
        self.act = form.text(self.tr("Act"), now.act, _nothing)
        self.date = form.text(
            self.tr("Date"), "" if new else date_words(now.date), _nothing, hint=self.tr("year-month-day")
        )
        self.on_stage = form.text(self.tr("On stage"), "" if new else now.on_stage, _nothing)
        self.times: dict[str, QLineEdit] = {}
        for field, label in (
            ("load_in", self.tr("Load-in")), ("line_check", self.tr("Line check")),
            ("set_start", self.tr("Set begins")), ("set_end", self.tr("Set ends")),
        ):
            time = None if new else getattr(now, field)
            self.times[field] = form.text(label, f"{time:%H:%M}" if time else "", _nothing, hint=self.tr("hour:minute"))
        self.contact = form.text(self.tr("Contact"), now.contact, _nothing)
        self.until = form.text(
            self.tr("Valid until"), "" if new else date_words(now.valid_until), _nothing,
            hint=self.tr("year-month-day"),
        )
        form.finish()
        self.fit(420)

    def _take_rig(self, rig_id: str) -> None:
        self._rig = rig_id

    def _take_house(self, house_id: str) -> None:
        self._house = house_id

    def commit(self) -> str:
        """Change or make the gig in one edit."""
        fields: dict[str, object] = {
            "act": self.act.text().strip(),
            "on_stage": self.on_stage.text().strip(),
            "contact": self.contact.text().strip(),
        }
        for field, edit in (("date", self.date), ("valid_until", self.until)):
            try:
                fields[field] = date_from(edit.text())
            except ValueError:
                return self.refuse(edit, self.tr(NO_DATE).format(edit.text()))
        for field, edit in self.times.items():
            text = edit.text().strip()
            try:
                fields[field] = dt.time.fromisoformat(text if len(text) > 4 else f"0{text}") if text else None
            except ValueError:
                return self.refuse(edit, self.tr(NO_TIME).format(text))
        name = self.name.text().strip()
        if not self._new and not name:
            return self.refuse(self.name, self.tr("A gig needs a name."))
        with self._desk.refusals() as refused:
            self._make(name, fields) if self._new else self._keep(name, fields)
        return refused[0] if refused else ""

    def _keep(self, name: str, fields: dict[str, object]) -> None:
        gig_id = self._desk.gig_id
        self._desk.edit("Change gig", lambda book: change_gig(book, gig_id, name=name, **fields))

    def _make(self, name: str, fields: dict[str, object]) -> None:
        book = self._desk.book
        name = name or self.tr("{} at {}").format(book.rig(self._rig).name, book.house(self._house).name)
        gig_id = new_id(name, {gig.id for gig in book.gigs})

        def make(book: object) -> object:
            gig = Gig(id=gig_id, name=name, rig=self._rig, house=self._house, **fields)
            return add_gig(book, gig)

        if self._desk.edit(f"New gig {name}", make):
            self._desk.show_gig(gig_id)


def _nothing(_text: str) -> None:
    """A field that is read when the dialog is kept."""
