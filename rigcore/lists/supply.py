"""What the house is asked to supply, what the act brings, its mixes, and what is assumed: all derived.

Only what meets the house is listed; the packing list is another list.
"""

from __future__ import annotations

from collections import Counter

from msgspec import Struct

from rigcore.book.assumptions import Assumption, open_questions
from rigcore.book.gig import CablePiece, GearPiece
from rigcore.book.house import FactKey
from rigcore.book.rig import Owner, Unit
from rigcore.catalogue.gear import Category
from rigcore.lists.input_list import InputRow, input_list
from rigcore.lists.output_list import output_list
from rigcore.lists.plot import number_range, place_words
from rigcore.lists.power_list import PowerRow, power_list
from rigcore.patch.build import Patch
from rigcore.patch.channels import channels, is_audio
from rigcore.quantities.geometry import length_words

FEW, MANY = 3, 8
"""So many things are named one by one; more go by channel; beyond that they are only counted."""

_GROUPS: tuple[tuple[str, tuple[Category, ...]], ...] = (
    ("Instruments", ("keys", "controller", "playback", "guitar", "bass", "drums", "percussion", "brass", "strings")),
    ("Microphones", ("microphone",)),
    ("DI boxes and splitters", ("di", "splitter", "isolator", "pad")),
    ("Mixing and ears", ("mixer", "equaliser", "processor", "in-ear", "desk")),
    ("Loudspeakers", ("monitor", "loudspeaker", "amplifier")),
    ("Lines and mains", ("stage box", "multicore", "power", "adapter")),
)


class Line(Struct, frozen=True):
    """One line of a list: the thing, and where or for what it is."""

    words: str
    detail: str = ""

    @property
    def text(self) -> str:
        """The line as printed."""
        return f"{self.words}: {self.detail}" if self.detail else self.words


class Mix(Struct, frozen=True):
    """One monitor mix: its number or numbers, where it goes, how, and what the player wants in it."""

    number: str
    goes_to: str
    place: str
    how: str
    note: str

    @property
    def to_words(self) -> str:
        """Where it goes, unless the kind of mix says it already."""
        kind = self.how.partition(",")[0]
        return "" if _alike(kind, self.goes_to) else f"to {self.goes_to}"


def please_supply(patch: Patch) -> tuple[Line, ...]:
    """Return what the house is asked for: microphones, stands, DIs, loudspeakers, leads, lines, 48 V, outlets."""
    rows = input_list(patch)
    gear = _house_gear(patch)
    lines = [*gear.pop("microphone", []), *_stands(patch, "house")]
    lines += [line for others in gear.values() for line in others]
    lines += [*_house_pieces(patch), *_leads(patch, "house")]
    phantom = [row.house for row in rows if row.phantom]
    if phantom:
        lines.append(Line(f"48 V on your channel{'s' * (len(phantom) > 1)} {number_range(phantom)}"))
    lines += _returns(patch)
    lines += [Line(words) for words in _unlanded(patch)]
    for row in power_list(patch):
        lines.append(Line(f"mains at {row.place}" if row.place != "stage" else "mains", outlet_words(row)))
    return tuple(lines)


def outlet_words(row: PowerRow) -> str:
    """Return what one place has to feed: outlets, W, and A at power factor 1 up to the cautious one."""
    outlets = f"{row.wall_outlets} outlet{'s' * (row.wall_outlets != 1)}"
    if row.wall_outlets != row.outlets:
        outlets += f" ({row.outlets} plugs on our strip)"
    return f"{outlets}, {row.watts:.0f} W, {row.amps:.2f} to {row.cautious_amps:.2f} A"


