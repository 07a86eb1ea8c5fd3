"""An input that takes the level but has too little room over it."""

from __future__ import annotations

from collections.abc import Iterator

from rigcore.catalogue.carriers import Audio
from rigcore.patch.build import Hop, Patch
from rigcore.patch.coupling import Coupling
from rigcore.patch.levels import PEAKS_OVER_NOMINAL_DB, clip_dbu, professional_into_consumer
from rigcore.patch.stages import levels
from rigcore.rules import basis, remedies, words
from rigcore.rules.rule import Finding, Remedy, Rule


def judge(patch: Patch) -> Iterator[Finding]:
    """Yield one finding for each input whose clip level lies less than 12 dB over the nominal that arrives.

    Only where nobody knows how high the source really goes: where its highest
    level is stated, that is compared with the clip level instead.
    """
    at = levels(patch)
    for hop in patch.hops_where(_can_clip):
        level = at.level(hop.target.node)
        if level.nominal_dbu is None or level.peak_dbu is not None:
            continue
        clip = clip_dbu(hop.target, hop)
        if clip is None:
            continue
        if professional_into_consumer(patch, hop) is not None:
            continue
        room_db = clip - level.nominal_dbu
        if room_db >= PEAKS_OVER_NOMINAL_DB:
            continue
        yield Finding(
            RULE.id,
            "risk",
            f"{words.from_to(hop)}: only {words.decibels(room_db)} between nominal and clipping.",
            (*words.place(hop), words.unit_of(hop.target)),
            (
                f"nominal arriving {words.level(level.nominal_dbu)}, {hop.target.words} clips at {words.level(clip)}",
                f"{words.level(clip)} − ({words.level(level.nominal_dbu)}) = {words.decibels(room_db)}; asked for "
                f"{PEAKS_OVER_NOMINAL_DB:g} dB, {words.decibels(PEAKS_OVER_NOMINAL_DB - room_db)} short",
            ),
            _pad(patch, hop, PEAKS_OVER_NOMINAL_DB - room_db),
        )


def _can_clip(one: Coupling) -> bool:
    return one.is_audio and one.is_sound and isinstance(one.arrives, Audio) and one.arrives.max_dbu is not None


def _pad(patch: Patch, hop: Hop, short_db: float) -> tuple[Remedy, ...]:
    """Return the remedy of the input's own pad, where it has one that is large enough."""
    carrier, end = hop.coupling.arrives, hop.target
    if not isinstance(carrier, Audio) or carrier.pad_db < short_db or end.setting.pad:
        return ()
    remedy = remedies.set_here(patch, end, f"Engage the {carrier.pad_db:g} dB pad of {end.name}", pad=True)
    return (remedy,) if remedy is not None else ()


RULE = Rule(
    id="level.head-room",
    severity="risk",
    sentence="An input has 12 dB between nominal and clipping where the highest level is not known.",
    why="Programme peaks lie that far over what the meter shows.",
    basis=("EBU R 68: peaks up to 15 dB over alignment level; 12 dB at one input is common practice", basis.COMMON),
    working="clip level at lowest gain − nominal level arriving ≥ 12 dB",
    judge=judge,
)
