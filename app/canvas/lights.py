"""What of the Patch sheet is lit, marked or faded at present, and what that means for each item. No painting."""

from __future__ import annotations

from collections.abc import Hashable, Mapping, Sequence

from app.canvas.badges import Badge, joined
from app.canvas.cable_item import CableState
from app.canvas.hits import NOTHING, Hit
from app.canvas.house_line import HouseState
from app.canvas.patch_cables import socket_of
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
        self._selection: frozenset[Thing] = frozenset()
        self._answers: Answers | None = None
        self.show_plan(plan)

    def show_plan(self, plan: SheetPlan) -> None:
        """Note which card shows what, which ports have something plugged in, and which meet the house."""
        self._plan = plan
        self._ends = _by_card(plan)
        self.tell_badges(self._badges)
        self.select(tuple(self._selection))
        self.answer(self._answers)

    def tell_badges(self, badges: Mapping[Thing, Badge]) -> None:
        """Note the badges of all things."""
        self._badges = badges
        self._on_cards = _on_cards(badges, self._plan)

    def select(self, things: Sequence[Thing]) -> None:
        """Note what is selected."""
        self._selection = frozenset(things)
        self._chosen_cards = frozenset(map(self._plan.card_of, things))

    def answer(self, answers: Answers | None) -> None:
        """Note which ports and tiles would take the cable in the hand; None when there is none."""
        self._answers = answers
        self._answers_at: dict[str, dict[str, Meeting]] = {}
        for end, answer in (answers or {}).items():
            if isinstance(end, PortRef):
                card, key = self._plan.socket(end)
                self._answers_at.setdefault(card, {})[key] = answer

    def is_faded(self, thing: Thing) -> bool:
        """Return whether a thing stands back behind others."""
        return self.only is not None and thing not in self.only

    def is_behind(self, about: Hashable) -> bool:
        """Return whether what a badge tells of stands back: a unit, a cable, a socket, or the line of a hand-off."""
        if not isinstance(about, Thing):
            return False
        return self.is_faded(Thing("landing" if about.kind == "hand-off" else about.kind, about.id))

    def card(self, name: str) -> UnitState:
        """Return the state of a card."""
        badge, on_ports = self._on_cards.get(name, (None, {}))
        ports = dict(on_ports)
        ends, taken = self._ends.get(name, ((), frozenset()))
        for key, hand_off_id in ends:
            told = self._badges.get(Thing("hand-off", hand_off_id))
            if told is not None:
                ports[key] = joined([told, *([ports[key]] if key in ports else [])]) or told
        answers = self._answers_at.get(name, {})
        return UnitState(
            selected=name in self._chosen_cards,
            focused=self.focus.id == name and self.focus.kind in ("unit", "tape"),
            focused_port=self._port_at(self.focus, name),
            hovered_port=self._port_at(self.hover, name),
            pulsing=any(self._plan.card_of(one) == name for one in self.pulsing),
            takers=frozenset(key for key, answer in answers.items() if answer.takes),
            dimmed=frozenset(key for key, answer in answers.items() if not answer.takes),
            taken=taken,
            loose=frozenset(key for key, _ in ends) - taken,
            badge=badge,
            port_badges=ports,
            faded=all(self.is_faded(Thing("unit", one.unit.id)) for one in self._plan.cards[name].members),
        )

    def _port_at(self, hit: Hit, name: str) -> str:
        """Return what a card calls the port that was hit, if it is one of its own."""
        if hit.kind != "port" or self._plan.home(hit.id) != name:
            return ""
        return self._plan.cards[name].key(hit.id, hit.port)

    def cable(self, thing: Thing) -> CableState:
        """Return the state of a cable, or of a trunk: lit with any of its cables, faded with all."""
        trunk = self._plan.trunks.get(thing)
        if trunk is not None:
            states = [self.cable(one.thing) for one in trunk.cables]
            return CableState(
                selected=any(one.selected for one in states),
                hovered=self.hover.thing == thing,
                dimmed=all(one.dimmed for one in states),
                pulsing=any(one.pulsing for one in states),
                badge=joined(one.badge for one in states if one.badge),
            )
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
            told = self.cable(hit.thing).badge
        elif hit.kind in ("unit", "tape"):
            told, _ = self._on_cards.get(hit.id, (None, {}))
        else:
            at_port = {Thing("unit", hit.id), Thing("unit", hit.id, hit.port)}
            about = {Thing("socket", hit.id)} if hit.kind == "tile" else at_port
            told = joined(badge for thing, badge in self._badges.items() if thing in about)
        return told.sentences if told else ()


def _by_card(plan: SheetPlan) -> dict[str, tuple[tuple[tuple[str, str], ...], frozenset[str]]]:
    """Return each card's ports with their hand-offs, and those with something plugged in."""
    ends: dict[str, list[tuple[str, str]]] = {}
    taken: dict[str, set[str]] = {}
    for ref, hand_off in plan.hand_offs.items():
        card, key = plan.socket(ref)
        ends.setdefault(card, []).append((key, hand_off.id))
    for ref in plan.taken:
        card, key = plan.socket(ref)
        taken.setdefault(card, set()).add(key)
    return {name: (tuple(ends.get(name, ())), frozenset(taken.get(name, ()))) for name in plan.cards}


def _on_cards(badges: Mapping[Thing, Badge], plan: SheetPlan) -> dict[str, tuple[Badge | None, dict[str, Badge]]]:
    """Return for each card its badge and those of its ports; what a folded rack does not show is told on its card."""
    inside: dict[str, list[Badge]] = {}
    at_ports: dict[str, dict[str, Badge]] = {}
    for thing, badge in badges.items():
        card = plan.card_of(thing)
        if thing.kind == "unit" and thing.port and plan.shows(thing.id, thing.port):
            at_ports.setdefault(card, {})[socket_of(plan.homes, thing.id, thing.port)[1]] = badge
        elif card:
            inside.setdefault(card, []).append(badge)
    cards = [*inside, *(card for card in at_ports if card not in inside)]
    return {card: (joined(inside.get(card, ())), at_ports.get(card, {})) for card in cards}
