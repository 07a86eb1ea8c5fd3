"""What one port says to another: would they take each other, and if not, why, in a few words.

A quick answer for a hand holding a cable. It knows direction, medium, roles and
plugs; levels, loads and everything else with a number are left to the rules.
"""

from __future__ import annotations

from msgspec import Struct

from rigcore.catalogue.carriers import Carrier, Dc, Mains, Usb, WordClock
from rigcore.catalogue.catalogue import Catalogue
from rigcore.catalogue.connectors import Consequence
from rigcore.catalogue.gear import Port

MEDIUM_WORDS = {
    "audio": "analogue audio",
    "loudspeaker": "loudspeaker level",
    "footswitch": "a foot switch",
    "expression": "an expression pedal",
    "midi": "MIDI",
    "usb": "USB",
    "network": "network",
    "aes3": "AES3",
    "optical": "optical audio",
    "wordclock": "word clock",
    "mains": "mains",
    "dc": "low-voltage DC",
}


class Meeting(Struct, frozen=True):
    """The answer of two ports to each other.

    Parameters
    ----------
    takes
        Whether a cable, or the two plugs alone, would join them as meant.
    why
        Why not, or what comes of it; empty where there is nothing to say.
    possible
        Whether joining them can be planned at all. What is possible though not
        taken wants something between, and the rules say what.
    """

    takes: bool
    why: str = ""
    possible: bool = True


def meets(catalogue: Catalogue, one: Port, other: Port) -> Meeting:
    """Return what two ports say to each other; the order of the two does not matter.

    Parameters
    ----------
    catalogue
        Connectors, matings and cable types at hand.
    one, other
        The two ports, of the rig or of the house.

    Returns
    -------
    Meeting
        Never taken: two inputs, two outputs, different media, two USB hosts, two
        clock masters, supplies of different volts. Possible but not taken: plugs no
        cable type joins.
    """
    if one.direction == other.direction != "both":
        return Meeting(False, f"both are {one.direction}puts", possible=False)
    source, target = (other, one) if one.direction == "in" or other.direction == "out" else (one, other)
    refusals = [_why_not(mine, theirs) for mine in _carriers(source) for theirs in _carriers(target)]
    if all(refusals):
        return Meeting(False, refusals[0], possible=False)
    return _plugs(catalogue, source, target)


def _carriers(port: Port) -> tuple[Carrier, ...]:
    return (port.carrier,) if port.jack_carrier is None else (port.carrier, port.jack_carrier)


def _why_not(source: Carrier, target: Carrier) -> str:
    """Return why what travels at one port is not what travels at the other, or nothing."""
    if source.medium != target.medium:
        return f"takes {MEDIUM_WORDS[target.medium]}, not {MEDIUM_WORDS[source.medium]}"
    if isinstance(source, Usb) and isinstance(target, Usb) and source.role == target.role:
        return f"both are USB {source.role}s"
    if isinstance(source, WordClock) and isinstance(target, WordClock):
        return "both are clock masters" if source.role == target.role == "master" else ""
    if isinstance(source, Dc) and isinstance(target, Dc) and source.volts != target.volts:
        return f"wants {target.volts:g} V, not {source.volts:g} V"
    if isinstance(source, Mains) and isinstance(target, Mains):
        apart = source.high_v < target.low_v or source.low_v > target.high_v
        return f"wants {target.low_v:g} to {target.high_v:g} V" if apart else ""
    return ""


def _plugs(catalogue: Catalogue, source: Port, target: Port) -> Meeting:
    """Return what the two connectors say once everything else agrees."""
    straight = catalogue.mating.consequence(source.connector, target.connector)
    if straight is Consequence.FITS:
        return Meeting(True)
    cables = catalogue.cables_between(source, target)
    if not cables:
        if straight is not Consequence.DOES_NOT_FIT:
            return Meeting(True, straight.value)
        return Meeting(False, "no cable joins these plugs: needs an adapter")
    if not cables[0].carries(source.carrier.medium):
        return Meeting(False, "only a cable made for something else joins these plugs")
    ends = catalogue.ends_at(cables[0], source, target)
    for port, end in zip((source, target), ends or (), strict=False):
        consequence = catalogue.mating.consequence(port.connector, end)
        if consequence is not Consequence.FITS:
            return Meeting(True, consequence.value)
    return Meeting(True)
