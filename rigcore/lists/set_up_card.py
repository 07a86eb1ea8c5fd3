"""The set-up card: in which order the rig is stood up, plugged and switched on, derived from the patch.

Levels down, power tested, stand, keyboards, pedals, control, audio, supplies on with the loudspeakers
last and the foot off every pedal that is read at switch-on, own monitor, the lines for the house,
line check; and the way back. Common practice, no source. How long it takes is not asked here.
"""

from __future__ import annotations

from collections.abc import Callable, Iterable
from typing import Literal

from msgspec import Struct

from rigcore.book.rig import Unit
from rigcore.catalogue.carriers import FootSwitch
from rigcore.catalogue.gear import Category
from rigcore.lists.plot import place_words
from rigcore.patch.build import End, Hop, Patch
from rigcore.patch.channels import channels, own_lines
from rigcore.patch.circuits import STAGE
from rigcore.patch.control import switches
from rigcore.patch.plugs import is_strip, plugs
from rigcore.patch.power import places, powered_units
from rigcore.quantities.geometry import length_words

Phase = Literal[
    "levels down", "power", "stands", "instruments", "pedals", "control and data", "audio loom", "supplies on",
    "own monitor", "lines for the house", "line check", "at the end",
]

LOUD: tuple[Category, ...] = ("monitor", "loudspeaker", "amplifier")
"""On last, off first."""
PLAYED: tuple[Category, ...] = (
    "keys", "controller", "playback", "guitar", "bass", "drums", "percussion", "brass", "strings",
)
HEARD: tuple[Category, ...] = (*LOUD, "in-ear", "mixer")
CONTROL = ("midi", "usb", "network", "wordclock", "aes3", "optical")
BEFORE_POWER = "Test the outlet, then the strip, before anything of value is plugged into it."


class Step(Struct, frozen=True):
    """One step: in which phase, what to do, and what to mind; ``units`` are the ids of what is handled."""

    phase: Phase
    words: str
    mind: str = ""
    units: tuple[str, ...] = ()


def set_up_card(patch: Patch) -> tuple[Step, ...]:
    """Return the steps of setting up a gig, in their order; phases with nothing to do are left out.

    Source
    ------
    Common practice, no source.
    """
    makers: tuple[Callable[[Patch], list[Step]], ...] = (
        _levels_down, _power, _stands, _instruments, _pedals, _control, _audio, _supplies_on, _monitor, _lines,
        _line_check, _at_the_end,
    )
    return tuple(step for make in makers for step in make(patch))


def switch_on_order(patch: Patch) -> tuple[Unit, ...]:
    """Return the rig's powered units in the order they are switched on: sources first, loudspeakers last.

    Among the rest, whatever feeds another comes before it; a circle of audio falls back to the order of the rig.
    """
    units = [unit for unit in powered_units(patch) if not is_strip(patch.catalogue.gear_type(unit.gear))]
    ids = [unit.id for unit in units]
    feeds: dict[str, set[str]] = {name: set() for name in ids}
    for hop in patch.runs:
        if hop.is_audio and hop.source.node.unit in feeds and hop.target.node.unit in feeds:
            feeds[hop.target.node.unit].add(hop.source.node.unit)
    ordered: list[str] = []
    while len(ordered) < len(ids):
        left = [name for name in ids if name not in ordered]
        ordered.append(next((name for name in left if not feeds[name] - set(ordered) - {name}), left[0]))
    by_id = {unit.id: unit for unit in units}
    return tuple(sorted((by_id[name] for name in ordered), key=lambda unit: _category(patch, unit) in LOUD))


def _levels_down(patch: Patch) -> list[Step]:
    heard = [unit for unit in _own(patch) if _category(patch, unit) in HEARD and _has_a_level(patch, unit)]
    if not heard:
        return []
    return [Step("levels down", f"Turn down: {_names(heard)}", "Muted until the monitor test.", _ids(heard))]


