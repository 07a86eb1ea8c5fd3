"""Stereo pairs that start on an even number at the house."""

from __future__ import annotations

from collections.abc import Iterator

from rigcore.patch.build import Patch
from rigcore.patch.channels import channels
from rigcore.rules import basis, words
from rigcore.rules.rule import Finding, Rule, Thing


def judge(patch: Patch) -> Iterator[Finding]:
    """Yield one note naming every neighbouring pair whose left half has an even house number."""
    lines = {one.number: one for one in channels(patch)}
    found = [
        (one, lines[one.mate])
        for one in lines.values()
        if one.mate is not None
        and one.hand_off.side == "L"
        and one.socket.number % 2 == 0
        and lines[one.mate].socket.number == one.socket.number + 1
    ]
    if found:
        names = [
            f"{left.hand_off.name.removesuffix(' L')} on {left.socket.number}/{right.socket.number}"
            for left, right in found
        ]
        yield Finding(
            RULE.id,
            "note",
            f"Stereo pairs start on an even number at the house: {words.joined(names)}.",
            tuple(Thing("landing", left.hand_off.id) for left, _ in found),
            ("many consoles link 1/2, 3/4, 5/6 …; ask whether yours links across",),
        )


RULE = Rule(
    id="channels.pair-on-even",
    severity="note",
    sentence="A stereo pair starts on an odd number if it can.",
    why="Consoles that link odd-even channels cannot link this pair.",
    basis=(basis.PAIRS,),
    working="house number of the left half is even",
    judge=judge,
)
