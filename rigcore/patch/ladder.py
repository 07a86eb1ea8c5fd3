"""The ladder of a line, stage by stage, and the gain to dial at every input that has one.

Levels are dBu. The ladder runs from the source down to the house socket; each
rung shows noise floor, nominal, peak and the level at which that stage clips.
"""

from __future__ import annotations

from msgspec import Struct

from rigcore.catalogue.carriers import Audio
from rigcore.patch.build import End, Hop, Node, Patch
from rigcore.patch.levels import PEAKS_OVER_NOMINAL_DB, clip_dbu
from rigcore.patch.once import once_a_patch
from rigcore.patch.stages import Level, levels
from rigcore.patch.walk import line_up
from rigcore.quantities.electrical import PROFESSIONAL_NOMINAL_DBU

ADJUSTABLE = ("mic", "line", "instrument", "consumer")


class Rung(Struct, frozen=True):
    """One stage of a ladder: a port, its level, and where it clips (None where nothing clips)."""

    name: str
    port: str
    node: Node
    level: Level
    clip_dbu: float | None

    @property
    def head_room_db(self) -> float | None:
        """Clip less peak in dB; None where either is unknown."""
        if self.clip_dbu is None or self.level.peak_dbu is None:
            return None
        return self.clip_dbu - self.level.peak_dbu


class GainAdvice(Struct, frozen=True):
    """The gain to dial at one input.

    ``gain_db`` brings the nominal level that arrives to ``reference_dbu``;
    ``problem`` says in a few words why the stage makes that impossible, or is empty.
    """

    node: Node
    name: str
    arriving: Level
    reference_dbu: float
    gain_db: float
    clip_dbu: float | None
    dialled_db: float | None
    problem: str


def ladder(patch: Patch, node: Node) -> tuple[Rung, ...]:
    """Return the rungs of the single line that ends at a port, source first."""
    at = levels(patch)
    rungs = []
    for step, _ in reversed(line_up(patch, node)):
        end = patch.end(step)
        if not isinstance(end.port.carrier, Audio) or at.level(step).nominal_dbu is None:
            continue
        rungs.append(Rung(end.name, end.port.name, step, at.level(step), _clip_dbu(patch, end)))
    return tuple(rungs)


def _clip_dbu(patch: Patch, end: End) -> float | None:
    """Return where a port clips, as the plug in it decides."""
    arriving = (hop for hop in patch.hops_at.get(end.node, ()) if hop.target is end)
    return clip_dbu(end, next(arriving, None))


@once_a_patch
def gain_plan(patch: Patch) -> tuple[GainAdvice, ...]:
    """Return the gain to dial at every input with a gain that something is plugged into.

    Own mixers first, in the order of the rig, then the lines of the house.
    """
    at = levels(patch)
    advice = []
    for end in patch.ends():
        level = at.level(end.node)
        if level.nominal_dbu is None or not _has_gain(patch, end):
            continue
        advice.append(_advice(patch, end, level, level.nominal_dbu))
    return tuple(advice)


def _has_gain(patch: Patch, end: End) -> bool:
    carrier = end.port.carrier
    if end.port.direction == "out" or not isinstance(carrier, Audio) or carrier.level not in ADJUSTABLE:
        return False
    if not any(isinstance(hop, Hop) and hop.target.node == end.node for hop in patch.hops_at.get(end.node, ())):
        return False
    if end.node.place == "house":
        return end.gear.category in ("stage box", "desk") and carrier.weakest_dbu is not None
    return any(path.source == end.port.id and path.gain_max_db is not None for path in end.gear.paths)


def _advice(patch: Patch, end: End, level: Level, nominal_dbu: float) -> GainAdvice:
    paths = [path for path in end.gear.paths if path.source == end.port.id and path.gain_max_db is not None]
    reference = _reference(patch, end, [path.target for path in paths])
    gain_db = reference - nominal_dbu
    clip = _clip_dbu(patch, end)
    problem = ""
    if clip is not None and level.peak_dbu is not None and level.peak_dbu > clip:
        problem = f"its input clips {level.peak_dbu - clip:.1f} dB before any gain: pad it"
    elif clip is not None and nominal_dbu + PEAKS_OVER_NOMINAL_DB > clip:
        problem = f"only {clip - nominal_dbu:.1f} dB of head-room over nominal"
    elif paths and gain_db > max(path.gain_max_db or 0.0 for path in paths):
        problem = f"its highest gain is {max(path.gain_max_db or 0.0 for path in paths):g} dB"
    elif paths and gain_db < min(path.gain_min_db or 0.0 for path in paths):
        problem = f"its lowest gain is {min(path.gain_min_db or 0.0 for path in paths):g} dB"
    return GainAdvice(end.node, end.words, level, reference, gain_db, clip, end.setting.gain_db, problem)


def _reference(patch: Patch, end: End, targets: list[str]) -> float:
    """Return the level a stage is meant to work at: the nominal of its first output, or +4 dBu at the house."""
    for target in targets:
        carrier = patch.end(end.node._replace(port=target)).port.carrier
        if isinstance(carrier, Audio) and carrier.nominal_dbu is not None:
            return carrier.nominal_dbu
    return PROFESSIONAL_NOMINAL_DBU