def we_bring(patch: Patch) -> tuple[Line, ...]:
    """Return what the act brings that the house will see or need not supply."""
    names: dict[Category, Counter[str]] = {}
    for unit in patch.units.values():
        if unit.owner == "rig":
            names.setdefault(patch.catalogue.gear_type(unit.gear).category, Counter())[unit.name] += 1
    for (gear_id, numbers) in _pieces(patch, "rig"):
        gear = patch.catalogue.gear_type(gear_id)
        words = lowered(gear.name) + (f" (our {number_range(numbers)})" if numbers else "")
        names.setdefault(gear.category, Counter())[words] += max(1, len(numbers))
    lines = []
    for title, categories in _GROUPS:
        found = [(name, count) for one in categories for name, count in names.get(one, Counter()).items()]
        if found:
            named = [f"{count} × {name}" if count > 1 else name for name, count in found[:MANY]]
            named += [f"and {len(found) - MANY} more"] if len(found) > MANY else []
            lines.append(Line(title, _listed(named)))
    stands = _stand_counts(patch, "rig")
    if stands:
        lines.append(Line("Stands", ", ".join(f"{count} {kind}" for kind, count in stands.items())))
    leads = _lead_words(patch, "rig")
    if leads:
        lines.append(Line("Leads to your sockets", _listed(leads)))
    return tuple(lines)


def mixes(patch: Patch) -> tuple[Mix, ...]:
    """Return the monitor mixes, a stereo pair as one, in the order of the house's numbers."""
    found: dict[str, list[int]] = {}
    rows = output_list(patch)
    for place, row in enumerate(rows):
        found.setdefault(row.group or f"/{place}", []).append(place)
    made = []
    for places in found.values():
        row = rows[places[0]]
        hand_off = patch.rig.hand_off(row.hand_off)
        unit = patch.units[hand_off.unit] if hand_off is not None else None
        spot = place_words((unit.x_m, unit.y_m), patch.house.stage) if unit is not None else ""
        stereo = len(places) > 1
        kind = {"wedge": "wedge", "in-ear": "ears", "line": "line"}[row.kind]
        notes = dict.fromkeys(rows[place].note for place in places if rows[place].note)
        numbers = [rows[place].mix for place in places]
        made.append(
            Mix(
                " + ".join(str(number) for number in numbers), row.goes_to, spot,
                f"{kind}, {'stereo' if stereo else 'mono'}", "; ".join(notes) or row.name,
            )
        )
    return tuple(made)


def assumed(patch: Patch) -> tuple[str, ...]:
    """Return what is taken for granted because the house has not said, where it matters at this gig."""
    return tuple(one.words for one in open_here(patch))


def open_here(patch: Patch) -> tuple[Assumption, ...]:
    """Return what the house has not said and what matters at this gig, each with its question."""
    rows = input_list(patch)
    power = bool(power_list(patch))
    dis = [owner for row in rows for _, owner in row.dis]
    outs = any(one.direction == "out" for one in patch.house.sockets)
    matters: dict[FactKey, bool] = {
        "pa": any(row.mate is not None for row in rows),
        "phantom": bool(rows),
        "input level": bool(rows),
        "di boxes": bool(dis) and "house" not in dis,
        "outlets": power and not patch.house.stage.power,
        "circuit": power and not any(drop.circuit for drop in patch.house.stage.power),
        "residual current device": power,
        "sound limiter": power,
        "monitor mixes": not outs,
        "monitor layout": bool(output_list(patch)),
    }
    return tuple(one for one in open_questions(patch.house) if matters.get(one.key, True))


def _house_gear(patch: Patch) -> dict[Category, list[Line]]:
    """Return the units the player asks the house for by category, alike ones together."""
    alike: dict[tuple[Category, str], list[Unit]] = {}
    for unit in patch.units.values():
        if unit.owner == "house":
            gear = patch.catalogue.gear_type(unit.gear)
            alike.setdefault((gear.category, gear.name), []).append(unit)
    found: dict[Category, list[Line]] = {}
    for (category, name), units in alike.items():
        line = Line(f"{len(units)} × {lowered(name)}", _which(patch, units, name))
        found.setdefault(category, []).append(line)
    return found


def _which(patch: Patch, units: list[Unit], known: str) -> str:
    """Return which units are meant: a few by name and place, many by the house's channels."""
    numbers: dict[str, list[int]] = {}
    for one in channels(patch):
        numbers.setdefault(one.origin.node.unit, []).append(one.socket.number)
    if len(units) > FEW and all(unit.id in numbers for unit in units):
        return "your channels " + number_range(sorted(n for unit in units for n in numbers[unit.id]))
    words = []
    for unit in units[:MANY]:
        spot = place_words((unit.x_m, unit.y_m), patch.house.stage)
        name = "" if _alike(unit.name, known) else unit.name
        words.append(f"{name} ({spot})" if name and spot else name or spot)
    words += [f"and {len(units) - MANY} more"] if len(units) > MANY else []
    return ", ".join(dict.fromkeys(one for one in words if one))


