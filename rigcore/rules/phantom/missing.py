"""Something needs 48 V and gets none."""

from __future__ import annotations

from collections.abc import Iterator

from rigcore.patch.build import End, Patch
from rigcore.patch.phantom import Supply, audio, supplies
from rigcore.patch.walk import downstream
from rigcore.rules import basis, remedies, words
from rigcore.rules.rule import Finding, Remedy, Rule


def judge(patch: Patch) -> Iterator[Finding]:
    """Yield one finding for each plugged-in unit that waits for 48 V in vain."""
    found = supplies(patch)
    fed = {end.node for supply in found if supply.is_on for end in supply.reaches}
    for end in patch.ends():
        carrier = audio(end)
        if carrier is None or carrier.phantom != "needs" or end.node in fed:
            continue
        if end.node not in patch.hops_at:
            continue
        could = [supply for supply in found if end.node in {one.node for one in supply.reaches}]
        yield Finding(
            RULE.id,
            "fault",
            f"{end.name} needs 48 V and gets none.",
            (words.unit_of(end),),
            _working(patch, end, could),
            tuple(_remedies(patch, could)),
            ("phantom",) if any(supply.assumed for supply in could) else (),
        )


def _working(patch: Patch, end: End, could: list[Supply]) -> tuple[str, ...]:
    if could:
        return tuple(f"{supply.end.words} could feed it, but its 48 V is off ({supply.scope})" for supply in could)
    blocked = [
        patch.end(node).name
        for node in downstream(patch, end.node)
        if patch.end(node).gear.category in ("splitter", "isolator", "di")
    ]
    if blocked:
        return (f"no supply reaches it: {blocked[0]} blocks 48 V on the way that is plugged",)
    return ("no input that supplies 48 V hangs on this line",)


def _remedies(patch: Patch, could: list[Supply]) -> Iterator[Remedy]:
    for supply in could:
        remedy = remedies.set_here(patch, supply.end, f"Switch 48 V on at {supply.end.words}", phantom=True)
        if remedy is not None:
            yield remedy


RULE = Rule(
    id="phantom.missing",
    severity="fault",
    sentence="What works from 48 V gets it from exactly the input it is wired to.",
    why="A condenser microphone or active DI without 48 V is silent.",
    basis=(basis.P48, basis.SPLIT),
    working="from each supply upstream over cables and paths that pass DC",
    judge=judge,
)
