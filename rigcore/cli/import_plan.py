"""`import`: a book made from spreadsheets."""

from __future__ import annotations

from pathlib import Path

import click

from rigcore.book import file as book_file
from rigcore.catalogue.loader import shipped
from rigcore.cli.common import many


@click.command(name="import")
@click.option("--units", type=click.Path(path_type=Path), required=True, help="CSV of the units.")
@click.option("--patch", type=click.Path(path_type=Path), required=True, help="CSV of the cables.")
@click.option("--gear", type=click.Path(path_type=Path), default=None, help="TOML of your own gear types and stock.")
@click.option("--house", type=click.Path(path_type=Path), default=None, help="TOML of the house and the gig there.")
@click.option("--out", type=click.Path(path_type=Path), required=True, help="Book to write.")
def import_(*, units: Path, patch: Path, gear: Path | None, house: Path | None, out: Path) -> int:
    """Make a book from the spreadsheets you have."""
    from rigcore.book.sheets import import_plan

    book = import_plan(units, patch, gear, house, catalogue=shipped())
    book_file.save(book, out)
    gig = book.gig()
    click.echo(f"{out}: {many(len(book.rig(gig.rig).units), 'unit')}, {many(len(gig.landings), 'landing')}")
    return 0
