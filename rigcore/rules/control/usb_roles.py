"""Two USB hosts, or two USB devices, plugged into each other."""

from __future__ import annotations

from collections.abc import Iterator

from rigcore.patch.build import Patch
from rigcore.patch.control import usb_links
from rigcore.patch.joints import facing
from rigcore.rules import basis, remedies, words
from rigcore.rules.rule import Finding, Rule


def judge(patch: Patch) -> Iterator[Finding]:
    """Yield one fault for each USB link whose ends play the same part."""
    for hop, source, target in usb_links(patch):
        if source.role == target.role and facing(hop) == "along":
            advice = "one of them must be a device" if source.role == "host" else "put a computer between them"
            yield Finding(
                RULE.id,
                "fault",
                f"{hop.source.words} and {hop.target.words} are both USB {source.role}s: nothing passes; {advice}.",
                (*words.place(hop), words.unit_of(hop.source), words.unit_of(hop.target)),
                (f"{hop.source.words}: {source.role}; {hop.target.words}: {target.role}; needed: a host and a device",),
                (remedies.unplug(patch, hop),),
            )


RULE = Rule(
    id="control.usb-roles",
    severity="fault",
    sentence="A USB link has a host at one end and a device at the other.",
    why="Two devices wait for each other, and two hosts may feed into each other.",
    basis=(basis.USB,),
    working="role of both ends",
    judge=judge,
)
