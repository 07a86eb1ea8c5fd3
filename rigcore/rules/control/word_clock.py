"""Word clock with no master, or with two."""

from __future__ import annotations

from collections.abc import Iterator

from rigcore.catalogue.carriers import WordClock
from rigcore.patch.build import End, Patch, Place
from rigcore.patch.control import clock_groups
from rigcore.rules import basis, words
from rigcore.rules.rule import Finding, Rule


def judge(patch: Patch) -> Iterator[Finding]:
    """Yield one finding for each group of clocked units without exactly one master.

    A note where a master only has to be chosen, else a fault.
    """
    for group in clock_groups(patch):
        roles: dict[tuple[Place, str], list[str]] = {}
        for end in group:
            roles.setdefault(end.node[:2], []).append(_role(end))
        masters = [unit for unit, has in roles.items() if "master" in has and "follower" not in has]
        if len(masters) == 1:
            continue
        free = [unit for unit, has in roles.items() if set(has) == {"either"}]
        names = {end.node[:2]: end.name for end in group}
        everyone = words.joined(list(names.values()))
        if masters:
            severity, what = "fault", f"{words.joined([names[one] for one in masters])} are masters at once"
        elif free:
            severity, what = "note", f"set one of {words.joined([names[one] for one in free])} as clock master"
        else:
            severity, what = "fault", "nobody is clock master"
        yield Finding(
            RULE.id,
            "note" if severity == "note" else "fault",
            f"Word clock of {everyone}: {what}.",
            tuple(words.unit_of(end) for end in group),
            (f"units joined by word clock: {len(roles)}; masters: {len(masters)}, needed 1; free to be: {len(free)}",),
        )


def _role(end: End) -> str:
    return end.port.carrier.role if isinstance(end.port.carrier, WordClock) else ""


RULE = Rule(
    id="control.word-clock",
    severity="fault",
    sentence="Units joined by word clock have exactly one master.",
    why="With none nothing locks, with two they drift against each other: clicks.",
    basis=(basis.WORD_CLOCK,),
    working="masters among the units joined by word clock cables; a unit that is clocked itself is none",
    judge=judge,
)
