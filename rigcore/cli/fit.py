"""`fit`: land every hand-off of a gig, a rig on n lines, or the kit for a tour."""

from __future__ import annotations

import json
from pathlib import Path
from typing import Any

import click
from msgspec import to_builtins

from rigcore.book import file as book_file
from rigcore.book.book import Book
from rigcore.book.edits.fits import apply_fit
from rigcore.catalogue.loader import shipped
from rigcore.cli.common import FILE, GIG, load
from rigcore.cli.exit_codes import FAULTS
from rigcore.lists.budget_list import BudgetRow, budget_rows
from rigcore.lists.fit_list import fit_rows, fit_sentences, proof_rows, proof_words, question_rows, take_rows
from rigcore.lists.tour_list import gig_rows, kit_rows, tour_words
from rigcore.patch.build import build_patch
from rigcore.solve.fit import Fit
from rigcore.solve.fit import fit as best_fit
from rigcore.solve.fit_question import Asked
from rigcore.solve.tour import tour_kit


@click.command()
@FILE
@GIG
@click.option("--fresh", is_flag=True, help="Forget the landings the gig has; otherwise they are kept.")
@click.option("--lines", type=click.IntRange(1, 64), default=None, help="The rig on 1 to N lines of the house.")
@click.option("--tour", is_flag=True, help="The smallest kit for all gigs of the book.")
@click.option("--json", "as_json", is_flag=True, help="Print it as JSON.")
@click.option("--apply", "out", type=click.Path(path_type=Path, dir_okay=False), default=None,
              help="Write the book with the fit put into the gig.")
def fit(
    *, file: Path, gig_id: str | None, fresh: bool, lines: int | None, tour: bool, as_json: bool, out: Path | None
) -> int:
    """Fit a rig to a house: which line each hand-off takes, by which cables and boxes, with the proof."""
    book = load(file)
    if tour and (gig_id is not None or lines is not None):
        raise click.UsageError("--tour is about all gigs of the book; leave --gig and --lines away")
    if out is not None and (tour or lines is not None):
        raise click.UsageError("--apply puts one fit into one gig; leave --tour and --lines away")
    if tour:
        return _tour(book, fresh, as_json)
    patch = build_patch(book, gig_id, shipped())
    if lines is not None:
        return _budget(budget_rows(patch, lines), as_json)
    fitted = best_fit(patch, Asked(fresh=fresh))
    if out is not None:
        book_file.save(apply_fit(book, patch.gig.id, fitted.landings, shipped()), out)
    if as_json:
        _print_json(_as_json(fitted))
    else:
        _print(fitted)
    wishes = {wish.name: wish.tier for wish in fitted.posed.question.wishes}
    return FAULTS if any(wishes[name] == 0 for name in fitted.unsettled) else 0


def _print(fitted: Fit) -> None:
    click.echo(f"{fitted.patch.rig.name} at {fitted.patch.house.name}")
    for row in fit_rows(fitted):
        number = "" if row.number is None else str(row.number)
        how = f" ({row.how})" if row.how else ""
        click.echo(f"  {row.name:<18.18} {number:>4} {row.socket:<14.14} {row.chain}{how}".rstrip())
        for note in row.notes:
            click.echo(f"         {note}")
    for sentence in fit_sentences(fitted):
        click.echo(sentence)
    rows = take_rows(fitted)
    if rows:
        click.echo("\nTake:")
    for one in rows:
        click.echo(f"  {one.count} × {one.thing} ({one.whose})")
    questions = question_rows(fitted)
    if questions:
        click.echo("\nAn answer would change this:")
    for asked in questions:
        click.echo(f"  {asked.question} If {asked.answer}: {asked.changes}")
    click.echo(f"\n{proof_words(fitted)}")
    for proof in proof_rows(fitted):
        click.echo(f"  {proof.aim:<22} {proof.value:>10}   bound {proof.bound:>10}")


def _as_json(fitted: Fit) -> dict[str, Any]:
    return {
        "gig": fitted.patch.gig.id,
        "lines": [to_builtins(row) for row in fit_rows(fitted)],
        "short": list(fit_sentences(fitted)),
        "take": [to_builtins(row) for row in take_rows(fitted)],
        "questions": [to_builtins(row) for row in question_rows(fitted)],
        "aims": [to_builtins(row) for row in proof_rows(fitted)],
        "proven": fitted.answer.proven,
        "seconds": round(fitted.answer.seconds, 4),
        "landings": [json.loads(one.model_dump_json(exclude_defaults=True)) for one in fitted.landings],
    }


def _budget(rows: tuple[BudgetRow, ...], as_json: bool) -> int:
    if as_json:
        keep = ("lines", "used", "survives", "lost", "notes")
        _print_json([
            {**{name: getattr(row, name) for name in keep}, "faults": [one.sentence for one in row.faults]}
            for row in rows
        ])  # fmt: skip
        return 0
    for row in rows:
        click.echo(f"{row.lines} line{'s' if row.lines > 1 else ''}: {', '.join(row.survives) or 'nothing'}")
        if row.lost:
            click.echo(f"   without: {', '.join(row.lost)}")
        for words in (*row.notes, *(f"fault: {one.sentence}" for one in row.faults)):
            click.echo(f"   {words}")
    return 0


def _tour(book: Book, fresh: bool, as_json: bool) -> int:
    tour = tour_kit(book, shipped(), asked=Asked(fresh=fresh))
    if as_json:
        gigs = {name: [to_builtins(row) for row in rows] for name, rows in gig_rows(tour)}
        _print_json({"kit": [to_builtins(row) for row in kit_rows(tour)], "gigs": gigs, "proven": tour.proven})
        return 0
    click.echo(tour_words(tour))
    for row in kit_rows(tour):
        click.echo(f"  {row.count} of {row.owned}  {row.thing:<32} without one: {'; '.join(row.needed)}")
    for name, rows in gig_rows(tour):
        click.echo(f"{name}:")
        for one in rows:
            click.echo(f"  {one.count} × {one.thing}")
    return 0


def _print_json(data: object) -> None:
    click.echo(json.dumps(data, indent=1, ensure_ascii=False))
