"""The details of the gig in view, shown when nothing is selected: whom for, when, what is known, what is next."""

from __future__ import annotations

from html import escape

from app.desk import Desk
from app.panes.forms.editors import mark_wrong
from app.panes.forms.fields import date_from, date_words
from app.panes.forms.thing import ThingForm
from rigcore.book.assumptions import open_questions
from rigcore.book.edits.gigs import change_gig
from rigcore.book.house import fact_words


class GigForm(ThingForm):
    """The gig itself."""

    def __init__(self, desk: Desk) -> None:
        super().__init__(desk)
        gig, house = self.gig, self.house
        self.title(gig.name, self.tr("{} at {}").format(self.rig.name, house.name))
        self._next()
        self.heading(self.tr("This gig"))
        self.text(self.tr("Act"), gig.act, lambda text: self._change(act=text.strip()))
        self.long_text(self.tr("Contact"), gig.contact, lambda text: self._change(contact=text.strip()))
        self._dates = {"date": self.text(
            self.tr("Date"), date_words(gig.date), lambda text: self._date("date", text),
            hint=self.tr("year-month-day"),
        )}
        times = self.long_text(self.tr("On stage"), gig.on_stage, lambda text: self._change(on_stage=text.strip()))
        times.setPlaceholderText(self.tr("time, as agreed"))
        self._dates["valid_until"] = self.text(
            self.tr("Valid until"), date_words(gig.valid_until), lambda text: self._date("valid_until", text),
            hint=self.tr("year-month-day"),
        )
        self.note(self.tr("Notes"), gig.notes, lambda text: self._change(notes=text.strip()))
        self._counts()
        self._house()
        self.finish()

    def _change(self, **fields: object) -> None:
        gig_id = self.gig.id
        self.edit("change gig", lambda book: change_gig(book, gig_id, **fields))

    def _date(self, field: str, text: str) -> None:
        try:
            date = date_from(text)
        except ValueError:
            mark_wrong(self._dates[field])
            self.desk.refused.emit(self.tr("'{}' is no date; write year-month-day in figures").format(text))
            return
        self._change(**{field: date})

    def _next(self) -> None:
        self.heading(self.tr("What to do next"))
        findings = self.desk.latest().findings
        faults = [one for one in findings if one.severity == "fault"]
        if not self.rig.units:
            words = self.tr("Drag gear from the shelf onto the sheet, or press Enter on it.")
        elif not self.rig.links and not self.gig.landings:
            words = self.tr("Drag from a port to another port, or down to the house line, to lay a cable.")
        elif not self.gig.landings:
            words = self.tr("Drag from an output down to a tile of the house line, so that the house hears it.")
        elif faults:
            words = self.tr("Settle the faults below: each says why, and offers a remedy where there is one.")
        elif findings:
            words = self.tr("No faults. Read the risks and notes below, then export the packet.")
        else:
            words = self.tr("Nothing to mend. Export the packet and send it to the house.")
        self.say(words)
        if self.gig.landings and not faults:
            self.button(self.tr("Export the packet…"), lambda: self.asked.emit("packet"), role="primary")

    def _counts(self) -> None:
        counts = self.desk.latest().counts
        self.heading(self.tr("Adds up to"))
        self.fact(self.tr("Channels"), self.tr("{}, of them {} with 48 V").format(counts.channels, counts.phantom))
        self.fact(self.tr("Mixes"), self.tr("{} mono, {} stereo").format(counts.mono_mixes, counts.stereo_mixes))
        outlets = self.tr("1 outlet") if counts.outlets == 1 else self.tr("{} outlets").format(counts.outlets)
        self.fact(self.tr("Power"), self.tr("{:.0f} W on {}").format(counts.watts, outlets))

    def _house(self) -> None:
        house = self.house
        self.heading(self.tr("What {} has said").format(house.name))
        stage = house.stage
        self.fact(self.tr("Stage"), self.tr("{:g} × {:g} m").format(stage.width_m, stage.depth_m))
        self.fact(self.tr("Mains"), self.tr("{:g} V").format(house.mains_v))
        for fact in house.facts:
            said = ", ".join(filter(None, (fact.said_by, date_words(fact.said_on))))
            self.fact(fact_words(fact.key, upper=True), f"{fact.value} ({said})" if said else fact.value)
        asks = open_questions(house)
        if asks:
            self.heading(self.tr("Assumed until it answers"))
            for one in asks:
                self.say(one.words, "soft").setToolTip(escape(one.question))
        self.button(self.tr("House…"), lambda: self.asked.emit("house"))
