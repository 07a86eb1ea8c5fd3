"""A stereo pair whose halves are not neighbours at the house."""

from __future__ import annotations

from collections.abc import Iterator

from rigcore.patch.build import Patch
from rigcore.patch.channels import Channel, channels
from rigcore.rules import basis
from rigcore.rules.rule import Finding, Rule, Thing


def judge(patch: Patch) -> Iterator[Finding]:
    """Yield one finding for each pair that is split or crossed at the house."""
    lines = {one.number: one for one in channels(patch)}
    for left in lines.values():
        if left.mate is None or left.hand_off.side != "L":
            continue
        right = lines[left.mate]
        step = right.socket.number - left.socket.number
        if step not in (0, 1):
            yield _finding(left, right, step)


def _finding(left: Channel, right: Channel, step: int) -> Finding:
    what = "crossed" if step == -1 else "split"
    return Finding(
        RULE.id,
        "risk",
        f"{left.hand_off.name} and {right.hand_off.name} are {what}: "
        f"house lines {left.socket.number} and {right.socket.number}.",
        (Thing("landing", left.hand_off.id), Thing("landing", right.hand_off.id)),
        (f"right − left = {right.socket.number} − {left.socket.number} = {step}, wanted 1",),
    )


RULE = Rule(
    id="channels.pair-split",
    severity="risk",
    sentence="Left and right of a pair lie on neighbouring lines, left first.",
    why="A desk links neighbours; a split pair is mixed as two strangers.",
    basis=(basis.PAIRS,),
    working="house number of the right half − house number of the left half = 1",
    judge=judge,
)
