"""The details of one unit: its name, who supplies it, its stand, place, ports and figures."""

from __future__ import annotations

from typing import get_args

from app.desk import Desk
from app.panes.forms.port_rows import PortRows, port_choice
from app.panes.forms.thing import ThingForm
from app.panes.forms.words import end_words, figures
from rigcore.book.edits.cases import change_case, pack, pack_in_new_case, remove_case
from rigcore.book.edits.gigs import place_here
from rigcore.book.edits.house_units import move_house_unit
from rigcore.book.edits.units import change_unit, move_on_stage, rename_unit
from rigcore.book.gig import Placement
from rigcore.book.rig import Stand, StandKind, Unit
from rigcore.catalogue.gear import GearType, SourceFamily
from rigcore.rules.rule import Thing

NEW = "/new"
"""Stands in a chooser for what is yet to be made; no id begins so."""

FAMILIES: tuple[SourceFamily, ...] = get_args(SourceFamily)
STANDS: tuple[StandKind, ...] = get_args(StandKind)


class UnitForm(ThingForm):
    """One unit of the rig."""

    def __init__(self, desk: Desk, unit: Unit, port_id: str = "") -> None:
        super().__init__(desk)
        self.unit = unit
        self.gear = desk.catalogue.gear_type(unit.gear)
        self.title(unit.name, self.gear.name if self.gear.name != unit.name else self.gear.about)
        self._names()
        if self.gear.category == "microphone":
            self._stand()
        self._family()
        self._case()
        self.ladder_of(Thing("unit", unit.id, port_id))
        if port_id:
            self._ports(port_id)
        self.findings_about(Thing("unit", unit.id))
        if not port_id:
            self._ports(port_id)
        self._place()
        self.heading(self.tr("Figures"))
        for label, text in figures(self.gear):
            self.fact(self.tr(label), text)
        if self.gear.about:
            self.say(self.gear.about, "soft")
        self.finish()

    def change(self, words: str, **fields: object) -> None:
        """Replace fields of the unit."""
        rig_id, unit_id = self.rig.id, self.unit.id
        self.edit(f"{words} {self.unit.name}", lambda book: change_unit(book, rig_id, unit_id, **fields))

    def _names(self) -> None:
        rig_id, unit_id, old = self.rig.id, self.unit.id, self.unit.name
        self.text(
            self.tr("Name"), old,
            lambda name: self.edit(f"rename {old}", lambda book: rename_unit(book, rig_id, unit_id, name)),
            needed=True,
        )
        self.choice(
            self.tr("Supplied"), self.owners(), self.unit.owner,
            lambda owner: self.change("supplier of", owner=owner),
        )
        self.note(self.tr("Note"), self.unit.note, lambda text: self.change("note on", note=text.strip()))

    def _stand(self) -> None:
        stand = self.unit.stand
        kinds: list[tuple[str, StandKind | None]] = [(self.tr("no stand"), None)]
        kinds += [(self.tr(kind), kind) for kind in STANDS]

        def take(kind: StandKind | None) -> None:
            owner = stand.owner if stand else "rig"
            self.change("stand of", stand=Stand(kind=kind, owner=owner) if kind else None)

        self.choice(self.tr("Stand"), kinds, stand.kind if stand else None, take)
        if stand is not None:
            self.choice(
                self.tr("Its supplier"), self.owners(), stand.owner,
                lambda owner: self.change("stand of", stand=Stand(kind=stand.kind, owner=owner)),
            )

    def _family(self) -> None:
        if not self.gear.source_ports:
            return
        own = self.tr("as its type: {}").format(self.gear.family) if self.gear.family else self.tr("not said")
        families = [(own, None), *((self.tr(one), one) for one in FAMILIES)]
        self.choice(self.tr("Family"), families, self.unit.family, lambda new: self.change("family of", family=new))

    def _case(self) -> None:
        """Add the case a unit is packed in, and that case's own figures."""
        if self.unit.owner != "rig":
            return
        rig_id, unit_id = self.rig.id, self.unit.id
        cases = self.rig.cases
        options: list[tuple[str, str | None]] = [(self.tr("loose"), None)]
        options += [(one.name, one.id) for one in cases]
        options.append((self.tr("a new case"), NEW))

        def take(case_id: str | None) -> None:
            words, name = f"pack {self.unit.name}", self.tr("Case")
            if case_id == NEW:
                self.edit(words, lambda book: pack_in_new_case(book, rig_id, unit_id, name))
            else:
                self.edit(words, lambda book: pack(book, rig_id, unit_id, case_id))

        self.choice(self.tr("Case"), options, self.unit.case, take)
        case = next((one for one in cases if one.id == self.unit.case), None)
        if case is None:
            return

        def change(**fields: object) -> None:
            self.edit(f"change case {case.name}", lambda book: change_case(book, rig_id, case.id, **fields))

        self.text(self.tr("Case name"), case.name, lambda name: change(name=name.strip()), most=120)
        self.number(
            self.tr("Case empty"), case.mass_kg, lambda new: change(mass_kg=new), unit="kg", span=(0.0, 500.0), step=0.5
        )
        self.number(
            self.tr("Case rack"), case.rack_u, lambda new: change(rack_u=new), unit="U", span=(0.0, 60.0), step=1.0
        )
        others = [one.name for one in self.rig.units if one.case == case.id and one.id != unit_id]
        if others:
            self.fact(self.tr("With it"), ", ".join(others))
        self.button(
            self.tr("Do without this case"),
            lambda: self.edit(f"remove case {case.name}", lambda book: remove_case(book, rig_id, case.id)),
        )

    def _ports(self, port_id: str) -> None:
        if not self.gear.ports:
            return
        self.heading(self.tr("Ports"))
        PortRows(self, self.gear, port_choice(self.gear, self.unit, port_id)).build()
        for port in self.gear.ports:
            other = self._other_end(port.id)
            if other:
                self.fact(port.name, other)

    def _other_end(self, port_id: str) -> str:
        """Return where a port leads, in words, or nothing."""
        for link in self.rig.links:
            if (link.source.unit, link.source.port) == (self.unit.id, port_id):
                return "to " + end_words(self.catalogue, self.rig, link.target)
            if (link.target.unit, link.target.port) == (self.unit.id, port_id):
                return "from " + end_words(self.catalogue, self.rig, link.source)
        for one in self.rig.hand_offs:
            landing = self.gig.landing(one.id)
            if (one.unit, one.port) != (self.unit.id, port_id):
                continue
            socket = self.house.socket(landing.socket) if landing else None
            way = "to" if one.direction == "to house" else "from"
            return f"{way} house {socket.label}" if socket else f"{one.name}, lands nowhere yet"
        return ""

    def _place(self) -> None:
        here = next((one for one in self.gig.placements if one.unit == self.unit.id), None)
        now = here or self.unit
        self.heading(self.tr("Place on stage, at this gig") if here else self.tr("Place on stage"))
        if now.x_m is None or now.y_m is None:
            self.say(self.tr("Not on the stage plan yet."), "soft")
            self.button(self.tr("Put it centre stage"), lambda: self._move(0.0, self.house.stage.depth_m / 2, 0.0))
            return
        x, y, turned = now.x_m, now.y_m, now.rotation_deg
        half = self.house.stage.width_m
        self.number(
            self.tr("Across"), x, lambda new: self._move(new, y, turned),
            unit="m", span=(-half, half), step=0.25,
        ).setToolTip(self.tr("From the centre line; stage left counts up"))
        self.number(
            self.tr("Upstage"), y, lambda new: self._move(x, new, turned),
            unit="m", span=(-2.0, self.house.stage.depth_m + 2.0), step=0.25,
        ).setToolTip(self.tr("From the downstage edge"))
        turn = self.number(
            self.tr("Turned"), turned, lambda new: self._move(x, y, new % 360),
            unit="°", span=(0.0, 359.0), step=15.0, places=0,
        )
        turn.setWrapping(True)
        turn.setToolTip(self.tr("Clockwise, seen from above; 0 faces the audience"))

    def _move(self, x_m: float, y_m: float, turned: float) -> None:
        gig_id, rig_id, unit_id = self.gig.id, self.rig.id, self.unit.id
        if any(one.unit == unit_id for one in self.gig.placements):
            place = Placement(unit=unit_id, x_m=x_m, y_m=y_m, rotation_deg=turned)
            self.edit(f"move {self.unit.name} here", lambda book: place_here(book, gig_id, place))
            return
        self.edit(
            f"move {self.unit.name}", lambda book: move_on_stage(book, rig_id, unit_id, (x_m, y_m, turned))
        )


