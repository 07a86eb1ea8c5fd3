"""The level that leaves an output, in dBu: its own figure, or what a passive way brings from above.

Enough for the rules that look at both ends of one connection; loads, noise and
sums through whole chains are not computed here.
"""

from __future__ import annotations

from typing import NamedTuple

from rigcore.book.rig import PortSetting
from rigcore.catalogue.carriers import Audio, Carrier
from rigcore.patch.build import End, Hop, Node, Patch, carrier_of, once_each
from rigcore.quantities.electrical import (
    CONSUMER_NOMINAL_DBV,
    dbu_from_dbv,
)

PASSIVE = ("wire", "transformer", "resistive")

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


@once_each
def level_out(patch: Patch, node: Node) -> Level:
    """Return the level that leaves an output with nothing to drive: the highest case, for what clips.

    Passive boxes have no level of their own: theirs is what comes in, less what
    they lose (pads switched in included), nothing if nothing is plugged in. Everything else gives what its type
    states, a mixer and its like no more than 12 dB over nominal.
    """
    return _level(patch, node, frozenset())


def _level(patch: Patch, node: Node, seen: frozenset[Node]) -> Level:
    end = patch.end(node)
    carrier = end.port.carrier
    if not isinstance(carrier, Audio) or node in seen:
        return Level(None, None)
    own = _own_level(carrier, end.gear.category)
    ways = patch.steps_into(node)
    if len(ways) != 1:
        return own
    before, step = ways[0]
    if isinstance(step, Hop):
        return _level(patch, before, seen | {node})
    if step.kind not in PASSIVE:
        return own
    into = patch.steps_into(before)
    if not into:
        return Level(None, None)
    if len(into) != 1 or not isinstance(into[0][1], Hop):
        return own
    arriving = _level(patch, into[0][0], seen | {node, before})
    entered = patch.end(before)
    pad_db = entered.port.carrier.pad_db if isinstance(entered.port.carrier, Audio) and entered.setting.pad else 0.0
    return arriving.plus(step.gain_db - (pad_db if step.kind != "wire" else 0.0))


def _own_level(carrier: Audio, category: str) -> Level:
    """Return the level a type states; where a hand sets it, peaks lie 12 dB over nominal."""
    nominal, highest = carrier.nominal_dbu, carrier.max_dbu
    if category in SET_BY_HAND and nominal is not None and highest is not None:
        highest = min(highest, nominal + PEAKS_OVER_NOMINAL_DB)
    return Level(nominal, highest)


@once_each
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


def clip_dbu(patch: Patch, hop: Hop) -> float | None:
    """Return the level at which the input of a hop clips at its lowest gain, pad included, or None."""
    return clip_as_set(carrier_of(patch, hop, at_target=True), hop.target.setting)


def clip_as_set(carrier: Carrier, setting: PortSetting) -> float | None:
    """Return where a port clips, a pad switched in included; None where its type states nothing."""
    if not isinstance(carrier, Audio) or carrier.max_dbu is None:
        return None
    return carrier.max_dbu + (carrier.pad_db if setting.pad else 0.0)


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
    target = carrier_of(patch, hop, at_target=True)
    if not is_consumer(target):
        return None
    nominal = level_out(patch, hop.source.node).nominal_dbu
    assert isinstance(target, Audio)
    if nominal is None or target.nominal_dbu is None or nominal <= target.nominal_dbu + 6.0:
        return None
    return nominal - target.nominal_dbu


def _plus(level_dbu: float | None, gain_db: float) -> float | None:
    return None if level_dbu is None else level_dbu + gain_db
