"""Where plug meets socket along a connection, and which way a connection faces.

Facts only: what mates with what, with which consequence. Whether that is a
fault is for the rules.
"""

from __future__ import annotations

from typing import NamedTuple

from msgspec.structs import replace

from rigcore.catalogue.cables import CableType
from rigcore.catalogue.connectors import Consequence
from rigcore.patch.build import End, Hop, Patch
from rigcore.patch.coupling import Coupling, Facing
from rigcore.patch.once import once_a_patch, once_each


class Joint(NamedTuple):
    """Two connectors brought together, by id, and whose they are: a unit's port, or a cable of so many m."""

    one: str
    other: str
    one_at: End | tuple[CableType, float]
    other_at: End | tuple[CableType, float]
    consequence: Consequence

    @property
    def one_words(self) -> str:
        """Whose the first connector is, as spoken."""
        return _words(self.one_at)

    @property
    def other_words(self) -> str:
        """Whose the second connector is, as spoken."""
        return _words(self.other_at)


def facing(hop: Hop) -> Facing:
    """Return which way a connection lies between its two ports."""
    return hop.facing


@once_each
def joints(patch: Patch, hop: Hop) -> tuple[Joint, ...]:
    """Return every place along a hop where two connectors meet, from source to target."""
    found = []
    one: str = hop.source.port.connector
    one_at: End | tuple[CableType, float] = hop.source
    meets = patch.catalogue.mating.consequence
    for piece in hop.cables:
        found.append(Joint(one, piece[0].end_a, one_at, piece, meets(one, piece[0].end_a)))
        one, one_at = piece[0].end_b, piece
    last = hop.target.port.connector
    found.append(Joint(one, last, one_at, hop.target, meets(one, last)))
    return tuple(found)


def _words(at: End | tuple[CableType, float]) -> str:
    if isinstance(at, End):
        return at.words
    cable, length = at
    return f"{cable.name} ({length:g} m)"


@once_a_patch
def flawed(patch: Patch) -> tuple[Hop, ...]:
    """Return the runs that lie the right way round and have a joint that does not fit as meant."""
    return patch.along_where(_has_consequences)


def _has_consequences(one: Coupling) -> bool:
    return any(joint is not Consequence.FITS for joint in one.consequences)


@once_a_patch
def unpluggable(patch: Patch) -> tuple[Hop, ...]:
    """Return the runs between two of a kind that lie the right way round and do not go together somewhere."""
    return patch.along_where(_is_shut_out)


def _is_shut_out(one: Coupling) -> bool:
    return not one.goes_together and one.begins.medium == one.arrives.medium


def broken_joints(patch: Patch, hop: Hop) -> tuple[Joint, ...]:
    """Return the joints of a hop that do not go together."""
    if hop.coupling.goes_together:
        return ()
    return tuple(one for one in joints(patch, hop) if one.consequence is Consequence.DOES_NOT_FIT)


def only_gender(patch: Patch, joint: Joint) -> bool:
    """Return whether a joint fails for gender alone: same family, same side."""
    one, other = patch.catalogue.connectors[joint.one], patch.catalogue.connectors[joint.other]
    return one.family == other.family and one.side == other.side


def same_medium(patch: Patch, hop: Hop) -> bool:
    """Return whether both ends of a hop carry the same thing, through the plugs that meet them."""
    return hop.coupling.begins.medium == hop.coupling.arrives.medium


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
    coupling = patch.coupling(hop.source, hop.target, cable.id)
    lying = (coupling.cables[0], hop.length_m or min(cable.stock_lengths_m))
    return replace(hop, coupling=coupling, cables=(lying,))


def contacts(patch: Patch, hop: Hop) -> int:
    """Return how many contacts a connection keeps all the way: the fewest of its plugs."""
    ids = [hop.source.port.connector, hop.target.port.connector]
    for cable, _ in hop.cables:
        ids += [cable.end_a, cable.end_b]
    return min(patch.catalogue.connectors[one].contacts for one in ids)