class HouseUnitForm(ThingForm):
    """One unit of the house: what it is, what lands on it, where it stands. The house form changes the rest."""

    def __init__(self, desk: Desk, unit: Unit) -> None:
        super().__init__(desk)
        gear: GearType = desk.catalogue.gear_type(unit.gear)
        self.title(unit.name, self.tr("{}, the house's").format(gear.name))
        self.ladder_of(Thing("house unit", unit.id))
        self.findings_about(Thing("house unit", unit.id))
        self.heading(self.tr("Sockets"))
        landed = {one.socket: one.hand_off for one in self.gig.landings}
        for socket in self.house.sockets:
            if socket.unit == unit.id:
                hand_off = self.rig.hand_off(landed.get(socket.id, ""))
                self.say(f"{socket.label}: {hand_off.name if hand_off else self.tr('free')}")
        self._place(unit)
        self.heading(self.tr("Figures"))
        for label, text in figures(gear):
            self.fact(self.tr(label), text)
        self.button(self.tr("House…"), lambda: self.asked.emit("house"))
        self.finish()

    def _place(self, unit: Unit) -> None:
        self.heading(self.tr("Place on stage"))
        house_id, stage = self.house.id, self.house.stage

        def move(x_m: float, y_m: float) -> None:
            place = (x_m, y_m, unit.rotation_deg)
            self.edit(f"move {unit.name}", lambda book: move_house_unit(book, house_id, unit.id, place))

        if unit.x_m is None or unit.y_m is None:
            self.say(self.tr("Not on the stage plan yet."), "soft")
            self.button(self.tr("Put it upstage centre"), lambda: move(0.0, stage.depth_m - 0.4))
            return
        x_m, y_m, half = unit.x_m, unit.y_m, stage.width_m
        self.number(
            self.tr("Across"), x_m, lambda new: move(new, y_m), unit="m", span=(-half, half), step=0.25
        ).setToolTip(self.tr("From the centre line; stage left counts up"))
        self.number(
            self.tr("Upstage"), y_m, lambda new: move(x_m, new), unit="m", span=(-2.0, stage.depth_m + 2.0), step=0.25
        ).setToolTip(self.tr("From the downstage edge"))