def _listed(words: list[str]) -> str:
    """Return words as a list, parted by semicolons where one holds a comma itself."""
    return ("; " if any("," in one for one in words) else ", ").join(words)


def _alike(one: str, other: str) -> bool:
    return one.casefold() in other.casefold() or other.casefold() in one.casefold()


def lowered(name: str) -> str:
    """Return a name as it stands within a sentence.

    >>> lowered("Active DI box"), lowered("XLR cable"), lowered("Y-lead")
    ('active DI box', 'XLR cable', 'Y-lead')
    """
    return name[:1].lower() + name[1:] if name[1:2].islower() or name[1:2] == " " else name


def _stand_counts(patch: Patch, owner: Owner) -> Counter[str]:
    return Counter(
        unit.stand.kind for unit in patch.units.values() if unit.stand is not None and unit.stand.owner == owner
    )


def _stands(patch: Patch, owner: Owner) -> list[Line]:
    wanted: dict[str, list[Unit]] = {}
    for unit in patch.units.values():
        if unit.stand is not None and unit.stand.owner == owner:
            wanted.setdefault(unit.stand.kind, []).append(unit)
    return [Line(f"{len(units)} × {kind} stand", _which(patch, units, "/")) for kind, units in wanted.items()]


def _pieces(patch: Patch, owner: Owner) -> list[tuple[str, list[int]]]:
    """Return the gear types that lie in landings, with the channels they serve in the owner's numbers."""
    rows: dict[str, InputRow] = {row.hand_off: row for row in input_list(patch)}
    served: dict[str, list[int]] = {}
    for landing in patch.gig.landings:
        for piece in landing.chain:
            if isinstance(piece, GearPiece) and piece.owner == owner:
                numbers = served.setdefault(piece.gear, [])
                if landing.hand_off in rows:
                    row = rows[landing.hand_off]
                    numbers.append(row.act if owner == "rig" else row.house)
    return [(gear, sorted(numbers)) for gear, numbers in served.items()]


def _house_pieces(patch: Patch) -> list[Line]:
    return [
        Line(f"{max(1, len(numbers))} × {lowered(patch.catalogue.gear_type(gear).name)}",
             f"your channel{'s' * (len(numbers) > 1)} {number_range(numbers)}" if numbers else "")
        for gear, numbers in _pieces(patch, "house")
    ]


def _lead_words(patch: Patch, owner: Owner) -> list[str]:
    """Return the cables that end at the house's sockets, counted by type and length."""
    pieces: Counter[tuple[str, float]] = Counter()
    for landing in patch.gig.landings:
        to_house = patch.hand_off(landing).direction == "to house"
        last = landing.chain[-1 if to_house else 0] if landing.chain else None
        if isinstance(last, CablePiece) and last.owner == owner:
            pieces[last.cable, last.length_m] += 1
    return [
        f"{count} × {patch.catalogue.cable_type(cable).name} ({length_words(length)})"
        for (cable, length), count in pieces.most_common()
    ]


def _leads(patch: Patch, owner: Owner) -> list[Line]:
    return [Line(words) for words in _lead_words(patch, owner)]


def _returns(patch: Patch) -> list[Line]:
    """Return the lines asked of the house that do not go to its own loudspeakers."""
    return [
        Line(f"1 {mix.how.removeprefix('line, ')} line from mix {mix.number}", ", ".join(
            part for part in (mix.goes_to, mix.place) if part
        ))
        for mix in mixes(patch)
        if mix.how.startswith(("line", "ears"))
    ]


def _unlanded(patch: Patch) -> list[str]:
    return [
        f"a line {'from' if one.direction == 'to house' else 'to'} {one.name} (none agreed yet)"
        for one in patch.rig.hand_offs
        if patch.gig.landing(one.id) is None and is_audio(patch, one)
    ]
