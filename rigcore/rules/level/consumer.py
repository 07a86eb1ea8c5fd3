"""A professional line output into a consumer input: 11.8 dB too much."""

from __future__ import annotations

from collections.abc import Iterator

from rigcore.catalogue.carriers import Audio
from rigcore.patch.build import Hop, Patch
from rigcore.patch.coupling import Coupling
from rigcore.patch.levels import is_consumer, professional_into_consumer
from rigcore.patch.loads import passive_way
from rigcore.quantities.electrical import CONSUMER_NOMINAL_DBV, dbu_from_dbv
from rigcore.rules import basis, remedies, words
from rigcore.rules.rule import Finding, Rule

CONSUMER_DBU = dbu_from_dbv(CONSUMER_NOMINAL_DBV)

PAD, PAD_DB = "pad-12-xlr", 12


def _into_consumer(one: Coupling) -> bool:
    return is_consumer(one.arrives)


def judge(patch: Patch) -> Iterator[Finding]:
    """Yield one finding for each professional output that meets a consumer input."""
    for hop in patch.along_where(_into_consumer):
        over_db = professional_into_consumer(patch, hop)
        if over_db is None:
            continue
        yield Finding(
            RULE.id,
            "risk",
            f"{words.name_of(patch, hop)} arrives {words.decibels(over_db)} hot: "
            f"turn the send down {round(over_db)} dB or put a {round(over_db)} dB pad in.",
            (*words.place(hop), words.unit_of(hop.target)),
            _working(patch, hop, over_db),
            remedies.put_in(patch, hop, PAD) if round(over_db) <= PAD_DB else (),
        )


def _working(patch: Patch, hop: Hop, over_db: float) -> tuple[str, ...]:
    target = hop.coupling.arrives
    wanted = target.nominal_dbu if isinstance(target, Audio) and target.nominal_dbu is not None else CONSUMER_DBU
    out = wanted + over_db
    return (
        f"{passive_way(patch, hop.source.node).begin.words}: nominal {words.level(out)} where it arrives",
        f"{hop.target.words}: nominal −10 dBV = −10 + 2.22 = {wanted:.2f} dBu".replace("= -", "= −"),
        f"{words.level(out)} − ({words.level(wanted)}) = {words.decibels(over_db)} too much",
    )


RULE = Rule(
    id="level.consumer",
    severity="risk",
    sentence="A professional line output does not go straight into a consumer input.",
    why="+4 dBu into −10 dBV is 11.8 dB hot: the amplifier of the house distorts long before its meter says so.",
    basis=(basis.LEVELS,),
    working="nominal out in dBu − nominal in in dBu; +4 − (−7.78) = 11.78 dB",
    judge=judge,
)