def _power(patch: Patch) -> list[Step]:
    steps = []
    strips = [one for one in plugs(patch).values() if one.key[0] == "rig" and is_strip(one.inlet.gear)]
    for strip in strips:
        where = strip.drop.name if strip.drop is not None else STAGE
        into = f"{strip.into.name}" if strip.into is not None else f"the outlet at {where}"
        steps.append(Step("power", f"{strip.name} into {into}", BEFORE_POWER, (strip.key[1],)))
    for place in places(patch):
        plain = [one for one in place.in_wall if one.key[0] == "rig" and one not in strips]
        if plain:
            words = f"Find and test {len(plain)} outlet{'s' * (len(plain) != 1)} at {place.name}"
            steps.append(Step("power", words, "Nothing is switched on yet.", tuple(one.key[1] for one in plain)))
    return steps


def _stands(patch: Patch) -> list[Step]:
    steps = []
    furniture = [unit for unit in _own(patch) if _category(patch, unit) == "furniture"]
    for unit in _back_to_front(furniture):
        steps.append(Step("stands", f"{unit.name}{_at(patch, unit)}", units=(unit.id,)))
    for unit in _back_to_front(_own(patch)):
        if unit.stand is not None and unit.stand.owner == "rig":
            steps.append(Step("stands", f"{_first_up(unit.stand.kind)} for {unit.name}{_at(patch, unit)}",
                              units=(unit.id,)))
    return steps


def _instruments(patch: Patch) -> list[Step]:
    played = [unit for unit in _own(patch) if _category(patch, unit) in PLAYED]
    others = [
        unit for unit in _own(patch)
        if _category(patch, unit) in ("mixer", "processor", "di", "splitter", "in-ear", *LOUD) and unit.x_m is not None
    ]
    steps = [
        Step("instruments", f"{unit.name}{_at(patch, unit)}", "Back to front; switches off." if not number else "",
             (unit.id,))
        for number, unit in enumerate(_back_to_front(played))
    ]
    if others:
        steps.append(Step("instruments", f"Then: {_names(_back_to_front(others))}", "", _ids(others)))
    return steps


def _pedals(patch: Patch) -> list[Step]:
    steps = []
    for hop in patch.runs:
        if hop.source.port.carrier.medium not in ("footswitch", "expression") or "rig" not in _rooms(hop):
            continue
        senses = isinstance(hop.target.port.carrier, FootSwitch) and hop.target.port.carrier.senses
        mind = "Plug home before switching on; foot off." if senses else ""
        steps.append(Step("pedals", _from_to(hop), mind, _hop_units(hop)))
    return steps


def _control(patch: Patch) -> list[Step]:
    return [
        Step("control and data", _from_to(hop), _cable_words(hop), _hop_units(hop))
        for hop in patch.runs
        if hop.link is not None and hop.source.port.carrier.medium in CONTROL
    ]


def _audio(patch: Patch) -> list[Step]:
    return [
        Step("audio loom", _from_to(hop), _cable_words(hop), _hop_units(hop))
        for hop in patch.runs
        if hop.link is not None
        and hop.source.port.carrier.medium in ("audio", "headphones", "loudspeaker")
        and "rig" in (hop.source.owner, hop.target.owner)
    ]


def _supplies_on(patch: Patch) -> list[Step]:
    feet: dict[str, list[str]] = {}
    for hop, _, socket in switches(patch):
        if socket.senses:
            feet.setdefault(hop.target.node.unit, []).append(hop.source.name)
    order = switch_on_order(patch)
    steps = []
    if order:
        steps.append(Step("supplies on", f"Plug in: {_names(order)}", "Everything still switched off.", _ids(order)))
    for unit in order:
        mind = f"Foot off {' and '.join(feet[unit.id])}." if unit.id in feet else ""
        if _category(patch, unit) in LOUD:
            mind = "Last, at its lowest level."
        steps.append(Step("supplies on", f"Switch on {unit.name}", mind, (unit.id,)))
    return steps


