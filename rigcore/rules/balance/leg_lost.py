"""A balanced output of which only one leg is used."""

from __future__ import annotations

from collections.abc import Iterator

from rigcore.catalogue.carriers import Audio
from rigcore.catalogue.connectors import Consequence
from rigcore.patch.build import Hop, Patch
from rigcore.patch.joints import broken_joints, joints
from rigcore.patch.loads import Run, runs
from rigcore.patch.stages import ONE_LEG_DB, drives_both_legs
from rigcore.rules import basis, words
from rigcore.rules.rule import Finding, Rule


def judge(patch: Patch) -> Iterator[Finding]:
    """Yield one note for each driven balanced output that goes on unbalanced by a lead or adapter made for it.

    Where a plug shorts the leg, that is the finding and not this.
    """
    seen = set()
    for run in runs(patch):
        carrier = run.begin.port.carrier
        if not isinstance(carrier, Audio) or not drives_both_legs(run.begin) or run.begin.node in seen:
            continue
        if not _leaves_one(patch, run):
            continue
        seen.add(run.begin.node)
        yield Finding(
            RULE.id,
            "note",
            f"{run.begin.words} to {run.last.target.words} uses one leg of two: "
            f"{words.decibels(-ONE_LEG_DB)} less, and unbalanced over {words.metres(run.length_m)}.",
            tuple(dict.fromkeys(thing for hop in run.hops for thing in words.place(hop))),
            _working(carrier, run),
        )


def _leaves_one(patch: Patch, run: Run) -> bool:
    """Return whether the second leg is left open somewhere along a run, and nowhere shorted before."""
    for hop in run.hops:
        if broken_joints(patch, hop):
            return False
        opens = next((place for place, (cable, _) in enumerate(hop.cables) if cable.wiring == "unbalanced"), None)
        met = joints(patch, hop)[: None if opens is None else opens + 1]
        if any(joint.consequence is not Consequence.FITS for joint in met):
            return False
        if opens is not None:
            return True
        if _opens_behind(patch, hop):
            return True
    return False


def _opens_behind(patch: Patch, hop: Hop) -> bool:
    """Return whether the adapter a hop leads into goes on with one leg."""
    if hop.target.gear.category != "adapter":
        return False
    ahead = [patch.end(after) for after, step in patch.steps_out_of(hop.target.node) if not isinstance(step, Hop)]
    return _one(hop.target.port.carrier) or (bool(ahead) and all(_one(end.port.carrier) for end in ahead))


def _one(carrier: object) -> bool:
    return isinstance(carrier, Audio) and carrier.balance == "unbalanced" and carrier.layout == "mono"


def _working(carrier: Audio, run: Run) -> tuple[str, ...]:
    lines = [f"one leg of two: 20 log(1 / 2) = −{-ONE_LEG_DB:.2f} dB"]
    if carrier.nominal_dbu is not None:
        left = carrier.nominal_dbu + ONE_LEG_DB
        lines.append(
            f"nominal {words.level(carrier.nominal_dbu)} − {-ONE_LEG_DB:.2f} dB = {words.level(left)}"
        )
    lines.append(f"from the output to the input without a transformer: {words.metres(run.length_m)}")
    return tuple(lines)


RULE = Rule(
    id="balance.leg-lost",
    severity="note",
    sentence="A balanced output used on one leg gives 6 dB less and is an unbalanced line from there on.",
    why="The gain is set 6 dB higher than the sheet says, and the length counts as unbalanced.",
    basis=(basis.LEGS, basis.UNBALANCED),
    working="20 log(1/2) = −6.02 dB where both legs are driven; the length of the whole run",
    judge=judge,
)
