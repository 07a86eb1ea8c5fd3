"""A DI'd line level that comes near the clipping of the house's microphone splitter."""

from __future__ import annotations

from collections.abc import Iterator

from rigcore.book.assumptions import fact_value
from rigcore.patch.build import Node, Patch
from rigcore.patch.channels import Channel, channels
from rigcore.patch.stages import levels
from rigcore.patch.walk import line_up
from rigcore.rules import basis, remedies, words
from rigcore.rules.rule import Finding, Remedy, Rule, Thing

MARGIN_DB = 6.0


def judge(patch: Patch) -> Iterator[Finding]:
    """Yield one finding, at a festival, naming every line whose peaks come within 6 dB of the splitter's clip."""
    if patch.house.kind != "festival":
        return
    value, assumed = fact_value(patch.house, "splitter clip dbu")
    try:
        clip = float(value.replace("−", "-").replace("dBu", "").strip())
    except ValueError:
        return
    at = levels(patch)
    near = []
    for channel in channels(patch):
        peak = at.level(Node("house", channel.socket.unit, channel.socket.ports[0])).peak_dbu
        if peak is not None and peak > clip - MARGIN_DB:
            near.append((channel, peak))
    if near:
        names = [one.hand_off.name for one, _ in near]
        most = clip - MARGIN_DB
        yield Finding(
            RULE.id,
            "risk",
            f"{words.joined(names)} {'come' if len(near) > 1 else 'comes'} within {MARGIN_DB:g} dB of the clipping of "
            f"a microphone splitter ({words.level(clip)}): pads on, or ask its limit.",
            tuple(Thing("landing", one.hand_off.id) for one, _ in near),
            (
                f"clip {words.level(clip)} − {MARGIN_DB:g} dB = {words.level(most)} at most",
                *(
                    f"{one.hand_off.name} peaks at {words.level(peak)}: {words.decibels(peak - most)} over that"
                    for one, peak in near
                ),
            ),
            tuple(_pads(patch, [one for one, _ in near])),
            ("splitter clip dbu",) if assumed else (),
        )


def _pads(patch: Patch, lines: list[Channel]) -> Iterator[Remedy]:
    """Yield one remedy that engages the pad of every DI on these lines, if all have one."""
    padded = []
    for channel in lines:
        for node, _ in line_up(patch, Node("house", channel.socket.unit, channel.socket.ports[0])):
            end = patch.end(node)
            if end.port.direction == "in" and getattr(end.port.carrier, "pad_db", 0.0) > 0 and not end.setting.pad:
                padded.append(end)
                break
    one_by_one = [remedies.set_here(patch, end, "", pad=True) for end in padded]
    edits = [remedy.apply for remedy in one_by_one if remedy is not None]
    if edits and len(edits) == len(lines) and all(end.node.place == "rig" for end in padded):
        yield Remedy("Engage the DI pads of these lines", remedies.pads_in(patch, padded))


RULE = Rule(
    id="level.splitter-clip",
    severity="risk",
    sentence="At a festival every line stays 6 dB under the clipping of the microphone splitter.",
    why="Behind a splitter nobody can turn the level down: the transformer saturates for every desk at once.",
    basis=("live-sound article on keyboards and microphone splitters made for about −50 dBu", basis.COMMON),
    working="peak arriving at the house socket > clip of the splitter (0 dBu until the house says otherwise) − 6 dB",
    judge=judge,
)
