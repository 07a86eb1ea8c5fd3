"""Two gigs compared: units, links, landings, settings, places and what is carried; each change once.

Facts are compared, never their order: the same gig written down twice differs in
nothing. What a house has and the other has not is no change of the act's.
"""

from __future__ import annotations

from collections import Counter
from collections.abc import Callable, Mapping

from msgspec import Struct

from rigcore.book.gig import Landing, Piece
from rigcore.book.rig import PortSetting
from rigcore.patch.build import Patch
from rigcore.patch.spares import Thing, needs


class Change(Struct, frozen=True):
    """One change: in which part of the plan, of what, and what it was and is; empty for what was or is not there."""

    part: str
    of: str
    was: str
    now: str

    @property
    def words(self) -> str:
        """The change as printed."""
        if not self.was:
            return f"+ {self.of}: {self.now}" if self.now != self.of else f"+ {self.of}"
        if not self.now:
            return f"− {self.of}: {self.was}" if self.was != self.of else f"− {self.of}"
        return f"{self.of}: {self.was} → {self.now}"


class Difference(Struct, frozen=True):
    """All changes from one gig to another, part by part."""

    changes: tuple[Change, ...]

    def of(self, part: str) -> tuple[Change, ...]:
        """Return the changes of one part."""
        return tuple(one for one in self.changes if one.part == part)


def gig_difference(old: Patch, new: Patch) -> Difference:
    """Return what differs from one gig to another.

    Parts: "unit", "link", "landing", "piece" (cables and boxes of landings), "setting", "place", "carry".
    """
    changes: list[Change] = []
    for part, facts in _PARTS:
        before, after = facts(old), facts(new)
        for name in dict.fromkeys((*before, *after)):
            was, now = before.get(name, ""), after.get(name, "")
            if was != now:
                changes.append(Change(part, name, was, now))
    return Difference(tuple(changes))


TITLES: Mapping[str, str] = {
    "unit": "Units", "link": "Links", "landing": "Landings", "piece": "Cables and boxes to the house",
    "setting": "Settings", "place": "Places on the stage", "carry": "To carry",
}  # fmt: skip
"""The parts as headings."""


Facts = Mapping[str, str]
"""What holds, in words, by the name of what it holds of."""


def _named(pairs: list[tuple[str, str]]) -> Facts:
    """Return facts by name; what goes by the same name is numbered."""
    found: dict[str, str] = {}
    seen: Counter[str] = Counter()
    for name, fact in sorted(pairs):
        seen[name] += 1
        found[name if seen[name] == 1 else f"{name} ({seen[name]})"] = fact
    return found


def _units(patch: Patch) -> Facts:
    return _named([
        (unit.name, f"{patch.catalogue.gear_type(unit.gear).name}{_whose(unit.owner)}") for unit in patch.rig.units
    ])  # fmt: skip


def _links(patch: Patch) -> Facts:
    pairs = []
    for hop in patch.runs:
        if hop.link is not None:
            cables = " + ".join(cable.of(f"{length_m:g} m") for cable, length_m in hop.cables) or "plugged in"
            pairs.append((f"{hop.source.words} to {hop.target.words}", cables + _whose(hop.link.owner)))
    return _named(pairs)


def _landings(patch: Patch) -> Facts:
    found = {}
    for landing in patch.gig.landings:
        socket = patch.socket(landing)
        apart = f", {landing.length_m:g} m apart" if landing.length_m and not landing.chain else ""
        found[_line(patch, landing)] = f"{socket.label}, house {socket.number}{apart}"
    return found


def _pieces(patch: Patch) -> Facts:
    """Return the pieces of each landing, counted, so that each that came or went is one change."""
    found = {}
    for landing in patch.gig.landings:
        for what, count in Counter(_piece(patch, one) for one in landing.chain).items():
            found[f"{_line(patch, landing)}, {what}"] = f"{count} ×"
    return found


def _settings(patch: Patch) -> Facts:
    pairs = []
    for end in patch.ends():
        if end.node.place != "house":
            name = end.name
            if end.node.place == "chain":
                hand_off = patch.rig.hand_off(end.node.unit.partition("/")[0])
                name = f"{end.name} at {hand_off.name if hand_off else ''}"
            for what, value in _set(end.setting):
                pairs.append((f"{name} {end.port.name}, {what}", value))
    return _named(pairs)


def _set(setting: PortSetting) -> list[tuple[str, str]]:
    flags = {"pad": setting.pad, "48 V": setting.phantom, "lift": setting.lift}
    said = {"label": setting.label, "role": setting.role}
    gain = [("gain", f"{setting.gain_db:g} dB")] if setting.gain_db is not None else []
    return [*gain, *((name, "on") for name, on in flags.items() if on), *((a, b) for a, b in said.items() if b)]


def _places(patch: Patch) -> Facts:
    return _named([
        (unit.name, f"x {unit.x_m:g} m, y {unit.y_m:g} m, {unit.rotation_deg:g}°")
        for unit in patch.units.values()
        if unit.x_m is not None and unit.y_m is not None
    ])  # fmt: skip


def _carry(patch: Patch) -> Facts:
    units = Counter(Thing("gear", unit.gear) for unit in patch.rig.units if unit.owner == "rig")
    found = {}
    for thing, count in (needs(patch)["rig"] + units).items():
        if thing.kind == "gear":
            what = patch.catalogue.gear_type(thing.type).name
        else:
            what = f"{patch.catalogue.cable_type(thing.type).name}, {thing.length_m:g} m"
        found[what] = f"{count} ×"
    return found


def _line(patch: Patch, landing: Landing) -> str:
    return patch.hand_off(landing).name


def _piece(patch: Patch, piece: Piece) -> str:
    if piece.kind == "cable":
        return patch.catalogue.cable_type(piece.cable).of(f"{piece.length_m:g} m") + _whose(piece.owner)
    return f"{patch.catalogue.gear_type(piece.gear).name}{_whose(piece.owner)}"


def _whose(owner: str) -> str:
    return ", the house's" if owner == "house" else ""


_PARTS: tuple[tuple[str, Callable[[Patch], Facts]], ...] = (
    ("unit", _units), ("link", _links), ("landing", _landings), ("piece", _pieces), ("setting", _settings),
    ("place", _places), ("carry", _carry),
)  # fmt: skip
