"""The level that leaves an output, in dBu: its own figure, or what a passive way brings from above.

Enough for the rules that look at both ends of one connection; loads, noise and
sums through whole chains are not computed here.
"""

from __future__ import annotations

from typing import NamedTuple

from rigcore.catalogue.carriers import Audio
from rigcore.catalogue.gear import Path
from rigcore.patch.build import PASSIVE, End, Hop, Node, Patch
from rigcore.patch.once import once_a_kind, once_a_net
from rigcore.quantities.electrical import (
    CONSUMER_NOMINAL_DBV,
    dbu_from_dbv,
)

SET_BY_HAND = ("mixer", "desk", "stage box", "processor", "equaliser", "amplifier", "in-ear")
"""Gear whose outputs somebody sets to nominal level: what it could give at most is not what it plays."""

PEAKS_OVER_NOMINAL_DB = 12.0
"""Head-room asked for over nominal at line inputs (common practice; 20 dB is the whole chain's)."""


class Level(NamedTuple):
    """Nominal and highest level in dBu, either of them None where nobody knows."""

    nominal_dbu: float | None
    max_dbu: float | None

    def plus(self, gain_db: float) -> Level:
        """Return the level after a gain in dB."""
        return Level(_plus(self.nominal_dbu, gain_db), _plus(self.max_dbu, gain_db))


NOBODY_KNOWS = Level(None, None)


@once_a_net
def level_out(patch: Patch, node: Node) -> Level:
    """Return the level that leaves an output with nothing to drive: the highest case, for what clips.

    Passive boxes have no level of their own: theirs is what comes in, less what
    they lose (pads switched in included), nothing if nothing is plugged in. Everything else gives what its type
    states, a mixer and its like no more than 12 dB over nominal.
    """
    gains_db: list[float] = []
    seen: set[Node] = set()
    here: Node | None = node
    level = NOBODY_KNOWS
    while here is not None and here not in seen:
        seen.add(here)
        level, here = _one_up(patch, here, gains_db)
    if here is not None:
        level = NOBODY_KNOWS
    for gain_db in reversed(gains_db):
        level = level.plus(gain_db)
    return level


def _one_up(patch: Patch, node: Node, gains_db: list[float]) -> tuple[Level, Node | None]:
    """Return the level of an output by itself, or the output it comes from by a passive way; notes the gain of that."""
    end = patch.end(node)
    if not isinstance(end.port.carrier, Audio):
        return NOBODY_KNOWS, None
    ways = patch.steps_into(node)
    if len(ways) == 1:
        before, step = ways[0]
        if isinstance(step, Hop):
            return NOBODY_KNOWS, before
        if step.kind in PASSIVE:
            into = patch.steps_into(before)
            if not into:
                return NOBODY_KNOWS, None
            if len(into) == 1 and isinstance(into[0][1], Hop):
                gains_db.append(step.gain_db - _pad_db(patch.end(before), step))
                return NOBODY_KNOWS, into[0][0]
    return _own_level(patch, end), None


def _pad_db(end: End, path: Path) -> float:
    """Return what a pad switched in at the entry of a path takes."""
    carrier = end.port.carrier
    return carrier.pad_db if isinstance(carrier, Audio) and end.setting.pad and path.kind != "wire" else 0.0


@once_a_kind
def _own_level(patch: Patch, end: End) -> Level:
    """Return the level a type states; where a hand sets it, peaks lie 12 dB over nominal."""
    carrier = end.port.carrier
    if not isinstance(carrier, Audio):
        return NOBODY_KNOWS
    nominal, highest = carrier.nominal_dbu, carrier.max_dbu
    if end.gear.category in SET_BY_HAND and nominal is not None and highest is not None:
        highest = min(highest, nominal + PEAKS_OVER_NOMINAL_DB)
    return Level(nominal, highest)


@once_a_net
def behind_wires(patch: Patch, node: Node) -> End:
    """Return the end whose signal leaves here: the output itself, or what plain wires bring to it."""
    seen = {node}
    while True:
        ways = patch.steps_into(node)
        if len(ways) != 1 or ways[0][0] in seen:
            return patch.end(node)
        before, step = ways[0]
        if not isinstance(step, Hop) and step.kind != "wire":
            return patch.end(node)
        node = before
        seen.add(node)


def is_wire(carrier: object) -> bool:
    """Return whether a port only passes on what it gets: it has no level of its own."""
    return isinstance(carrier, Audio) and carrier.nominal_dbu is None


def clip_dbu(end: End, hop: Hop | None = None) -> float | None:
    """Return where a port clips at its lowest gain, a pad switched in included; None where its type states nothing.

    ``hop`` is the connection that arrives: its plug decides which half of a combined socket is asked.
    """
    carrier = end.port.carrier if hop is None else hop.coupling.arrives
    if not isinstance(carrier, Audio) or carrier.max_dbu is None:
        return None
    return carrier.max_dbu + (carrier.pad_db if end.setting.pad else 0.0)


def is_consumer(carrier: object) -> bool:
    """Return whether a port works around -10 dBV."""
    return (
        isinstance(carrier, Audio)
        and carrier.level == "consumer"
        and carrier.nominal_dbu is not None
        and abs(carrier.nominal_dbu - dbu_from_dbv(CONSUMER_NOMINAL_DBV)) < 3.0
    )


def professional_into_consumer(patch: Patch, hop: Hop) -> float | None:
    """Return by how many dB a line output overshoots a consumer input, or None where it is no such pair."""
    source = hop.source.port.carrier
    if not isinstance(source, Audio) or source.level != "line":
        return None
    target = hop.coupling.arrives
    if not is_consumer(target):
        return None
    nominal = level_out(patch, hop.source.node).nominal_dbu
    assert isinstance(target, Audio)
    if nominal is None or target.nominal_dbu is None or nominal <= target.nominal_dbu + 6.0:
        return None
    return nominal - target.nominal_dbu


def _plus(level_dbu: float | None, gain_db: float) -> float | None:
    return None if level_dbu is None else level_dbu + gain_db
