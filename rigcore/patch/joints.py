"""Where plug meets socket along a connection, and which way a connection faces.

Facts only: what mates with what, with which consequence. Whether that is a
fault is for the rules.
"""

from __future__ import annotations

from dataclasses import dataclass, replace

from rigcore.catalogue.cables import CableType
from rigcore.catalogue.carriers import Audio
from rigcore.catalogue.connectors import Consequence
from rigcore.catalogue.record import changed
from rigcore.patch.build import Facing, Hop, Patch, carrier_of, once_a_hop


@dataclass(frozen=True)
class Joint:
    """Two connectors brought together, with whose they are in words."""

    one: str
    other: str
    one_words: str
    other_words: str
    consequence: Consequence


def facing(hop: Hop) -> Facing:
    """Return which way a connection lies between its two ports."""
    return hop.facing


@once_a_hop
def joints(patch: Patch, hop: Hop) -> tuple[Joint, ...]:
    """Return every place along a hop where two connectors meet, from source to target."""
    chain: list[tuple[str, str]] = [(hop.source.port.connector, hop.source.words)]
    for cable, length in hop.cables:
        words = f"{cable.name} ({length:g} m)"
        chain += [(cable.end_a, words), (cable.end_b, words)]
    chain.append((hop.target.port.connector, hop.target.words))
    pairs = [(chain[i], chain[i + 1]) for i in range(0, len(chain) - 1, 2)]
    return tuple(
        Joint(one[0], other[0], one[1], other[1], patch.catalogue.mating.consequence(one[0], other[0]))
        for one, other in pairs
    )


@once_a_hop
def broken_joints(patch: Patch, hop: Hop) -> tuple[Joint, ...]:
    """Return the joints of a hop that do not go together."""
    return tuple(one for one in joints(patch, hop) if one.consequence is Consequence.DOES_NOT_FIT)


def only_gender(patch: Patch, joint: Joint) -> bool:
    """Return whether a joint fails for gender alone: same family, same side."""
    one, other = patch.catalogue.connectors[joint.one], patch.catalogue.connectors[joint.other]
    return one.family == other.family and one.side == other.side


def same_medium(patch: Patch, hop: Hop) -> bool:
    """Return whether both ends of a hop carry the same thing, through the plugs that meet them."""
    ends = [carrier_of(patch, hop, at_target=at_target).medium for at_target in (False, True)]
    return ends[0] == ends[1]


def leads_for(patch: Patch, hop: Hop) -> tuple[CableType, ...]:
    """Return the cable types that would join both ends of a hop over its distance, best first."""
    return tuple(
        cable
        for cable in patch.catalogue.cables_between(hop.source.port, hop.target.port)
        if (hop.length_m is None or hop.length_m <= max(cable.stock_lengths_m))
        and cable.carries(hop.source.port.carrier.medium)
    )


def with_cable(patch: Patch, hop: Hop, cable: CableType) -> Hop:
    """Return a hop as it would be over one other cable that fits both its ends."""
    ends = patch.catalogue.ends_at(cable, hop.source.port, hop.target.port) or (cable.end_a, cable.end_b)
    turned = changed(cable, end_a=ends[0], end_b=ends[1])
    return replace(hop, cables=((turned, hop.length_m or min(cable.stock_lengths_m)),))


def is_audio_hop(hop: Hop) -> bool:
    """Return whether both ends carry analogue audio."""
    return hop.is_audio


def is_balanced(patch: Patch, hop: Hop) -> bool:
    """Return whether a connection stays balanced from end to end."""
    for at_target in (False, True):
        carrier = carrier_of(patch, hop, at_target=at_target)
        if not isinstance(carrier, Audio) or carrier.balance == "unbalanced" or carrier.layout == "stereo":
            return False
    return all(cable.wiring == "balanced" for cable, _ in hop.cables)


def contacts(patch: Patch, hop: Hop) -> int:
    """Return how many contacts a connection keeps all the way: the fewest of its plugs."""
    ids = [hop.source.port.connector, hop.target.port.connector]
    for cable, _ in hop.cables:
        ids += [cable.end_a, cable.end_b]
    return min(patch.catalogue.connectors[one].contacts for one in ids)
