"""A two-contact plug that ties one leg of a balanced output to its sleeve."""

from __future__ import annotations

from collections.abc import Iterator

from rigcore.catalogue.carriers import Audio
from rigcore.catalogue.connectors import Consequence
from rigcore.patch.build import Hop, Patch
from rigcore.patch.joints import flawed, joints, leads_for, with_cable
from rigcore.patch.levels import behind_wires
from rigcore.rules import basis, remedies, words
from rigcore.rules.rule import Finding, Rule


def judge(patch: Patch) -> Iterator[Finding]:
    """Yield one finding for each output whose second leg is shorted and minds it."""
    for hop in flawed(patch):
        carrier = hop.source.port.carrier
        if not isinstance(carrier, Audio) or carrier.balance != "balanced" or carrier.layout != "mono":
            continue
        if not _floats(patch, hop) and _shorted(patch, hop):
            yield _finding(patch, hop)


def _floats(patch: Patch, hop: Hop) -> bool:
    """Return whether a transformer gives what wires bring here: its second leg belongs on the sleeve then."""
    begin = behind_wires(patch, hop.source.node).port.carrier
    return isinstance(begin, Audio) and begin.balance == "floating"


def _shorted(patch: Patch, hop: Hop) -> bool:
    """Return whether the ring meets a sleeve anywhere it is still wired through from the output."""
    met = joints(patch, hop)
    for number, joint in enumerate(met):
        if joint.consequence is Consequence.DOES_NOT_FIT or any(
            cable.wiring not in ("balanced", "stereo") for cable, _ in hop.cables[:number]
        ):
            return False
        if joint.consequence is Consequence.RING_SHORTED:
            return True
    return False


def _finding(patch: Patch, hop: Hop) -> Finding:
    better = [cable for cable in leads_for(patch, hop) if not _shorted(patch, with_cable(patch, hop, cable))]
    return Finding(
        RULE.id,
        "risk",
        f"{hop.source.words}: the plug shorts one leg of a balanced output to its sleeve.",
        words.place(hop),
        ("two contacts meet three: ring on sleeve", "an active output may distort, or lose 6 dB"),
        tuple(remedies.use_cable(patch, hop, cable) for cable in better[:2]),
    )


RULE = Rule(
    id="fit.ring-shorted",
    severity="risk",
    sentence="A balanced output wants a plug with three contacts.",
    why="Shorted to the sleeve, the second driver works into nothing: some distort, some get hot, 6 dB are gone.",
    basis=(basis.IEC_60603_11, basis.COMMON),
    working="mating table, row 'ring shorted to sleeve', at an electronically balanced output",
    judge=judge,
)
