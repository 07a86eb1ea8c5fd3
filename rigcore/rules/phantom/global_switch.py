"""One 48 V switch for every microphone input of a desk."""

from __future__ import annotations

from collections.abc import Iterator

from rigcore.patch.build import Patch
from rigcore.patch.phantom import Supply, needs_phantom, supplies
from rigcore.rules import basis, words
from rigcore.rules.rule import Finding, Rule, Thing


def judge(patch: Patch) -> Iterator[Finding]:
    """Yield one finding for each desk whose 48 V is switched for all inputs at once.

    What a silent house is asked for anyway is not said here again.
    """
    desks: dict[tuple[str, str], list[Supply]] = {}
    for supply in supplies(patch):
        if supply.scope in ("global", "always on"):
            place = supply.end.node.place
            key = (place, "" if place == "house" else supply.end.node.unit)
            desks.setdefault(key, []).append(supply)
    for (owner, unit), group in desks.items():
        name = patch.house.name if owner == "house" else group[0].end.name
        wanting = [one.end.port.name for one in group if needs_phantom(patch, one.end.node)]
        if wanting and any(one.assumed for one in group):
            continue
        advice = (
            f"{words.joined(wanting)} needs it, so every other line of it gets it too"
            if wanting
            else "keep it off, nothing needs it"
        )
        how = "one switch for all"
        if group[0].scope == "always on":
            advice = "every line of it gets it, wanted or not"
            how = "taken to be always on until it says otherwise" if group[0].assumed else "always on"
        thing = Thing("gig", patch.gig.id) if owner == "house" else Thing("unit", unit)
        yield Finding(
            RULE.id,
            "note",
            f"48 V of {name} is {how}: {advice}.",
            (thing,),
            (
                f"inputs on that switch with something plugged in: {len(group)} "
                f"({words.joined([one.end.port.name for one in group])})",
                f"of these need 48 V: {len(wanting)}; get it unasked when it is on: {len(group) - len(wanting)}",
            ),
            (),
            ("phantom",) if any(one.assumed for one in group) else (),
        )


RULE = Rule(
    id="phantom.global-switch",
    severity="note",
    sentence="A single 48 V switch makes every microphone input live.",
    why="One condenser microphone puts 48 V on everything else that is plugged there.",
    basis=("trade articles on small desks with one phantom switch", basis.P48),
    working="inputs with something plugged in that share the switch",
    judge=judge,
)
