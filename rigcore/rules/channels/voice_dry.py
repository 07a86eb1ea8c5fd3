"""At a festival: voices that go to the house without a processor."""

from __future__ import annotations

from collections.abc import Iterator

from rigcore.patch.build import Patch
from rigcore.patch.channels import channels
from rigcore.patch.walk import line_up
from rigcore.rules import basis, words
from rigcore.rules.rule import Finding, Rule, Thing


def judge(patch: Patch) -> Iterator[Finding]:
    """Yield one note saying that no processor stands in the line of any voice."""
    if patch.house.kind != "festival":
        return
    voices = [one for one in channels(patch) if one.origin.gear.category == "microphone"]
    if voices and not any(
        getattr(step, "processes", False) for one in voices for _, step in line_up(patch, one.top)
    ):
        names = words.joined([one.hand_off.name for one in voices])
        yield Finding(
            RULE.id,
            "note",
            f"No processor in the line of {names}: what a festival asks for.",
            tuple(Thing("landing", one.hand_off.id) for one in voices),
            ("no path between microphone and house processes the sound",),
        )


RULE = Rule(
    id="channels.voice-dry",
    severity="note",
    sentence="At a festival the sheet says whether voices come dry.",
    why="It is the first thing a festival's monitor engineer asks.",
    basis=(basis.PROCESSOR,),
    working="paths that process between microphone and hand-off: none",
    judge=judge,
)
