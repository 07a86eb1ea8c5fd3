"""`packet`: the sheets for the house as one PDF."""

from __future__ import annotations

from pathlib import Path

import click

from rigcore.analysis import Analysis
from rigcore.cli.common import FILE, GIG, analysis_of


@click.command()
@FILE
@GIG
@click.option("--out", type=click.Path(path_type=Path, file_okay=False), required=True, help="Folder to write to.")
@click.option("--paper", type=click.Choice(["A4", "Letter"]), default="A4", show_default=True)
@click.option("--feet", is_flag=True, help="Print lengths in feet.")
@click.option(
    "--page", "pages", multiple=True, type=click.Choice(["inputs", "plot", "gain"]),
    help="A page to print; may be given several times. Input list and plot if not given.",
)
def packet(*, file: Path, gig_id: str | None, out: Path, paper: str, feet: bool, pages: tuple[str, ...]) -> int:
    """Write the packet of a gig: input list and stage plot as one PDF, and the gain page on demand."""
    click.echo(write_packet_to(analysis_of(file, gig_id), out, paper=paper, feet=feet, pages=pages))
    return 0


def write_packet_to(
    analysis: Analysis, out: Path, *, paper: str = "A4", feet: bool = False, pages: tuple[str, ...] = ()
) -> Path:
    """Write the packet of a gig into a folder and return its path."""
    from rigcore.paper.packet import HOUSE_PAGES, write_packet

    return write_packet(analysis, out, paper=paper, feet=feet, pages=pages or HOUSE_PAGES)
