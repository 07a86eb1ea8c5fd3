"""A circuit on which something else of the house hangs."""

from __future__ import annotations

from collections.abc import Iterator

from rigcore.patch.build import Patch
from rigcore.patch.power import loads
from rigcore.rules import basis, mains_words, power_remedies
from rigcore.rules.rule import Finding, Rule


def judge(patch: Patch) -> Iterator[Finding]:
    """Yield one finding for each circuit the rig hangs on that the house says it shares."""
    for load in loads(patch):
        circuit = load.circuit
        if not circuit.shared_with:
            continue
        yield Finding(
            RULE.id,
            "note",
            f"The circuit {mains_words.at(patch, circuit.name)} is shared with {circuit.shared_with}: "
            "clicks and dips are possible when it starts.",
            mains_words.things(patch, [one for one in load.plugs if one.own_va > 0]),
            (
                f"the house says: shared with {circuit.shared_with}",
                f"the rig takes {mains_words.amps(load.load_a)} of it; what the other takes is not known",
            ),
            (power_remedies.own_circuit(patch, circuit),),
        )


RULE = Rule(
    id="power.shared-circuit",
    severity="note",
    sentence="A circuit shared with motors, kitchens or dimmers clicks, dips and trips.",
    why="A compressor that starts is heard in the loudspeakers, and a kettle takes the circuit with it.",
    basis=("power requests of touring acts: not shared with cooking, heating or major lighting (trade)", basis.COMMON),
    working="what the house said of the circuit",
    judge=judge,
)
