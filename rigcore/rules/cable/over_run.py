"""A cable run over the length that is sensible for what it carries."""

from __future__ import annotations

from collections.abc import Iterator

from rigcore.catalogue.cables import CableType
from rigcore.catalogue.carriers import Audio
from rigcore.patch.build import Hop, Patch
from rigcore.patch.control import link_limit
from rigcore.rules import basis, remedies, words
from rigcore.rules.rule import Finding, Remedy, Rule


def judge(patch: Patch) -> Iterator[Finding]:
    """Yield one finding for each run over its cable's sensible length, where no rule of another family counts it."""
    for hop in patch.runs:
        if not hop.cables:
            continue
        cable, total_m = hop.cables[0] if len(hop.cables) == 1 else _worst(hop)
        if total_m <= cable.longest_m or link_limit(hop) is not None or _is_unbalanced_audio(hop, cable):
            continue
        yield Finding(
            RULE.id,
            "risk",
            f"{words.name_of(patch, hop)} runs {words.metres(total_m)} of {cable.name}; "
            f"up to {words.metres(cable.longest_m)} is sensible.",
            words.place(hop),
            (
                f"{words.metres(total_m)} − {words.metres(cable.longest_m)} = "
                f"{words.metres(round(total_m - cable.longest_m, 2))} over",
                f"{cable.name}: {cable.why_longest}",
            ),
            _shorter(patch, hop, cable),
        )


def _worst(hop: Hop) -> tuple[CableType, float]:
    """Return the cable type that is furthest over its length in a run, or nearest to it, and its metres together."""
    total = {cable.id: 0.0 for cable, _ in hop.cables}
    for cable, length_m in hop.cables:
        total[cable.id] += length_m
    worst = max((cable for cable, _ in hop.cables), key=lambda one: total[one.id] / one.longest_m)
    return worst, round(total[worst.id], 3)


def _is_unbalanced_audio(hop: Hop, cable: CableType) -> bool:
    """Return whether the run is one whose length the rules on unbalanced runs judge: all but earphones."""
    carrier = hop.target.port.carrier
    earphones = isinstance(carrier, Audio) and carrier.level == "headphone"
    return cable.medium == "audio" and cable.wiring in ("unbalanced", "stereo") and not earphones


def _shorter(patch: Patch, hop: Hop, cable: CableType) -> tuple[Remedy, ...]:
    if len(hop.cables) != 1:
        return ()
    plain = patch.catalogue.cable_type(cable.id)
    length = max((one for one in plain.stock_lengths_m if one <= plain.longest_m), default=None)
    return () if length is None else (remedies.cut_to(patch, hop, plain, length),)


RULE = Rule(
    id="cable.over-run",
    severity="risk",
    sentence="A cable runs no further than is sensible for what it carries.",
    why="Treble, loudspeaker power, pedal contacts or volts are lost along the way.",
    basis=(basis.CABLE_LONGEST,),
    working="lengths of one type joined, against the longest sensible run in the table of cables, which says why; "
    "MIDI, data and unbalanced audio have rules of their own",
    judge=judge,
)
