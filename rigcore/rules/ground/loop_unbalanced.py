"""A loop of two earths over an unbalanced connection."""

from __future__ import annotations

from collections.abc import Iterator

from rigcore.patch.build import Patch
from rigcore.patch.grounds import Family, families
from rigcore.rules import basis, loops, words
from rigcore.rules.rule import Finding, Rule


def judge(patch: Patch) -> Iterator[Finding]:
    """Yield one finding for all unbalanced loops between the same two places."""
    for family in families(patch):
        if family.kind == "unbalanced":
            yield Finding(
                RULE.id,
                "risk",
                f"{loops.names(patch, family, 0)} and {loops.names(patch, family, 1)}, earthed at different outlets, "
                f"are joined over unbalanced leads: {_cure(patch, family)}.",
                loops.things(patch, family),
                (*loops.working(patch, family), *_battery(patch, family)),
                loops.remedies(patch, family),
                loops.assumed(patch),
            )


def _cure(patch: Patch, family: Family) -> str:
    """Return what to do, in words: switches first, then boxes."""
    lifts = [end.name for end in loops.lifts(patch, family)]
    lines = loops.lines(patch, family)
    said = []
    if lifts:
        said.append(f"open the ground lift of {words.joined(lifts)} and listen")
    if lines and any(bond.opens is None for bond in family.closing):
        said.append(f"nothing may be put into {words.joined(lines)}, so take the mains of both from one outlet")
    elif lines:
        said.append(f"put a DI or a 1:1 line isolator into {words.joined(lines)}, at the receiving end")
    return " and ".join(said)


def _battery(patch: Patch, family: Family) -> tuple[str, ...]:
    needing = [end.name for end in loops.lifts(patch, family) if getattr(end.port.carrier, "phantom", "") == "needs"]
    if not needing:
        return ()
    return ("48 V returns by pin 1: if a DI box falls silent with its lift open, close it again or fit a battery",)


RULE = Rule(
    id="ground.loop-unbalanced",
    severity="risk",
    sentence="An unbalanced lead joins two units earthed at different outlets only through a transformer or a lift.",
    why="The voltage between the two earths drives a current along the screen, and the screen is part of the signal.",
    basis=(basis.LOOP, basis.BREAKS, basis.NEVER_LIFT),
    working="loops = bonds − potentials + parts; each spelled out; noise = screen current × screen resistance",
    judge=judge,
)
