"""One MIDI output split to several inputs without electronics."""

from __future__ import annotations

from collections.abc import Iterator

from rigcore.patch.build import Patch
from rigcore.patch.control import midi_fans
from rigcore.rules import basis, remedies, words
from rigcore.rules.rule import Finding, Rule


def judge(patch: Patch) -> Iterator[Finding]:
    """Yield one fault for each MIDI output that drives several inputs through a passive split."""
    for fan in midi_fans(patch):
        last = [hop for hop in fan.hops if hop.target in fan.inputs]
        if len(fan.inputs) < 2 or all(hop.source.node == fan.output.node for hop in last):
            continue
        inputs = words.joined([end.words for end in fan.inputs])
        yield Finding(
            RULE.id,
            "fault",
            f"{fan.output.words} drives {inputs} through a passive split: one output drives one input; "
            "use a thru box.",
            (words.unit_of(fan.output), *dict.fromkeys(thing for hop in last for thing in words.place(hop))),
            (f"5 mA loop / {len(fan.inputs)} inputs = {5 / len(fan.inputs):.1f} mA for each, needed 5 mA",),
            tuple(remedies.unplug(patch, hop) for hop in last[1:]) if len(last) == 2 else (),
        )


RULE = Rule(
    id="control.midi-split",
    severity="fault",
    sentence="One MIDI output drives one MIDI input; more take a powered thru box.",
    why="A current loop does not divide: notes are lost or hang.",
    basis=(basis.MIDI,),
    working="inputs reached from one output by cables and passive boxes; 5 mA shared between them",
    judge=judge,
)
