"""A low-voltage output that has to give more mA than it can."""

from __future__ import annotations

import math
from collections.abc import Iterator

from rigcore.patch.build import Patch
from rigcore.patch.dc import dc_draws
from rigcore.rules import basis, power_remedies, remedies, words
from rigcore.rules.rule import Finding, Remedy, Rule

SLACK_MA = 1e-9


def judge(patch: Patch) -> Iterator[Finding]:
    """Yield one finding for each supply output that is drawn over what it gives."""
    for runs in dc_draws(patch).values():
        drawn_ma = math.fsum(run.wants.current_ma for run in runs)
        supply, gives = runs[0].supply, runs[0].gives
        if drawn_ma <= gives.current_ma + SLACK_MA:
            continue
        last = max(runs, key=lambda run: run.wants.current_ma)
        other = power_remedies.other_supply(patch, last, last.wants.current_ma)
        rest_ma = drawn_ma - last.wants.current_ma
        offered: list[Remedy] = [other] if other is not None and rest_ma <= gives.current_ma + SLACK_MA else []
        if len(runs) == 1:
            offered.append(remedies.unplug(patch, last.hop))
        yield Finding(
            RULE.id,
            "fault",
            f"{supply.words} gives {gives.current_ma:g} mA, and "
            f"{words.joined([run.taker.name for run in runs])} draw{'s' * (len(runs) == 1)} {drawn_ma:g} mA.",
            (words.unit_of(supply), *(thing for run in runs for thing in words.place(run.hop))),
            (
                " + ".join(f"{run.taker.name} {run.wants.current_ma:g}" for run in runs) + f" = {drawn_ma:g} mA",
                f"{drawn_ma:g} − {gives.current_ma:g} = {drawn_ma - gives.current_ma:g} mA too much",
            ),
            tuple(offered),
        )


RULE = Rule(
    id="power.dc-overdrawn",
    severity="fault",
    sentence="A low-voltage output gives the mA of everything that hangs on it.",
    why="An overdrawn supply sags: digital pedals restart, analogue ones crackle.",
    basis=(basis.COMMON,),
    working="mA of all units on one output, those further down a daisy chain included, against what it gives",
    judge=judge,
)
