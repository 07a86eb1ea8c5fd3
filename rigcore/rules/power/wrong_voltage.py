"""A unit that is not made for the voltage it gets."""

from __future__ import annotations

from collections.abc import Iterator

from rigcore.catalogue.carriers import Mains
from rigcore.patch.build import Patch
from rigcore.patch.circuits import region
from rigcore.patch.plugs import Plug, plugs
from rigcore.rules import mains_words, power_remedies
from rigcore.rules.rule import Finding, Rule


def judge(patch: Patch) -> Iterator[Finding]:
    """Yield one finding for each thing whose supply lies outside the range it takes.

    What only feeds others may be used under its rated voltage, never over it.
    """
    for plug in plugs(patch).values():
        wants = plug.inlet.port.carrier
        if not isinstance(wants, Mains):
            continue
        high = plug.supply_v > wants.high_v
        if not high and (plug.feeds_only or plug.supply_v >= wants.low_v):
            continue
        what = "may be destroyed" if high else "does not run"
        step = power_remedies.step_down(patch, plug)
        yield Finding(
            RULE.id,
            "fault",
            f"{plug.name} takes {_range(wants)} and gets {plug.supply_v:g} V: it {what}.",
            (mains_words.thing(plug),),
            (
                f"supply {plug.supply_v:g} V ({region(patch).words})",
                f"made for {_range(wants)}: {_distance(plug, wants)}",
            ),
            (step,) if step is not None else (),
        )


def _range(wants: Mains) -> str:
    return f"{wants.low_v:g} V" if wants.low_v == wants.high_v else f"{wants.low_v:g} to {wants.high_v:g} V"


def _distance(plug: Plug, wants: Mains) -> str:
    if plug.supply_v > wants.high_v:
        return f"{plug.supply_v:g} − {wants.high_v:g} = {plug.supply_v - wants.high_v:g} V too much"
    return f"{wants.low_v:g} − {plug.supply_v:g} = {wants.low_v - plug.supply_v:g} V too little"


RULE = Rule(
    id="power.wrong-voltage",
    severity="fault",
    sentence="Every unit gets a voltage it is made for.",
    why="Couplers are not keyed for voltage: what fits may burn. A wide-range supply travels, any other does not.",
    basis=("IEC 60038: 230 V 50 Hz, 120 V 60 Hz", "IEC 60320: couplers are not keyed for voltage",
           "Japan 100 V (from memory)"),
    working="nominal voltage of the house, or of the transformer in between, against the range of the inlet",
    judge=judge,
)  # fmt: skip