def _monitor(patch: Patch) -> list[Step]:
    own = [unit for unit in _own(patch) if _category(patch, unit) in ("monitor", "loudspeaker", "in-ear")]
    if not own:
        return []
    words = f"Play each instrument into {_names(own)}"
    return [Step("own monitor", words, "Start low: in-ears and monitors can hurt.", _ids(own))]


def _lines(patch: Patch) -> list[Step]:
    steps = [
        Step("lines for the house", f"{one.number}  {one.hand_off.name} into {one.socket.label}",
             f"your {one.socket.number}" if one.socket.number != one.number else "", (one.hand_off.unit,))
        for one in channels(patch)
    ]
    for hand_off, landing in own_lines(patch):
        if hand_off.direction == "from house":
            words = f"{patch.socket(landing).label} into {hand_off.name}"
            steps.append(Step("lines for the house", words, "from the house", (hand_off.unit,)))
    if steps:
        muted = "Ask for the channels to be muted before a plug goes in."
        steps.insert(0, Step("lines for the house", "Hand over the lines, in this order", muted))
    return steps


def _line_check(patch: Patch) -> list[Step]:
    found = channels(patch)
    if not found:
        return []
    names = ", ".join(one.hand_off.name for one in found[:12])
    more = f" and {len(found) - 12} more" if len(found) > 12 else ""
    mixes = any(one.direction == "from house" for one, _ in own_lines(patch))
    return [Step("line check", f"In the order of the list: {names}{more}", "Then each mix." if mixes else "")]


def _at_the_end(patch: Patch) -> list[Step]:
    order = switch_on_order(patch)
    if not order:
        return []
    back = list(reversed(order))
    steps = [Step("at the end", f"Switch off: {', '.join(unit.name for unit in back)}",
                  "Loudspeakers first; then unplug.", _ids(back))]
    if channels(patch):
        steps.insert(0, Step("at the end", "Wait until the house has muted every line"))
    return steps


def _own(patch: Patch) -> list[Unit]:
    return [unit for unit in patch.units.values() if unit.owner == "rig"]


def _category(patch: Patch, unit: Unit) -> Category:
    return patch.catalogue.gear_type(unit.gear).category


def _has_a_level(patch: Patch, unit: Unit) -> bool:
    """Return whether there is something to turn down: passive loudspeakers and earphones have nothing."""
    gear = patch.catalogue.gear_type(unit.gear)
    outputs = any(port.direction == "out" and port.carrier.medium == "audio" for port in gear.ports)
    return gear.watts() > 0 or outputs


def _back_to_front(units: Iterable[Unit]) -> list[Unit]:
    return sorted(units, key=lambda unit: -unit.y_m if unit.y_m is not None else 0.0)


def _at(patch: Patch, unit: Unit) -> str:
    spot = place_words((unit.x_m, unit.y_m), patch.house.stage)
    return f", {spot}" if spot else ""


def _names(units: Iterable[Unit]) -> str:
    return ", ".join(unit.name for unit in units)


def _ids(units: Iterable[Unit]) -> tuple[str, ...]:
    return tuple(unit.id for unit in units)


def _rooms(hop: Hop) -> set[str]:
    return {hop.source.node.place, hop.target.node.place}


def _hop_units(hop: Hop) -> tuple[str, ...]:
    return tuple(end.node.unit for end in (hop.source, hop.target) if end.node.place == "rig")


def _from_to(hop: Hop) -> str:
    def words(end: End) -> str:
        return end.name if end.port.name.casefold() in end.name.casefold() else end.words

    return f"{words(hop.source)} → {words(hop.target)}"


def _cable_words(hop: Hop) -> str:
    return " + ".join(cable.of(length_words(length)) for cable, length in hop.cables)


def _first_up(words: str) -> str:
    return words[:1].upper() + words[1:]
