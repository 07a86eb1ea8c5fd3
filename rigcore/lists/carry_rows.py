"""The carry list as one table: a row for each thing, with the part it belongs to. Nothing is counted here."""

from __future__ import annotations

from collections.abc import Iterable

from msgspec import Struct

from rigcore.lists.cable_plan import CablePlanRow
from rigcore.lists.carry_list import CarryList, CaseRow, CountRow
from rigcore.quantities.geometry import length_words


class CarryRow(Struct, frozen=True):
    """One row: the part of the list, what, how many needed, owned and short, a remark; blank where none applies.

    ``mass`` is what one of them weighs.
    """

    part: str
    what: str
    needed: str = ""
    owned: str = ""
    short: str = ""
    mass: str = ""
    remark: str = ""


def carry_rows(listed: CarryList) -> tuple[CarryRow, ...]:
    """Return the rows of a carry list, part by part; what is counted first."""
    rows = [_count("Cables", one) for one in listed.cables]
    rows += [_count("Adapters and boxes", one) for one in listed.boxes]
    rows += [CarryRow("Stands", f"{kind.capitalize()} stand", str(count)) for kind, count in listed.stand_counts]
    rows += [_case(one) for one in listed.cases]
    rows += [
        CarryRow("Still to be planned", one.line, remark=f"{one.length_m:g} m" if one.length_m else "")
        for one in listed.wanted if one.open
    ]
    rows += [
        CarryRow(
            "Spares", one.what, owned={"yes": "packed", "no": "none packed", "?": "look"}[one.packed],
            remark=one.because + ("; any house lends one" if one.lent else ""),
        )
        for one in listed.spares
    ]
    rows += [CarryRow(f"Ask the house, {name}", line.text) for name, asked in listed.asks for line in asked]
    return tuple(rows)


def run_rows(plan: Iterable[CablePlanRow]) -> tuple[CarryRow, ...]:
    """Return which owned cable lies where, as rows of the same table."""
    return tuple(
        CarryRow("Which cable where", row.run, remark=f"{length_words(row.needed_m)}: {row.served_by}; {row.remark}")
        for row in plan
    )


def _case(row: CaseRow) -> CarryRow:
    name = f"{row.name}, {row.number} of {row.of}" if row.number else ", ".join(row.units)
    rack = f"{row.taken_u:g} of {row.rack_u:g} U" if row.rack_u else ""
    inside = ", ".join(row.units) or "empty" if row.number else "loose"
    remark = "; ".join(part for part in (inside, rack, row.caution) if part)
    return CarryRow("Cases and units", name, needed="1", mass=f"{row.mass_kg:g} kg", remark=remark)


def _count(part: str, row: CountRow) -> CarryRow:
    return CarryRow(
        part, row.what, needed=str(row.needed), owned="not counted" if row.owned is None else str(row.owned),
        short=str(row.short) if row.short else "",
    )
