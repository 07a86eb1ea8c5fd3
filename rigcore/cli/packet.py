"""`packet`: the sheets for the house or for the player as one PDF, and the letter it is sent under."""

from __future__ import annotations

import datetime as dt
from pathlib import Path

import click

from rigcore.analysis import Analysis, analyse
from rigcore.book import file as book_file
from rigcore.book.edits.letters import send_packet
from rigcore.catalogue.loader import shipped
from rigcore.cli.common import FILE, GIG
from rigcore.patch.edition import content

PAGE_IDS = (
    "inputs", "plot", "monitors", "power", "supply", "set-up", "gain", "lifeline", "carry", "reduced",
    "labels",
)
"""As :data:`rigcore.paper.packet.PAGES`, which is not asked here because that would load the fonts; a test compares."""


@click.command()
@FILE
@GIG
@click.option("--out", type=click.Path(path_type=Path, file_okay=False), required=True, help="Folder to write to.")
@click.option("--paper", type=click.Choice(["A4", "Letter"]), default="A4", show_default=True)
@click.option("--feet", is_flag=True, help="Print lengths in feet.")
@click.option(
    "--for", "whose", type=click.Choice(["house", "player"]), default="house", show_default=True,
    help="Whose pages: the house gets input list and plot, the player what is needed on the day.",
)
@click.option(
    "--page", "pages", multiple=True, type=click.Choice(PAGE_IDS),
    help="A page to print instead; may be given several times.",
)
@click.option("--label-sheet", type=click.Choice(["small", "large"]), default="small", show_default=True,
              help="How the cable labels lie on their sheets.")
@click.option("--send", "to", default=None, metavar="TO WHOM",
              help="Note in the book that this packet goes out, under its letter.")
def packet(*, file: Path, gig_id: str | None, to: str | None, **choice: object) -> int:
    """Write the packet of a gig as one PDF.

    Without --send it is marked as a draft, or with the letter the house holds if nothing has changed since.
    """
    book, on_disk = book_file.load(file, shipped())
    analysis = analyse(book, gig_id, shipped())
    if to is not None:
        sent, letter = send_packet(book, analysis.gig.id, content(analysis.patch), day=dt.date.today(), to=to)
        book_file.save(sent, file, on_disk)
        analysis = analyse(sent, analysis.gig.id, shipped())
        click.echo(f"letter {letter.letter}, to {letter.to or 'nobody named'}")
    click.echo(write_packet_to(analysis, **choice))  # type: ignore[arg-type]
    return 0


def write_packet_to(
    analysis: Analysis, out: Path, *, paper: str = "A4", feet: bool = False, whose: str = "house",
    pages: tuple[str, ...] = (), label_sheet: str = "small",
) -> Path:
    """Write the packet of a gig into a folder, say what could not be printed, and return its path."""
    from rigcore.paper.packet import CHOICES, unprintable_characters, write_packet

    chosen = pages or CHOICES[whose]
    path = write_packet(analysis, out, paper=paper, feet=feet, pages=chosen, label_sheet=label_sheet)
    missing = unprintable_characters(analysis, pages=chosen)
    if missing:
        shown = ", ".join(f"U+{ord(char):04X}" for char in missing[:12])
        more = f" and {len(missing) - 12} more" if len(missing) > 12 else ""
        click.echo(
            f"Note: no font on this machine prints {shown}{more}; they stand as hollow squares. "
            "Write the names in another script, or install a font that has them.", err=True,
        )
    return path
