"""A circuit that has to carry more than its breaker lets through, or than it may carry for long."""

from __future__ import annotations

from collections.abc import Iterator

from rigcore.patch.build import Patch
from rigcore.patch.circuits import region
from rigcore.patch.power import Load, loads
from rigcore.quantities.mains import continuous_limit_a
from rigcore.rules import basis, mains_words, power_remedies
from rigcore.rules.power_places import spots
from rigcore.rules.rule import Finding, Remedy, Rule, Severity

SLACK_A = 1e-9


def judge(patch: Patch) -> Iterator[Finding]:
    """Yield one finding for each circuit over 100 % (a fault), or over 80 % where the code asks (a risk)."""
    area = region(patch)
    for load in loads(patch):
        breaker_a = load.circuit.breaker_a
        if breaker_a is None:
            continue
        limit_a = continuous_limit_a(breaker_a) if area.continuous_share is not None else breaker_a
        if load.load_a <= limit_a + SLACK_A:
            continue
        over = load.load_a > breaker_a + SLACK_A
        severity: Severity = "fault" if over and load.circuit.breaker_known else "risk"
        what = f"more than its {mains_words.amps(breaker_a)}"
        if not over:
            what = f"over 80 % of its {mains_words.amps(breaker_a)} for a continuous load"
        where = mains_words.at(patch, load.circuit.name)
        yield Finding(
            RULE.id,
            severity,
            f"The circuit {where} has to carry {mains_words.amps(load.load_a)}, {what}.",
            mains_words.things(patch, [one for one in load.plugs if one.own_va > 0]),
            _working(patch, load, limit_a),
            _remedies(patch, load, limit_a),
            () if load.circuit.breaker_known else ("circuit",),
        )


def _working(patch: Patch, load: Load, limit_a: float) -> tuple[str, ...]:
    volts = patch.house.mains_v
    lines = [
        *mains_words.drawn(load.plugs),
        f"{load.load_va:g} VA / {volts:g} V = {mains_words.amps(load.load_a)}",
        f"{mains_words.breaker(load.circuit)}: {100.0 * load.load_a / (load.circuit.breaker_a or 1.0):.0f} % of it",
    ]
    if region(patch).continuous_share is not None:
        lines.append(f"three hours or more: 80 % of it, {mains_words.amps(limit_a)}")
    return (*lines, mains_words.ELECTRICIAN)


def _remedies(patch: Patch, load: Load, limit_a: float) -> tuple[Remedy, ...]:
    share = limit_a / (load.circuit.breaker_a or limit_a)
    rating = next((one for one in region(patch).breakers_a if one * share >= load.load_a), None)
    offered = [
        power_remedies.second_circuit(
            patch, load.circuit, spots(patch, load.plugs, "va"), limit_a * patch.house.mains_v
        )
    ]
    if rating is not None:
        offered.append(power_remedies.agree_breaker(patch, load.circuit, rating))
    return tuple(one for one in offered if one is not None)


RULE = Rule(
    id="power.circuit",
    severity="fault",
    sentence="A circuit carries no more than its rating, and four fifths of it for hours where the code asks.",
    why="An overloaded circuit goes dark in the loudest song, and takes every outlet on it along.",
    basis=(basis.CONTINUOUS, "IEC 60038 for the nominal voltages"),
    working="VA of all units on the circuit / V of the house, against its rating; x 0.8 in North America. "
    "Drops with a circuit of one name hang on one breaker; the house's own gear is not counted",
    judge=judge,
)
