"""Grounding against published rules: the mains protective earth is never lifted, and what may be opened instead.

Sources: UK HSE leaflet INDG247 "Electrical safety for entertainers"; NEC 250.6(D) and 250.114; AES48-2005.
The identifiers are those of our collection of test vectors.
"""

from __future__ import annotations

import re
from pathlib import Path

import pytest

import rigcore
from rigcore import resources
from rigcore.analysis import analyse
from rigcore.book.file import load
from rigcore.book.gig import Gig
from rigcore.catalogue.loader import shipped
from rigcore.patch.build import build_patch
from rigcore.patch.ground_graph import HOUSE_EARTH, Bond, Means, Potential
from rigcore.patch.grounds import Grounds, grounds
from rigcore.rules import basis
from rigcore.rules.rulebook import RULES
from tests.make_rule_samples import every_sample
from tests.rule_samples.plan import Plan

EVERY_MEANS: tuple[Means, ...] = ("lift", "open screen", "isolator")
SAMPLE_BOOKS = ("piper", "tandem", "ferry", "tour")
LIFTS_AN_EARTH = re.compile(
    r"\b(lift|remove|cut|disconnect|open|defeat|isolate|break)(s|ed|ing)?\b"
    r"[^.;:]{0,25}\b(mains|protective|safety) earth",
    re.I,
)


def _grounds(plan: Plan) -> Grounds:
    return grounds(build_patch(plan.book, None, shipped()))


@pytest.mark.parametrize("means", EVERY_MEANS)
def test_bx_11_removing_the_earth_of_a_class_i_unit_is_refused_always(means: Means) -> None:
    """BX-11: HSE INDG247; NEC 250.6(D): noise is no objectionable current; 250.114: cord equipment stays earthed."""
    with pytest.raises(ValueError, match="protective earth"):
        Bond(Potential("unit", "rig", "synth"), HOUSE_EARTH, "earth", means)
    assert "INDG247" in basis.NEVER_LIFT
    assert "250.6(D)" in basis.NEVER_LIFT


def test_bx_12_one_open_end_of_a_balanced_line_cable_is_accepted_with_a_note() -> None:
    """BX-12: HSE INDG247 as quoted: the screen may be open at one end; AES48-2005 otherwise joins both."""
    plan = Plan()
    plan.unit("mixer", "mixer-in-ear", "Mixer")
    plan.unit("amp", "keyboard-amplifier", "Amplifier")
    plan.link("mixer.main-l", "amp.line-1", "trs 3")
    assert [bond.opens for bond in _grounds(plan).graph.fewest_breaks()] == ["open screen"]
    sample = every_sample()["ground.loop-balanced"].book("bad")
    (note,) = [one for one in analyse(sample, None, shipped()).findings if one.rule == "ground.loop-balanced"]
    assert note.severity == "note"
    assert note.remedies[0].words.startswith("Put XLR in-line shield lift into")
    mended = analyse(note.remedies[0].apply(sample), None, shipped())
    assert not [one for one in mended.findings if one.rule.startswith("ground")]


@pytest.mark.parametrize(("microphone", "opens"), [("condenser-handheld", None), ("dynamic-handheld", "isolator")])
def test_bx_13_never_on_a_microphone_cable_that_48_v_can_come_to(microphone: str, opens: str | None) -> None:
    """BX-13: 48 V returns by pin 1, so an open screen takes it away; a transformer only where none is needed."""
    plan = Plan()
    plan.unit("vox", microphone, "Vox mic")
    plan.land("vox.out", "in-1", "xlr 5", name="Lead vox")
    (bond,) = [one for one in _grounds(plan).graph.bonds if one.kind == "screen"]
    assert bond.opens == opens


def _earths(gig: Gig, made: Grounds) -> set[tuple[str, Potential, Potential]]:
    return {(gig.id, bond.one, bond.other) for bond in made.graph.bonds if bond.kind == "earth"}


@pytest.mark.parametrize("name", SAMPLE_BOOKS)
def test_no_remedy_takes_an_earth_away(name: str) -> None:
    """Every remedy of every finding leaves each class I unit its earth; a computer on battery is unplugged, no more."""
    book, _ = load(resources.samples() / f"{name}.loom", shipped())
    for gig in book.gigs:
        before = _earths(gig, grounds(build_patch(book, gig.id, shipped())))
        for finding in analyse(book, gig.id, shipped()).findings:
            for remedy in finding.remedies if finding.rule.startswith("ground") else ():
                after = _earths(gig, grounds(build_patch(remedy.apply(book), gig.id, shipped())))
                gone = {one.unit for _, one, _ in before - after}
                assert gone <= ({"tracks"} if finding.rule == "ground.charger" else set()), remedy.words


def test_no_rule_and_no_sentence_proposes_to_lift_an_earth() -> None:
    for rule in RULES:
        for kind in ("bad", "good", "near_miss"):
            sample = every_sample()[rule.id].book(kind)  # type: ignore[arg-type]
            for finding in analyse(sample, None, shipped()).findings if rule.family in ("ground", "power") else ():
                said = [finding.sentence, *finding.working, *(one.words for one in finding.remedies)]
                assert not [text for text in said if LIFTS_AN_EARTH.search(text)], said


def test_no_source_text_proposes_it_either() -> None:
    for path in Path(rigcore.__file__).parent.joinpath("rules").rglob("*.py"):
        for found in LIFTS_AN_EARTH.finditer(path.read_text("utf-8")):
            line = path.read_text("utf-8")[max(0, found.start() - 60) : found.end() + 20]
            assert re.search(r"never|not", line, re.I), (path, line)


def test_every_ground_rule_rests_on_the_prohibition() -> None:
    ground = [rule for rule in RULES if rule.family == "ground"]
    assert len(ground) == 4
    assert all(basis.NEVER_LIFT in rule.basis for rule in ground)


def test_gr_01_is_the_working_of_the_unbalanced_loop() -> None:
    """GR-01: noise of an unbalanced link is the screen's current times the screen's resistance."""
    (rule,) = [rule for rule in RULES if rule.id == "ground.loop-unbalanced"]
    assert "screen current × screen resistance" in rule.working
