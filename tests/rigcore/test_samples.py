"""The three rigs worked by hand: their counts and their findings, each once and at the right place.

The expected values were added up on paper before the program existed; they are
worked examples of our own, not published ones.
"""

from __future__ import annotations

import pytest

from rigcore import resources
from rigcore.analysis import Analysis, analyse
from rigcore.book import file as book_file
from rigcore.book.edits.gigs import bind_landing
from rigcore.book.gig import CablePiece, GearPiece, Landing
from rigcore.catalogue.loader import shipped
from rigcore.lists.counts import Counts, count
from rigcore.patch.build import Node
from rigcore.patch.stages import levels


def _analysis(name: str) -> Analysis:
    book, _ = book_file.load(resources.samples() / f"{name}.loom", shipped())
    return analyse(book, None, shipped())


@pytest.fixture(scope="module")
def piper() -> Analysis:
    return _analysis("piper")


@pytest.fixture(scope="module")
def tandem() -> Analysis:
    return _analysis("tandem")


@pytest.fixture(scope="module")
def ferry() -> Analysis:
    return _analysis("ferry")


def _found(analysis: Analysis, severity: str) -> list[tuple[str, str]]:
    """Return rule and first thing of each finding of a severity, by the names people know."""
    names = {unit.id: unit.name for unit in analysis.patch.rig.units}
    names |= {one.id: one.name for one in analysis.patch.rig.hand_offs}
    names |= {link.id: "link" for link in analysis.patch.rig.links}
    return sorted(
        (one.rule, names.get(one.things[0].id, one.things[0].id))
        for one in analysis.findings
        if one.severity == severity
    )


def _totals(counts: Counts) -> dict[str, object]:
    return {
        "channels": counts.channels, "48 V": counts.phantom, "stands": counts.stands, "DI": counts.dis,
        "stereo mixes": counts.stereo_mixes, "mono mixes": counts.mono_mixes, "sends": counts.sends,
        "wedges": counts.wedges, "outlets": counts.outlets, "W": counts.watts,
        "A": round(counts.amps, 2), "cautious A": round(counts.cautious_amps, 2),
    }  # fmt: skip


def test_piper_counts(piper: Analysis) -> None:
    """36 + 35 + 150 + 150 + 12 = 383 W; 383 / 230 = 1.67 A; divided by 0.7 it is 2.38 A."""
    assert _totals(piper.counts) == {
        "channels": 1, "48 V": 0, "stands": {"rig": 1, "house": 0}, "DI": {"rig": 0, "house": 0},
        "stereo mixes": 0, "mono mixes": 0, "sends": 0, "wedges": 0, "outlets": 5, "W": 383.0,
        "A": 1.67, "cautious A": 2.38,
    }  # fmt: skip
    assert (piper.counts.lead("xlr", 5.0), piper.counts.lead("ts", 3.0)) == (3, 2)


def test_piper_findings(piper: Analysis) -> None:
    """Findings 1 to 5, 7, 8 and 9 of the hand list; 12 m over the longest XLR of 10 m is the fifth."""
    assert _found(piper, "fault") == [
        ("balance.unbalanced-run", "Ceiling feed"), ("cable.longer-than-stock", "Ceiling feed"),
        ("fit.no-mating", "Ceiling feed"),
    ]  # fmt: skip
    [join] = [one.sentence for one in piper.findings if one.rule == "cable.longer-than-stock"]
    assert join == (
        "Ceiling feed needs 12 m; the longest cable left over is XLR cable, 10 m: join 2 × 10 m."
    )
    assert _found(piper, "risk") == [
        ("ground.loop-unbalanced", "Ceiling feed"), ("level.consumer", "Ceiling feed"), ("power.outlets", "Piano"),
    ]  # fmt: skip
    assert _found(piper, "note") == [
        ("channels.stereo-summed", "Ceiling feed"), ("phantom.global-switch", "Mixer"),
        ("power.shared-circuit", "Piano"),
    ]  # fmt: skip


