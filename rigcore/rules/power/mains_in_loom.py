"""Mains and audio tied into one loom."""

from __future__ import annotations

from collections.abc import Iterator

from rigcore.catalogue.carriers import Audio, Mains
from rigcore.patch.build import Hop, Patch
from rigcore.rules import basis, power_remedies, words
from rigcore.rules.rule import Finding, Rule, Thing

EXEMPT_M = 15.0
"""Screened pairs may lie beside mains over the last 15 m (EN 50174-2, made for data cabling)."""


def judge(patch: Patch) -> Iterator[Finding]:
    """Yield one finding for each loom of mains with audio: a risk with microphone level or unbalanced lines in it."""
    mains: dict[str, list[Hop]] = {}
    audio: dict[str, list[Hop]] = {}
    for hop in patch.runs if patch.rig.looms else ():
        tied = hop.link.loom if hop.link is not None else None
        if tied is None:
            continue
        if isinstance(hop.source.port.carrier, Mains):
            mains.setdefault(tied, []).append(hop)
        elif isinstance(hop.source.port.carrier, Audio) and isinstance(hop.target.port.carrier, Audio):
            audio.setdefault(tied, []).append(hop)
    for loom in patch.rig.looms:
        if loom.id in mains and loom.id in audio:
            yield _finding(patch, loom.name, mains[loom.id], audio[loom.id])


def _finding(patch: Patch, name: str, mains: list[Hop], audio: list[Hop]) -> Finding:
    weak = [hop for hop in audio if _is_weak(patch, hop)]
    lies = weak or audio
    told = words.joined([f"{hop.source.name} to {hop.target.name}" for hop in lies[:3]])
    links = [hop.link for hop in mains if hop.link is not None]
    harm = "hum gets into microphone-level and unbalanced lines"
    return Finding(
        RULE.id,
        "risk" if weak else "note",
        f"Loom {name} ties mains together with {told}: {harm if weak else 'balanced lines bear it over a few metres'}.",
        tuple(Thing("link", hop.link.id) for hop in (*lies, *mains) if hop.link is not None),
        (
            f"mains leads: {len(mains)}; audio: {len(audio)}, of microphone level, unbalanced or over "
            f"{EXEMPT_M:g} m: {len(weak)}",
            "keep 150 mm apart, cross at right angles",
        ),
        (power_remedies.undress(patch, links, f"Take the mains out of loom {name}"),),
    )


def _is_weak(patch: Patch, hop: Hop) -> bool:
    carrier = hop.source.port.carrier
    if isinstance(carrier, Audio) and carrier.level in ("mic", "instrument"):
        return True
    return not hop.coupling.is_balanced or (hop.length_m or 0.0) > EXEMPT_M


RULE = Rule(
    id="power.mains-in-loom",
    severity="risk",
    sentence="Mains and microphone cable do not lie in one loom.",
    why="Metres side by side couple hum into the weakest line of the rig, and no equaliser takes it out.",
    basis=(basis.LOOM, basis.LOOM_PRACTICE),
    working="looms that hold a mains lead and audio; microphone level, unbalanced or over 15 m is a risk, else a note",
    judge=judge,
)
