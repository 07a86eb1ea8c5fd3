"""A low-voltage supply of the wrong volts or the wrong polarity."""

from __future__ import annotations

from collections.abc import Iterator

from rigcore.patch.build import Patch
from rigcore.patch.dc import DcRun, dc_runs
from rigcore.rules import basis, power_remedies, remedies, words
from rigcore.rules.rule import Finding, Rule


def judge(patch: Patch) -> Iterator[Finding]:
    """Yield one finding for each DC connection whose volts or centre contact do not agree."""
    for run in dc_runs(patch):
        wrong = _wrong(run)
        if not wrong:
            continue
        other = power_remedies.other_supply(patch, run, run.wants.current_ma)
        offered = [remedies.unplug(patch, run.hop)]
        yield Finding(
            RULE.id,
            "fault",
            f"{run.taker.name} {', '.join(wrong)}, from {run.supply.words}.",
            (*words.place(run.hop), words.unit_of(run.taker)),
            (
                f"{run.supply.words} gives {run.gives.volts:g} V, centre {run.gives.centre}",
                f"{run.taker.words} wants {run.wants.volts:g} V, centre {run.wants.centre}",
            ),
            tuple(([other] if other is not None else []) + offered),
        )


def _wrong(run: DcRun) -> list[str]:
    found = []
    if run.gives.volts != run.wants.volts:
        found.append(f"wants {run.wants.volts:g} V and gets {run.gives.volts:g} V")
    if run.gives.centre != run.wants.centre:
        found.append(f"wants its centre contact {run.wants.centre} and gets it {run.gives.centre}")
    return found


RULE = Rule(
    id="power.dc-wrong",
    severity="fault",
    sentence="A low-voltage supply has the volts and the polarity its unit asks for.",
    why="The same barrel plug carries 9 V or 12 V, either way round: the wrong one is the end of a pedal.",
    basis=(basis.COMMON,),
    working="volts of both ends, and what their centre contacts carry",
    judge=judge,
)
