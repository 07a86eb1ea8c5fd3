"""Something needs 48 V and gets none."""

from __future__ import annotations

from collections.abc import Iterator

from rigcore.patch.build import End, Hop, Patch
from rigcore.patch.phantom import Supply, audio, house_phantom, lifted, needing, supplies
from rigcore.patch.walk import downstream
from rigcore.rules import basis, remedies, words
from rigcore.rules.rule import Finding, Remedy, Rule


def judge(patch: Patch) -> Iterator[Finding]:
    """Yield one finding for each plugged-in unit that waits for 48 V in vain.

    Where only an open pin 1 keeps it off, that is the finding and not this.
    """
    found = supplies(patch)
    fed = {end.node for supply in found if supply.is_on for end in supply.reaches}
    fed |= {one.end.node for one in lifted(patch)}
    for end in needing(patch):
        if end.node in fed:
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
    carrier = audio(end)
    wanted = f"wanted: 48 V, {carrier.phantom_ma:g} mA" if carrier and carrier.phantom_ma else "wanted: 48 V"
    if could:
        return (*(f"{supply.end.words} could feed it, but its 48 V is {_off(supply)}" for supply in could), wanted)
    blocked = _blocked_by(patch, end)
    if blocked:
        return (f"no supply reaches it: {blocked} blocks 48 V on the way that is plugged", wanted)
    if house_phantom(patch)[0] == "none":
        return (f"no input that supplies 48 V hangs on this line; {patch.house.name} has none", wanted)
    return ("no input that supplies 48 V hangs on this line", wanted)


def _off(supply: Supply) -> str:
    return "off, the house has none" if supply.scope == "none" else f"off ({supply.scope})"


def _blocked_by(patch: Patch, end: End) -> str:
    """Return the first box downstream that lets the signal through and not DC, or nothing."""
    for node in downstream(patch, end.node):
        ways = [step for _, step in patch.steps_out_of(node) if not isinstance(step, Hop)]
        passive = all(path.kind in ("wire", "resistive", "transformer") for path in ways)
        if ways and passive and not any(path.passes_phantom for path in ways):
            return patch.end(node).name
    return ""


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
