"""What a saved book has in common with the sample's gig at the chapel: gear, cables, landings, counts, findings."""

from __future__ import annotations

from collections import Counter
from collections.abc import Hashable, Mapping
from dataclasses import dataclass
from pathlib import Path

from rigcore import resources
from rigcore.analysis import Analysis, analyse
from rigcore.book.file import load
from rigcore.book.ids import PortRef
from rigcore.book.rig import Rig
from rigcore.catalogue.loader import shipped

SAMPLE, GIG = "tour.loom", "chapel"
SOCKETS = {"drop-sl-in-1": "in-1", "drop-sl-in-2": "in-2", "drop-sl-in-3": "in-3", "drop-sl-out-1": "mix-1"}
"""The chapel's sockets, and those of an empty plan that take their place."""

Facts = Counter[Hashable]


@dataclass(frozen=True)
class Compared:
    """What ours has and the sample has, by subject."""

    ours: Mapping[str, Facts]
    theirs: Mapping[str, Facts]

    def differences(self) -> dict[str, tuple[list[Hashable], list[Hashable]]]:
        """Return by subject what only ours has, and what only the sample has; subjects without any are left out."""
        found = {}
        for subject, ours in self.ours.items():
            theirs = self.theirs[subject]
            if ours != theirs:
                found[subject] = (list((ours - theirs).elements()), list((theirs - ours).elements()))
        return found

    def words(self) -> str:
        """Return it all in words."""
        different = self.differences()
        lines = []
        for subject in self.ours:
            if subject not in different:
                lines.append(f"{subject}: the same ({sum(self.ours[subject].values())})")
                continue
            only, lacking = different[subject]
            lines.append(f"{subject}: only here {only}; only in the sample {lacking}")
        return "\n".join(lines)


def compared(path: Path) -> Compared:
    """Compare the one gig of a saved book with the sample's."""
    catalogue = shipped()
    ours = load(path, catalogue)[0]
    theirs = load(resources.samples() / SAMPLE, catalogue)[0]
    return Compared(
        facts(analyse(ours, None, catalogue), {}), facts(analyse(theirs, GIG, catalogue), SOCKETS)
    )


def facts(analysis: Analysis, sockets: Mapping[str, str]) -> dict[str, Facts]:
    """Return what is compared, with sockets called by other names."""
    rig = analysis.patch.rig
    at = {one.id: one for one in rig.hand_offs}
    counts = analysis.counts
    return {
        "gear": Counter((unit.gear, unit.name) for unit in rig.units),
        "stands": Counter(
            (unit.name, unit.stand.kind, unit.stand.owner) for unit in rig.units if unit.stand is not None
        ),
        "cables": Counter(
            (_end(rig, link.source), _end(rig, link.target), link.cable) for link in rig.links
        ),
        "landings": Counter(
            (
                _end(rig, PortRef(unit=at[one.hand_off].unit, port=at[one.hand_off].port)),
                at[one.hand_off].direction,
                sockets.get(one.socket, one.socket),
            )
            for one in analysis.gig.landings
        ),
        "counts": Counter(
            [
                ("channels", counts.channels), ("48 V", counts.phantom), ("stands", tuple(counts.stands.items())),
                ("microphones", tuple(counts.mics.items())), ("mono mixes", counts.mono_mixes),
                ("stereo mixes", counts.stereo_mixes), ("sends", counts.sends), ("outlets", counts.outlets),
                ("watts", counts.watts),
            ]
        ),
        "DI boxes": Counter([tuple(counts.dis.items())]),
        "findings": Counter((one.severity, one.rule) for one in analysis.findings),
    }  # fmt: skip


def _end(rig: Rig, ref: PortRef) -> str:
    unit = rig.unit(ref.unit)
    return f"{unit.gear if unit else '?'} {ref.port}"
