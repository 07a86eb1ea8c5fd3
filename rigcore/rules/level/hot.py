"""An output that can overdrive the input it meets, at that input's lowest gain."""

from __future__ import annotations

from collections.abc import Iterator

from rigcore.catalogue.carriers import Audio
from rigcore.patch.build import Hop, Patch
from rigcore.patch.coupling import Coupling
from rigcore.patch.levels import clip_dbu, level_out, professional_into_consumer
from rigcore.patch.loads import Way, passive_way
from rigcore.rules import basis, remedies, words
from rigcore.rules.rule import Finding, Remedy, Rule

IN_LINE_PADS = (("pad-12-xlr", 12.0), ("pad-20-xlr", 20.0))


def judge(patch: Patch) -> Iterator[Finding]:
    """Yield one finding for each input that clips: a fault if at nominal level, a risk if only on peaks."""
    for hop in patch.along_where(_can_clip):
        clip = clip_dbu(hop.target, hop)
        if clip is None:
            continue
        level = level_out(patch, hop.source.node)
        if level.max_dbu is None or level.max_dbu <= clip or professional_into_consumer(patch, hop) is not None:
            continue
        nominal_clips = level.nominal_dbu is not None and level.nominal_dbu > clip
        over_db = level.max_dbu - clip
        yield Finding(
            RULE.id,
            "fault" if nominal_clips else "risk",
            f"{words.from_to(hop)}: peaks reach {words.level(level.max_dbu)} and clip {words.decibels(over_db)} over.",
            (*words.place(hop), words.unit_of(hop.target)),
            (
                _highest(passive_way(patch, hop.source.node), level.max_dbu),
                f"{hop.target.words} clips at {words.level(clip)} at its lowest gain, {_pad(hop)}",
                f"{words.level(level.max_dbu)} − ({words.level(clip)}) = {words.decibels(over_db)} too much",
            ),
            tuple(_remedies(patch, hop, over_db)),
        )


def _can_clip(one: Coupling) -> bool:
    return one.is_audio and isinstance(one.arrives, Audio) and one.arrives.max_dbu is not None


def _highest(way: Way, highest_dbu: float) -> str:
    """Return the highest level as a sum: what the output gives, and what passive boxes take."""
    said = f"highest out of {way.begin.words}"
    if not way.steps:
        return f"{said}: {words.level(highest_dbu)}"
    begin = words.level(highest_dbu - sum(gain_db for _, gain_db in way.steps))
    steps = " ".join(f"{'−' if gain_db < 0 else '+'} {abs(gain_db):.1f} dB ({name})" for name, gain_db in way.steps)
    return f"{said}: {begin} {steps} = {words.level(highest_dbu)}"


def _pad(hop: Hop) -> str:
    return "pad in" if hop.target.setting.pad else "no pad in"


def _remedies(patch: Patch, hop: Hop, over_db: float) -> Iterator[Remedy]:
    carrier = hop.coupling.arrives
    if isinstance(carrier, Audio) and carrier.pad_db >= over_db and not hop.target.setting.pad:
        remedy = remedies.set_here(
            patch, hop.target, f"Engage the {carrier.pad_db:g} dB pad of {hop.target.name}", pad=True
        )
        if remedy is not None:
            yield remedy
        return
    enough = [gear for gear, takes_db in IN_LINE_PADS if takes_db >= over_db]
    if enough:
        yield from remedies.put_in(patch, hop, enough[0])


RULE = Rule(
    id="level.hot",
    severity="fault",
    sentence="The highest level of an output stays under the clip level of the input at its lowest gain.",
    why="What clips in the first input stays distorted in every channel after it.",
    basis=("EBU R 68, SMPTE RP 155: full scale against alignment level", basis.COMMON),
    working="highest output level − (clip level at lowest gain + pad) > 0",
    judge=judge,
)
