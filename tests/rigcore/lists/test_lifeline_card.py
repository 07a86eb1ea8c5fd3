"""The lifeline card: rows for the pocket, and no way round that brings a fault."""

from __future__ import annotations

from collections import Counter

import pytest

from rigcore import resources
from rigcore.book import file as book_file
from rigcore.catalogue.loader import shipped
from rigcore.lists.lifeline_card import LifelineRow, lifeline_card
from rigcore.patch.build import Patch, build_patch
from rigcore.patch.lifelines import lifelines
from rigcore.rules.run import run_rules
from rigcore.solve.bypass import bypasses
from tests.rule_samples.plan import Plan


def _patch(name: str) -> Patch:
    return build_patch(book_file.load(resources.samples() / f"{name}.loom", shipped())[0], None, shipped())


def _row(rows: tuple[LifelineRow, ...], dies: str) -> LifelineRow:
    return next(row for row in rows if row.dies == dies)


def test_tandem_for_the_pocket() -> None:
    rows = lifeline_card(_patch("tandem"))
    splitter = _row(rows, "Splitter")
    assert splitter.silent == "Lead vox"
    assert splitter.do == "unplug Splitter; Vocal Output to house SL8: XLR cable 5 m + XLR cable 5 m"
    assert (splitter.spare, splitter.brings_back, splitter.caution) == ("no", "all", ())
    assert _row(rows, "Piano").do == "play on with Synth, Tracks, Lead vox"
    assert _row(rows, "Earphones").do == "ask the house for a wedge"
    assert _row(rows, "Vocal").do == "ask the house for a microphone"
    assert _row(rows, "Vocal").still == "Piano, Synth, Tracks, Ears"
    assert all(row.do and row.silent for row in rows)


def test_a_spare_is_said_to_be_packed() -> None:
    row = _row(lifeline_card(_patch("piper")), "XLR cable 5 m, Vocal Output to Mixer Mic 1")
    assert (row.spare, row.do, row.brings_back) == ("yes", "swap it for the spare", "all")


def test_half_a_pair_is_played_in_mono() -> None:
    plan = Plan()
    plan.unit("synth", "synth-61", "Synth")
    for side in ("L", "R"):
        port, line = f"synth.out-{side.lower()}", {"L": "in-1", "R": "in-2"}[side]
        plan.land(port, line, "trs-xlr 5", name=f"Synth {side}", group="synth", side=side)
    row = _row(lifeline_card(build_patch(plan.book, None, shipped())), "6.35 mm TRS plug to XLR male 5 m, Synth L")
    assert row.do == "have Synth R put in the middle; play mono"


@pytest.mark.parametrize("name", ["tandem", "ferry"])
def test_no_way_round_that_is_printed_brings_a_fault(name: str) -> None:
    patch = _patch(name)
    before = Counter(one.rule for one in run_rules(patch) if one.severity == "fault")
    checked = 0
    for row, one in zip(lifeline_card(patch), lifelines(patch), strict=True):
        for way in bypasses(patch, one):
            if way.steps == row.steps:
                after = run_rules(build_patch(way.apply(patch.book), patch.gig.id, patch.catalogue))
                new = Counter(one.rule for one in after if one.severity == "fault") - before
                assert set(new) <= {"channels.unbound"}
                checked += 1
    assert checked > 3
