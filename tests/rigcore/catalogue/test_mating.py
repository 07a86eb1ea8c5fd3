"""Who goes into whom: the asymmetries are the point of the table."""

from __future__ import annotations

import pytest

from rigcore.catalogue.connectors import Consequence
from rigcore.catalogue.loader import shipped

MATING = shipped().mating
FITS = Consequence.FITS
RING = Consequence.RING_SHORTED
HALF = Consequence.HALF_THE_CONTACTS
NO = Consequence.DOES_NOT_FIT


@pytest.mark.parametrize(
    ("plug", "socket", "consequence"),
    [
        ("ts6.m", "ts6.f", FITS),
        ("trs6.m", "trs6.f", FITS),
        ("ts6.m", "trs6.f", RING),
        ("trs6.m", "ts6.f", RING),
        ("ts3.m", "trs3.f", RING),
        ("trs3.m", "ts3.f", RING),
        ("trs3.m", "trrs3.f", HALF),
        ("trrs3.m", "trs3.f", HALF),
        ("trs3.m", "trs6.f", NO),
        ("xlr3.m", "combo.f", FITS),
        ("trs6.m", "combo.f", FITS),
        ("ts6.m", "combo.f", RING),
        ("xlr5.m", "combo.f", NO),
        ("xlr3.m", "xlr5.f", NO),
        ("speaker2.m", "speaker2.f", FITS),
        ("speaker2.m", "speaker4.f", HALF),
        ("speaker4.m", "speaker2.f", NO),
        ("ts6.m", "speaker2.f", NO),
        ("bare.m", "binding.f", FITS),
        ("8p8c.m", "8p8c-rugged.f", FITS),
        ("8p8c-rugged.m", "8p8c.f", NO),
        ("usb-c.m", "usb-c.f", FITS),
        ("usb-c.m", "usb-a.f", NO),
        ("usb-a.m", "usb-b.f", NO),
        ("nema5-15.m", "nema5-20.f", FITS),
        ("nema5-20.m", "nema5-15.f", NO),
        ("c15", "c14", FITS),
        ("c13", "c16", NO),
        ("c13", "c14", FITS),
        ("c7", "c6", NO),
        ("c19", "c14", NO),
        ("c13", "c20", NO),
        ("c17", "c14", NO),
        ("cee7-16.m", "cee7-4.f", FITS),
        ("cee7-7.m", "cee7-4.f", FITS),
        ("cee7-7.m", "bs1363.f", NO),
        ("iec60309-16.m", "iec60309-32.f", NO),
        ("dc21.m", "dc25.f", NO),
        ("dc25.m", "dc21.f", NO),
    ],
)
def test_pairs(plug: str, socket: str, consequence: Consequence) -> None:
    assert MATING.consequence(plug, socket) is consequence
    assert MATING.consequence(socket, plug) is consequence, "the order of asking does not matter"
    assert MATING.fits(plug, socket) is (consequence is not NO)


def test_only_opposite_sides_meet() -> None:
    sides = {row.id: row.side for row in shipped().connectors.values()}
    for row in MATING.rows:
        assert sides[row.plug] != sides[row.socket], row


def test_no_pair_stands_twice() -> None:
    pairs = [frozenset((row.plug, row.socket)) for row in MATING.rows]
    assert len(pairs) == len(set(pairs))


def test_a_consequence_says_why() -> None:
    for row in MATING.rows:
        if row.consequence != "fits":
            assert row.why, f"{row.plug} into {row.socket}"


def test_a_loudspeaker_wire_in_a_screw_terminal_is_the_only_meeting_of_groups() -> None:
    groups = {row.id: row.group for row in shipped().connectors.values()}
    meetings = [(r.plug, r.socket) for r in MATING.rows if groups[r.plug] != groups[r.socket]]
    assert meetings == [("bare.m", "screw.f")]
