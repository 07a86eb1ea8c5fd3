"""`compare`: what differs from one gig of a book to another."""

from __future__ import annotations

import json
from itertools import groupby
from pathlib import Path

import click
from msgspec import to_builtins

from rigcore.catalogue.loader import shipped
from rigcore.cli.common import FILE, load
from rigcore.lists.gig_difference import TITLES, gig_difference
from rigcore.patch.build import build_patch


@click.command()
@FILE
@click.option("--gig", "gig_id", required=True, help="Id or name of the gig to compare from.")
@click.option("--with", "other_id", required=True, help="Id or name of the gig to compare with.")
@click.option("--json", "as_json", is_flag=True, help="Print the changes as JSON.")
def compare(file: Path, gig_id: str, other_id: str, *, as_json: bool) -> int:
    """Print what differs from one gig to another: patch, landings, settings, places and what is carried."""
    book = load(file)
    old, new = (build_patch(book, one, shipped()) for one in (gig_id, other_id))
    changes = gig_difference(old, new).changes
    if as_json:
        click.echo(json.dumps([to_builtins(one) for one in changes], indent=1, ensure_ascii=False))
        return 0
    click.echo(f"{old.gig.name} → {new.gig.name}: " + (f"{len(changes)} changes" if changes else "no difference"))
    for part, rows in groupby(changes, key=lambda one: one.part):
        click.echo(f"\n{TITLES[part]}")
        for row in rows:
            click.echo(f"  {row.words}")
    return 0
