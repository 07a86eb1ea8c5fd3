"""`reply`: what a house has answered, what that changes, and the book with it if asked for."""

from __future__ import annotations

import datetime as dt
from pathlib import Path

import click

from rigcore.analysis import analyse
from rigcore.book import file as book_file
from rigcore.book.book import Book
from rigcore.book.edits.reply import take_reply
from rigcore.book.gig import Gig
from rigcore.book.house import House
from rigcore.book.sheets.reply import ReplyRead, read_reply
from rigcore.book.sheets.table import Problems, read_bytes
from rigcore.catalogue.loader import shipped
from rigcore.cli.common import FILE, many
from rigcore.errors import ImportRefused, UnknownThing
from rigcore.lists.finding_changes import finding_changes
from rigcore.lists.fit_changes import fit_changes
from rigcore.patch.build import build_patch


@click.command()
@FILE
@click.option("--house", "house_id", required=True, help="Id or name of the house that answers.")
@click.option("--answers", type=click.Path(path_type=Path), required=True,
              help="What it sent: a filled answer sheet, a table, or the text of its mail.")
@click.option("--gig", "gig_id", default=None, help="The gig a load-in time is for; the only one there if not given.")
@click.option("--said-by", default="", help="Who said it; kept with each fact.")
@click.option("--on", "said_on", type=click.DateTime(["%Y-%m-%d"]), default=None, help="When it was said.")
@click.option("--out", type=click.Path(path_type=Path, dir_okay=False), default=None,
              help="Book to write; may be the same file. Nothing is written if not given.")
def reply(
    *, file: Path, house_id: str, answers: Path, gig_id: str | None, said_by: str, said_on: dt.datetime | None,
    out: Path | None,
) -> int:
    """Take in what a house has answered: print what is understood and what it changes; write only if asked."""
    book, on_disk = book_file.load(file, shipped())
    house = the_house(book, house_id)
    problems = Problems()
    data = read_bytes(answers, problems)
    if data is None:
        raise ImportRefused("The answers cannot be read", problems.sentences)
    day = said_on.date() if said_on else None
    whole = book.with_catalogue(shipped())
    read = read_reply(data, answers.name, house, whole, said_by=said_by, said_on=day)
    gigs = [gig for gig in book.gigs if gig.house == house.id]
    after = take_reply(book, house.id, read.reply, _gig_for(gigs, gig_id))
    _print_read(read)
    for gig in gigs:
        _print_changes(book, after, gig)
        for line in fit_changes(*(build_patch(one, gig.id, shipped()) for one in (book, after))):
            click.echo(f"  fit: {line}")
    if out is not None:
        book_file.save(after, out, on_disk if out == file else None)
        click.echo(f"written: {out}")
    elif not read.reply.is_empty:
        click.echo("Nothing was written; give --out to keep this.")
    return 0


def the_house(book: Book, wanted: str) -> House:
    """Return a house by id or name."""
    for house in book.houses:
        if wanted in (house.id, house.name):
            return house
    names = ", ".join(f"'{house.id}'" for house in book.houses) or "none"
    raise UnknownThing(f"there is no house '{wanted}' in this book (it has {names})", [wanted])


def _gig_for(gigs: list[Gig], wanted: str | None) -> str | None:
    for gig in gigs:
        if wanted in (gig.id, gig.name):
            return gig.id
    if wanted is not None:
        raise UnknownThing(f"there is no gig '{wanted}' at that house", [wanted])
    return gigs[0].id if len(gigs) == 1 else None


def _print_read(read: ReplyRead) -> None:
    click.echo(f"{many(len(read.understood), 'answer')} understood")
    for line in read.understood:
        click.echo(f"  {line}")
    if read.problems:
        click.echo(f"{len(read.problems)} not understood, left as before")
        for line in read.problems:
            click.echo(f"  {line}")
    if read.left_out:
        click.echo(f"{many(read.left_out, 'line')} of text left out")


def _print_changes(before: Book, after: Book, gig: Gig) -> None:
    found = [analyse(book, gig.id, shipped()).findings for book in (before, after)]
    changes = finding_changes(*found)
    click.echo(f"{gig.name}: {len(found[0])} findings before, {len(found[1])} after")
    for word, findings in (("gone", changes.gone), ("new", changes.new)):
        for one in findings:
            click.echo(f"  {word}: {one.severity}  {one.sentence}  [{one.rule}]")
    for was, now in changes.changed:
        click.echo(f"  was: {was.severity}  {was.sentence}  [{was.rule}]")
        click.echo(f"  now: {now.severity}  {now.sentence}")
