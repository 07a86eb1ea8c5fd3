"""An unbalanced source straight into a microphone input, without a DI."""

from __future__ import annotations

from collections.abc import Iterator

from rigcore.catalogue.carriers import Audio
from rigcore.patch.build import Patch
from rigcore.patch.coupling import Coupling
from rigcore.patch.levels import behind_wires, is_wire
from rigcore.patch.phantom import FEED, supplies
from rigcore.quantities.phantom import short_one_leg_ma
from rigcore.rules import basis, words
from rigcore.rules.rule import Finding, Rule


def judge(patch: Patch) -> Iterator[Finding]:
    """Yield one finding for each unbalanced output that lands on a microphone input bare.

    Where 48 V is on and can harm the output, the harm is the finding and not this.
    """
    live = {supply.end.node for supply in supplies(patch) if supply.is_on}
    for hop in patch.along_where(_into_mic):
        target = hop.coupling.arrives
        source = behind_wires(patch, hop.source.node).port.carrier
        if not isinstance(source, Audio) or not isinstance(target, Audio):
            continue
        if source.phantom == "harmed" and hop.target.node in live:
            continue
        if source.balance == "unbalanced" and source.level != "mic":
            yield Finding(
                RULE.id,
                "risk",
                f"{words.from_to(hop)}: an unbalanced output meets a microphone input without a DI.",
                words.place(hop),
                _working(source, target),
            )


def _into_mic(one: Coupling) -> bool:
    return one.audio is not None and one.audio[1].level == "mic" and not is_wire(one.audio[1])


def _working(source: Audio, target: Audio) -> tuple[str, ...]:
    lines = []
    if source.nominal_dbu is not None and target.nominal_dbu is not None:
        lines.append(
            f"nominal {words.level(source.nominal_dbu)} into an input made for {words.level(target.nominal_dbu)}: "
            f"{words.decibels(source.nominal_dbu - target.nominal_dbu)} over it; a 12:1 DI takes 21.6 dB"
        )
    leg_ma = short_one_leg_ma(FEED.supply_v, FEED.leg_ohm)
    lines.append(f"nothing isolates: with 48 V on, 48 V / 6.8 kΩ = {leg_ma:.2f} mA would flow into the output")
    return tuple(lines)


RULE = Rule(
    id="balance.unbalanced-into-mic",
    severity="risk",
    sentence="An unbalanced output reaches a microphone input through a DI.",
    why="Without one it hums, is too hot, and is open to 48 V.",
    basis=("live-sound articles on direct boxes", basis.PHANTOM_HARM),
    working="balance of the source, level class of the input; 48 V / 6.8 kΩ = 7.06 mA without isolation",
    judge=judge,
)
