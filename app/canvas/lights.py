"""What of the Patch sheet is lit, marked or faded at present, and what that means for each item. No painting."""

from __future__ import annotations

from collections.abc import Mapping, Sequence

from app.canvas.badges import Badge, joined
from app.canvas.cable_item import CableState
from app.canvas.hits import NOTHING, Hit
from app.canvas.house_line import HouseState
from app.canvas.patch_plan import SheetPlan
from app.canvas.unit_item import UnitState
from rigcore.book.ids import PortRef
from rigcore.patch.meeting import Meeting
from rigcore.rules.rule import Thing

Answers = Mapping[PortRef | str, Meeting]


class Lights:
    """One state of the light on a sheet."""

    def __init__(self, plan: SheetPlan) -> None:
        self.hover = NOTHING
        self.focus = NOTHING
        self.pulsing: frozenset[Thing] = frozenset()
        self.only: frozenset[Thing] | None = None
        self._badges: Mapping[Thing, Badge] = {}
        self._on_units: dict[str, tuple[Badge | None, dict[str, Badge]]] = {}
        self._selection: frozenset[Thing] = frozenset()
        self._chosen_units: frozenset[str] = frozenset()
        self._answers: Answers | None = None
        self._answers_at: dict[str, dict[str, Meeting]] = {}
        self.show_plan(plan)

    def show_plan(self, plan: SheetPlan) -> None:
        """Note which ports have something plugged in, and which meet the house."""
        self._ends = _by_unit(plan)

    def tell_badges(self, badges: Mapping[Thing, Badge]) -> None:
        """Note the badges of all things."""
        self._badges = badges
        self._on_units = _on_units(badges)

    def select(self, things: Sequence[Thing]) -> None:
        """Note what is selected."""
        self._selection = frozenset(things)
        self._chosen_units = frozenset(one.id for one in things if one.kind == "unit")

    def answer(self, answers: Answers | None) -> None:
        """Note which ports and tiles would take the cable in the hand; None when there is none."""
        self._answers = answers
        self._answers_at = {}
        for end, answer in (answers or {}).items():
            if isinstance(end, PortRef):
                self._answers_at.setdefault(end.unit, {})[end.port] = answer

    def is_faded(self, thing: Thing) -> bool:
        """Return whether a thing stands back behind others."""
        return self.only is not None and thing not in self.only

    def unit(self, name: str) -> UnitState:
        """Return the state of a unit's card."""
        badge, on_ports = self._on_units.get(name, (None, {}))
        ports = dict(on_ports)
        ends, taken = self._ends.get(name, ((), frozenset()))
        for port, hand_off_id in ends:
            told = self._badges.get(Thing("hand-off", hand_off_id))
            if told is not None:
                ports[port] = joined([told, *([ports[port]] if port in ports else [])]) or told
        answers = self._answers_at.get(name, {})
        focus, hover = self.focus, self.hover
        return UnitState(
            selected=name in self._chosen_units,
            focused=focus.id == name and focus.kind in ("unit", "tape"),
            focused_port=focus.port if focus.kind == "port" and focus.id == name else "",
            hovered_port=hover.port if hover.kind == "port" and hover.id == name else "",
            pulsing=any(one.kind == "unit" and one.id == name for one in self.pulsing),
            takers=frozenset(port for port, answer in answers.items() if answer.takes),
            dimmed=frozenset(port for port, answer in answers.items() if not answer.takes),
            taken=taken,
            loose=frozenset(port for port, _ in ends) - taken,
            badge=badge,
            port_badges=ports,
            faded=self.is_faded(Thing("unit", name)),
        )

    def cable(self, thing: Thing) -> CableState:
        """Return the state of a cable."""
        return CableState(
            selected=thing in self._selection,
            hovered=self.hover.thing == thing,
            dimmed=self._answers is not None or self.is_faded(thing),
            pulsing=thing in self.pulsing,
            badge=self._badges.get(thing),
        )

    def house(self) -> HouseState:
        """Return the state of the house line."""
        answers = {one: answer for one, answer in (self._answers or {}).items() if isinstance(one, str)}
        return HouseState(
            selected=frozenset(one.id for one in self._selection if one.kind == "socket"),
            focused=self.focus.id if self.focus.kind == "tile" else "",
            hovered=self.hover.id if self.hover.kind == "tile" else "",
            pulsing=frozenset(one.id for one in self.pulsing if one.kind == "socket"),
            takers=frozenset(name for name, answer in answers.items() if answer.takes),
            dimmed=frozenset(name for name, answer in answers.items() if not answer.takes),
            badges={one.id: badge for one, badge in self._badges.items() if one.kind == "socket"},
            only=None if self.only is None else frozenset(one.id for one in self.only if one.kind == "socket"),
        )

    def words(self, hit: Hit) -> tuple[str, ...]:
        """Return the findings about what was hit, one sentence each."""
        if hit.kind == "cable" and hit.thing is not None:
            things = [hit.thing]
        elif hit.kind == "tile":
            things = [Thing("socket", hit.id)]
        else:
            things = [
                one for one in self._badges if one.kind == "unit" and one.id == hit.id and one.port in ("", hit.port)
            ]
        found = joined(self._badges[one] for one in things if one in self._badges)
        return found.sentences if found else ()


def _by_unit(plan: SheetPlan) -> dict[str, tuple[tuple[tuple[str, str], ...], frozenset[str]]]:
    """Return each unit's ports with their hand-offs, and those with something plugged in."""
    ends: dict[str, list[tuple[str, str]]] = {}
    taken: dict[str, set[str]] = {}
    for ref, hand_off in plan.hand_offs.items():
        ends.setdefault(ref.unit, []).append((ref.port, hand_off.id))
    for ref in plan.taken:
        taken.setdefault(ref.unit, set()).add(ref.port)
    return {name: (tuple(ends.get(name, ())), frozenset(taken.get(name, ()))) for name in plan.cards}


def _on_units(badges: Mapping[Thing, Badge]) -> dict[str, tuple[Badge | None, dict[str, Badge]]]:
    """Return for each unit the badge of its card and those of its ports."""
    found: dict[str, tuple[Badge | None, dict[str, Badge]]] = {}
    for thing, badge in badges.items():
        if thing.kind == "unit":
            _, ports = found.setdefault(thing.id, (None, {}))
            if thing.port:
                ports[thing.port] = badge
            else:
                found[thing.id] = (badge, ports)
    return found
