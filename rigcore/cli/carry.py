"""`carry`: what to pack for a gig or a tour, printed or as JSON."""

from __future__ import annotations

import json
from pathlib import Path
from typing import Any

import click
from msgspec import to_builtins

from rigcore.catalogue.loader import shipped
from rigcore.cli.common import FILE, load
from rigcore.lists.cable_plan import cable_plan
from rigcore.lists.carry_list import CarryList, CaseRow, CountRow, carry_list, tour_list
from rigcore.patch.build import build_patch
from rigcore.quantities.geometry import length_words


@click.command()
@FILE
@click.option("--gig", "gig_id", default=None, help="Id or name of the gig; the first one if not given.")
@click.option("--tour", is_flag=True, help="For all gigs of the book: of each thing the most that any of them needs.")
@click.option("--json", "as_json", is_flag=True, help="Print the list as JSON.")
def carry(*, file: Path, gig_id: str | None, tour: bool, as_json: bool) -> int:
    """Print what to pack: cases, stands, cables, boxes, spares, and what each house is asked for."""
    if tour and gig_id is not None:
        raise click.UsageError("say --gig for one gig or --tour for all of them, not both")
    book = load(file)
    patch = None if tour else build_patch(book, gig_id, shipped())
    listed = tour_list(book, shipped()) if patch is None else carry_list(patch)
    plan = cable_plan(patch) if patch is not None else ()
    if as_json:
        plain = {**_as_json(listed), "cable plan": [to_builtins(one) for one in plan]}
        click.echo(json.dumps(plain, indent=1, ensure_ascii=False))
        return 0
    click.echo("\n".join(lines(listed)))
    if plan:
        click.echo("\nWhich cable where")
        for row in plan:
            click.echo(f"  {row.run}, {length_words(row.needed_m)}: {row.served_by} ({row.remark})")
    return 0


def lines(listed: CarryList) -> list[str]:
    """Return the carry list as lines of text."""
    parts = (
        ("Cases", [_case(one) for one in listed.cases]),
        ("Stands", list(listed.stands)),
        ("Cables", [_count(one) for one in listed.cables]),
        ("Adapters and boxes", [_count(one) for one in listed.boxes]),
        ("Still to be planned", [f"{one.line}{f', {one.length_m:g} m' if one.length_m else ''}"
                                 for one in listed.wanted if one.open]),
        ("Spares", [f"{one.what} (packed: {one.packed}{', any house lends one' if one.lent else ''}) – {one.because}"
                    for one in listed.spares]),
        *((f"Please supply, {name}", [line.text for line in asked]) for name, asked in listed.asks),
        (f"Since {listed.changes[0]}" if listed.changes else "",
         [one.words for one in listed.changes[1].changes] if listed.changes else []),
    )  # fmt: skip
    made = [", ".join(f"{gig.name}{f' ({gig.date})' if gig.date else ''}" for gig in listed.gigs)]
    for title, rows in parts:
        if rows:
            made += ["", title, *(f"  {row}" for row in rows)]
    return [*made, "", listed.caution]


def _case(row: CaseRow) -> str:
    name = f"{row.name} {row.number} of {row.of}" if row.number else row.name
    rack = f", {row.taken_u:g} of {row.rack_u:g} U" if row.rack_u else ""
    caution = f" – {row.caution}" if row.caution else ""
    return f"{name}: {', '.join(row.units) or 'empty'}, {row.mass_kg:g} kg{rack}{caution}"


def _count(row: CountRow) -> str:
    if row.owned is None:
        return f"{row.words} (not counted in the stock)"
    return f"{row.words} (owned: {row.owned})"


def _as_json(listed: CarryList) -> dict[str, Any]:
    return {
        "gigs": [gig.id for gig in listed.gigs],
        "cases": [{**to_builtins(one), "caution": one.caution} for one in listed.cases],
        "stands": list(listed.stands),
        **{
            name: [
                {"what": row.what, "type": row.thing.type, "length_m": row.thing.length_m or None,
                 "needed": row.needed, "owned": row.owned, "short": row.short}
                for row in rows
            ]
            for name, rows in (("cables", listed.cables), ("boxes", listed.boxes))
        },
        "wanted": [
            {"line": one.line, "adapters": [gear.id for gear in one.adapters], "length_m": one.length_m,
             "open": one.open} for one in listed.wanted
        ],
        "spares": [
            {"what": one.what, "packed": one.packed, "lent": one.lent, "because": one.because}
            for one in listed.spares
        ],
        "please supply": {name: [line.text for line in asked] for name, asked in listed.asks},
        "since": None if listed.changes is None else {
            "gig": listed.changes[0], "changes": [one.words for one in listed.changes[1].changes],
        },
        "caution": listed.caution,
    }  # fmt: skip
