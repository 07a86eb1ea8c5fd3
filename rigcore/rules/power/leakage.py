"""Small leakages that add up before one protective device."""

from __future__ import annotations

from collections.abc import Iterator

from rigcore.patch.build import Patch
from rigcore.patch.circuits import Device
from rigcore.patch.power import Load, loads
from rigcore.rules import basis, mains_words, power_remedies
from rigcore.rules.power_places import spots
from rigcore.rules.rule import Finding, Remedy, Rule

WORTH_KNOWING = 1.0 / 3.0
"""From this share of what may stand, the sum is told, where the house has said which device it has."""


def judge(patch: Patch) -> Iterator[Finding]:
    """Yield one finding for each circuit whose leakage is worth knowing, or over what may stand (a risk)."""
    for load in loads(patch):
        device = load.circuit.device
        if device is None:
            continue
        over = not device.bears(load.leakage_ma)
        known = load.circuit.device_known
        if not over and not (known and load.leakage_ma >= WORTH_KNOWING * device.stands_ma - 1e-9):
            continue
        yield Finding(
            RULE.id,
            "risk" if over else "note",
            _sentence(patch, load, device, over),
            mains_words.things(patch, [one for one in load.plugs if one.leakage_ma > 0]),
            _working(load, device),
            _remedies(patch, load, device) if over else (),
            () if known else ("residual current device",),
        )


def _sentence(patch: Patch, load: Load, device: Device, over: bool) -> str:
    sum_ = mains_words.milliamps(load.leakage_ma)
    where = mains_words.at(patch, load.circuit.name)
    if over:
        limit = f"{'under ' * (device.kind == 'gfci')}{mains_words.milliamps(device.stands_ma)}"
        return f"Leakage adds up to {sum_} {where}; {limit} may stand before a {device.words}."
    return (
        f"Leakage adds up to {sum_} {where}, below {mains_words.milliamps(device.trips_from_ma)}, "
        f"from which a {device.words} may trip."
    )


def _working(load: Load, device: Device) -> tuple[str, ...]:
    counted: dict[float, list[str]] = {}
    for one in load.plugs:
        if one.leakage_ma > 0:
            counted.setdefault(one.leakage_ma, []).append(one.name)
    parts = [f"{len(names)} × {ma:g}" for ma, names in sorted(counted.items(), reverse=True)]
    share = "the no-trip limit of a class A GFCI" if device.kind == "gfci" else f"30 % of {device.rated_ma:g} mA"
    return (
        f"{' + '.join(parts)} = {mains_words.milliamps(load.leakage_ma)}, as if all in phase",
        *(f"{ma:g} mA each: {', '.join(names)}" for ma, names in sorted(counted.items(), reverse=True)),
        f"may stand: {share} = {mains_words.milliamps(device.stands_ma)}; "
        f"may trip from {mains_words.milliamps(device.trips_from_ma)}",
        "typical figures of the gear types; the house's own gear on the circuit adds to them",
    )


def _remedies(patch: Patch, load: Load, device: Device) -> tuple[Remedy, ...]:
    most = device.stands_ma - (1e-6 if device.kind == "gfci" else 0.0)
    second = power_remedies.second_circuit(patch, load.circuit, spots(patch, load.plugs, "leakage"), most)
    return () if second is None else (second,)


RULE = Rule(
    id="power.leakage",
    severity="risk",
    sentence="Standing leakage stays under 30 % of the residual-current device, or under 4 mA at a class A GFCI.",
    why="Every switch-mode supply leaks a little to earth; a dozen of them trip the device, in the middle of a set.",
    basis=(basis.RCD, basis.GFCI, basis.LEAKAGE),
    working="mA of every supply on the circuit, added as if in phase; before 30 mA 9 may stand; it may trip from 15",
    judge=judge,
)