def test_piper_packed_as_the_hand_list_says_has_no_fault(piper: Analysis) -> None:
    """TRS/XLR adapter, two 10 m joined, isolator, XLR/phono adapter and a Y: what is to be brought."""
    [hand_off] = [one.id for one in piper.patch.rig.hand_offs]
    [socket] = [one.id for one in piper.patch.house.sockets]
    ten = CablePiece(kind="cable", cable="xlr", length_m=10.0)
    chain = (
        GearPiece(kind="gear", gear="adapter-trs6m-xlr3m", enter="in", leave=("out",)),
        ten,
        ten,
        GearPiece(kind="gear", gear="line-isolator", enter="in", leave=("out",)),
        GearPiece(kind="gear", gear="adapter-xlr3f-rcam", enter="in", leave=("out",)),
        GearPiece(kind="gear", gear="adapter-rca-y", enter="in", leave=("out-1", "out-2")),
    )
    landing = Landing(hand_off=hand_off, socket=socket, chain=chain)
    packed = analyse(bind_landing(piper.book, piper.gig.id, landing, shipped()), None, shipped())
    assert _found(packed, "fault") == []
    assert [rule for rule, _ in _found(packed, "risk")] == ["level.consumer", "power.outlets"]
    assert packed.counts.lead("xlr", 10.0) == 2
    assert packed.counts.channels == 1


def test_tandem_counts(tandem: Analysis) -> None:
    """36 + 30 + 65 + 40 + 12 = 183 W; 183 / 230 = 0.80 A; 8 + 1 + 2 = 11 XLR of 5 m; 12 leads."""
    assert _totals(tandem.counts) == {
        "channels": 8, "48 V": 4, "stands": {"rig": 0, "house": 1}, "DI": {"rig": 4, "house": 3},
        "stereo mixes": 1, "mono mixes": 0, "sends": 2, "wedges": 0, "outlets": 5, "W": 183.0,
        "A": 0.8, "cautious A": 1.14,
    }  # fmt: skip
    assert [row.act for row in tandem.inputs if row.phantom] == [1, 2, 7, 8]
    assert tandem.counts.lead("xlr", 5.0) == 11
    assert tandem.counts.lead("xlr", 1.5) == 1
    assert tandem.counts.lead("ts") == 12
    assert [row.socket for row in tandem.inputs] == [f"SL{n}" for n in range(1, 9)]


def test_tandem_findings(tandem: Analysis) -> None:
    """Findings 1, 2, 3, 4, 7, 8 and 10 of the hand list; of the eleven XLR cables eight are carried."""
    [short] = [one for one in tandem.findings if one.rule.startswith("cable.")]
    assert short.sentence.startswith("Short of 3 × XLR cable, 5 m: 11 needed, 8 carried")
    assert _found(tandem, "fault") == [
        ("cable.not-enough", "Click"), ("fit.no-mating", "Ears L"), ("fit.no-mating", "Ears R"),
        ("fit.no-mating", "link"),
    ]  # fmt: skip
    assert [rule for rule, _ in _found(tandem, "risk")] == [
        "channels.own-mixer-full", "ground.charger", "ground.loop-unbalanced",
        "level.hot", "level.hot", "level.hot", "phantom.one-leg",
        "power.outlets",
    ]  # fmt: skip
    padded = sorted(
        thing.id for one in tandem.findings if one.rule == "level.hot" for thing in one.things if thing.kind == "unit"
    )
    assert [tandem.patch.units[unit].name for unit in padded] == ["House DI 1", "House DI 2", "House DI 3"]
    assert [rule for rule, _ in _found(tandem, "note")] == [
        "carry.no-spare", "channels.block-full", "channels.ear-feed", "ground.loop-balanced",
    ]  # fmt: skip


def test_ferry_counts(ferry: Analysis) -> None:
    """183 W on the riser and 30 W downstage right; 7 + 1 + 1 + 1 = 10 XLR on the riser."""
    assert _totals(ferry.counts) == {
        "channels": 9, "48 V": 1, "stands": {"rig": 1, "house": 1}, "DI": {"rig": 7, "house": 0},
        "stereo mixes": 0, "mono mixes": 2, "sends": 2, "wedges": 1, "outlets": 6, "W": 213.0,
        "A": 0.93, "cautious A": 1.32,
    }  # fmt: skip
    assert sorted((row.outlets, row.watts) for row in ferry.counts.power) == [(1, 30.0), (5, 183.0)]
    assert ferry.counts.lead("xlr", 5.0) == 10
    assert [row.house for row in ferry.inputs] == [13, 18, 19, 20, 21, 22, 23, 28, 25]
    assert [row.act for row in ferry.inputs if row.phantom] == [1]


