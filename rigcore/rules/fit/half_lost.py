"""A plug that makes contact with only half of what the port carries."""

from __future__ import annotations

from collections.abc import Iterator

from rigcore.catalogue.carriers import Audio, Carrier
from rigcore.catalogue.connectors import Consequence
from rigcore.patch.build import Patch
from rigcore.patch.coupling import Coupling
from rigcore.patch.joints import Joint, joints
from rigcore.rules import basis, remedies, words
from rigcore.rules.rule import Finding, Rule


def judge(patch: Patch) -> Iterator[Finding]:
    """Yield one finding for each connection that loses a contact it needs."""
    for hop in patch.along_where(_may_lose):
        halves = [one for one in joints(patch, hop) if one.consequence is Consequence.HALF_THE_CONTACTS]
        shorted = any(one.consequence is Consequence.RING_SHORTED for one in joints(patch, hop))
        loudspeaker = hop.source.port.carrier.medium == "loudspeaker"
        stereo = _is_stereo(hop.source.port.carrier)
        needed = 3 if stereo else 2
        lost = [one for one in halves if loudspeaker or _contacts(patch, one) < needed]
        if lost or (shorted and stereo):
            what = "only 1+ and 1- meet: a second way is lost" if loudspeaker else "one side is lost"
            yield Finding(
                RULE.id,
                "note" if loudspeaker else "risk",
                f"{words.name_of(patch, hop)}: only half the contacts meet; {what}.",
                words.place(hop),
                tuple(f"{one.one_words} and {one.other_words}: {one.consequence.value}" for one in joints(patch, hop)),
                remedies.take_out(patch, hop),
            )


def _may_lose(one: Coupling) -> bool:
    met = one.consequences
    return Consequence.HALF_THE_CONTACTS in met or (Consequence.RING_SHORTED in met and _is_stereo(one.source.carrier))


def _contacts(patch: Patch, joint: Joint) -> int:
    """Return how many contacts meet at a joint: the fewer of its two sides."""
    return min(patch.catalogue.connectors[one].contacts for one in (joint.one, joint.other))


def _is_stereo(carrier: Carrier) -> bool:
    return isinstance(carrier, Audio) and carrier.layout == "stereo"


RULE = Rule(
    id="fit.half-lost",
    severity="risk",
    sentence="Every contact that carries something must meet a contact.",
    why="A stereo pair arrives as one side, a four-pole loudspeaker line as one of its two ways.",
    basis=(basis.COMMON,),
    working="mating table, row 'half the contacts', or a stereo port with its ring on the sleeve",
    judge=judge,
)
