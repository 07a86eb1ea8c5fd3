"""What keeps what alive: strips and units that feed others with mains, low voltage or bus power.

Batteries are not counted on. What is played over MIDI is not followed: it needs
its player, not its power.
"""

from __future__ import annotations

from collections.abc import Iterator

from msgspec import Struct

from rigcore.catalogue.carriers import Usb
from rigcore.patch.build import Hop, Patch
from rigcore.patch.coupling import Coupling
from rigcore.patch.dc import dc_runs
from rigcore.patch.once import once_a_patch
from rigcore.patch.plugs import Key, plugs


class Feed(Struct, frozen=True):
    """One unit keeps another alive, over a connection; None where the plug is taken to sit there by nearness."""

    giver: Key | None
    taker: Key
    hop: Hop | None


@once_a_patch
def feeds(patch: Patch) -> tuple[Feed, ...]:
    """Return every feed of the gig: mains, then low voltage, then bus power. A giver of None is the wall."""
    found = [Feed(plug.up, plug.key, plug.hop) for plug in plugs(patch).values() if plug.up or plug.hop]
    for run in dc_runs(patch):
        found.append(Feed(_key(run.supply.node), _key(run.taker.node), run.hop))
    found += _bus_power(patch)
    return tuple(found)


def _is_usb(one: Coupling) -> bool:
    return isinstance(one.source.carrier, Usb) and isinstance(one.target.carrier, Usb)


def _bus_power(patch: Patch) -> Iterator[Feed]:
    for hop in patch.hops_where(_is_usb):
        for giver, taker in ((hop.source, hop.target), (hop.target, hop.source)):
            gives, wants = giver.port.carrier, taker.port.carrier
            if isinstance(gives, Usb) and isinstance(wants, Usb) and gives.role == "host" and wants.current_ma > 0:
                yield Feed(_key(giver.node), _key(taker.node), hop)


def _key(node: tuple[object, str, str]) -> Key:
    return node[0], node[1]  # type: ignore[return-value]


@once_a_patch
def _takers(patch: Patch) -> dict[Key, tuple[Key, ...]]:
    found: dict[Key, list[Key]] = {}
    for feed in feeds(patch):
        if feed.giver is not None:
            found.setdefault(feed.giver, []).append(feed.taker)
    return {key: tuple(keys) for key, keys in found.items()}


def kept_alive_by(patch: Patch, *keys: Key) -> tuple[Key, ...]:
    """Return everything fed through some units, near or far, the units themselves left out; nearest first."""
    below = _takers(patch)
    ahead, seen = list(keys), set(keys)
    for key in ahead:
        for taker in below.get(key, ()):
            if taker not in seen:
                seen.add(taker)
                ahead.append(taker)
    return tuple(ahead[len(keys) :])
