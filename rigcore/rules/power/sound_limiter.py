"""Outlets that a sound limiter cuts."""

from __future__ import annotations

from collections.abc import Iterator

from rigcore.patch.build import Patch
from rigcore.patch.power import loads
from rigcore.rules import mains_words, power_remedies
from rigcore.rules.rule import Finding, Rule


def judge(patch: Patch) -> Iterator[Finding]:
    """Yield one finding for each circuit the house says a limiter cuts, with what goes down on it."""
    for load in loads(patch):
        fed = [one for one in load.plugs if one.own_va > 0]
        if not load.circuit.limiter or not fed:
            continue
        keep = power_remedies.off_limiter(patch, load.circuit)
        yield Finding(
            RULE.id,
            "risk",
            f"A sound limiter cuts the outlets {mains_words.at(patch, load.circuit.name)}: "
            f"{mains_words.names(fed)} would go down mid-song.",
            mains_words.things(patch, fed),
            (
                f"units on these outlets: {len(fed)}",
                "ask its level, and which outlets it cuts; a laptop on its battery rides through (from memory)",
            ),
            (keep,) if keep is not None else (),
        )


RULE = Rule(
    id="power.sound-limiter",
    severity="risk",
    sentence="Keyboards, computers and mixers do not hang on outlets a sound limiter cuts.",
    why="A few seconds over the level, and the limiter takes the stage's outlets away: everything must start up again.",
    basis=("trade articles on sound limiters: a microphone and lamps that cut the stage sockets, often at 90 dB",),
    working="circuits of which the house says that a limiter cuts them, and the units on them",
    judge=judge,
)