def test_ferry_findings(ferry: Analysis) -> None:
    """Findings 1, 3, 4 and 7 of the hand list belong to these families; 4 names the bass too, which is true."""
    assert _found(ferry, "fault") == []
    assert _found(ferry, "risk") == [
        ("ground.charger", "Tracks"), ("ground.loop-unbalanced", "Bass DI"),
        ("level.splitter-clip", "Bass"), ("power.one-strip", "Riser strip"),
    ]  # fmt: skip
    assert [rule for rule, _ in _found(ferry, "note")] == [
        "carry.no-spare", "channels.block-full", "channels.ear-feed", "channels.order-differs",
        "channels.pair-on-even", "channels.voice-dry", "ground.loop-balanced", "power.leakage",
    ]  # fmt: skip


@pytest.mark.parametrize(
    ("name", "line", "peak"),
    [
        ("tandem", "Synth L", -1.6),
        ("tandem", "Tracks L", -3.6),
        ("ferry", "Keys 2 R", -1.6),
        ("ferry", "Tracks R", -3.6),
    ],
)
def test_levels_arrive_as_worked_by_hand(name: str, line: str, peak: float) -> None:
    """+20 − 21.6 = −1.6 dBu and +18 − 21.6 = −3.6 dBu as printed; loads and cables, in the sum here, take 0.1 dB."""
    analysis = _analysis(name)
    [row] = [one for one in analysis.inputs if one.name == line]
    socket = analysis.patch.house.socket(analysis.gig.landing(row.hand_off).socket)
    level = levels(analysis.patch).level(Node("house", socket.unit, socket.ports[0]))
    assert round(level.peak_dbu, 1) == pytest.approx(peak, abs=0.1001)


def _power(analysis: Analysis) -> dict[str, str]:
    """Return the sentence of each finding of the family power by its rule."""
    return {one.rule: one.sentence for one in analysis.findings if one.rule.startswith("power.")}


def test_power_findings_as_worked_by_hand(piper: Analysis, tandem: Analysis, ferry: Analysis) -> None:
    """Piper 6 and 9, Tandem 11, Ferry 5 and 6; 3 × 1 + 2 × 0.25 = 3.5 mA, below 15 mA."""
    found = _power(piper)
    assert found["power.outlets"].startswith("5 outlets needed at Corner of The Cork & Lantern, 2 given")
    assert "shared with a wine cooler" in found["power.shared-circuit"]
    assert _power(tandem)["power.outlets"].startswith("5 outlets needed at Quad SL of Fenwold Chapel, 4 given")
    found = _power(ferry)
    assert found["power.one-strip"].startswith("Riser strip is a single point of failure: 5 units")
    told = found["power.leakage"]
    assert told.startswith("Leakage adds up to 3.5 mA at Riser of Longmarsh Green, stage 2, below 15 mA")
    assert [len(_power(one)) for one in (piper, tandem, ferry)] == [2, 1, 2]


def test_walls_used_with_and_without_a_strip(piper: Analysis, ferry: Analysis) -> None:
    """Five plugs on one strip take one wall outlet; without it they would take five."""
    assert (piper.counts.wall_outlets, ferry.counts.wall_outlets) == (5, 2)
    [outlets] = [one for one in piper.findings if one.rule == "power.outlets"]
    packed = analyse(outlets.remedies[0].apply(piper.book), None, shipped())
    assert (packed.counts.outlets, packed.counts.wall_outlets) == (5, 1)


@pytest.mark.parametrize("name", ["piper", "tandem", "ferry", "tour", "mistakes", "mistakes-mended"])
def test_every_remedy_settles_what_it_is_offered_for(name: str) -> None:
    """Each remedy of each finding, one at a time: the finding is gone and no fault has come."""
    book, _ = book_file.load(resources.samples() / f"{name}.loom", shipped())
    for gig in book.gigs:
        before = analyse(book, gig.id, shipped())
        faults = {(one.rule, one.things) for one in before.findings if one.severity == "fault"}
        for finding in before.findings:
            for remedy in finding.remedies:
                after = analyse(remedy.apply(book), gig.id, shipped())
                left = {(one.rule, one.things) for one in after.findings}
                assert (finding.rule, finding.things) not in left, remedy.words
                new = {(one.rule, one.things) for one in after.findings if one.severity == "fault"} - faults
                assert not new, remedy.words


def test_totals_agree_with_the_rows(tandem: Analysis) -> None:
    assert count(tandem.patch).channels == len(tandem.inputs)
