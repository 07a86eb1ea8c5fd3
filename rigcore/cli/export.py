"""`export`: the lists, the plot, the patch and the day of a gig for other programs."""

from __future__ import annotations

import datetime as dt
from pathlib import Path

import click

from rigcore.cli.common import FILE, GIG, ISSUED, analysis_of, write_file

SHEETS = ("inputs", "outputs", "power", "carry")
"""As :data:`rigcore.paper.spreadsheet.SHEETS`, which is not asked here because that would load the fonts."""

KINDS = ("csv", "xlsx", "svg", "png", "graphml", "dot", "ics", "questions")
OF = ("plot", "patch")


@click.command()
@FILE
@GIG
@click.option("--as", "kind", type=click.Choice(KINDS), required=True, help="What to write.")
@click.option("--of", "part", type=click.Choice((*SHEETS, *OF)), default=None,
              help="Which list as csv (inputs), or which drawing as svg or png (plot).")
@click.option("--bom", is_flag=True, help="Begin a CSV with a byte order mark, by which some spreadsheets know UTF-8.")
@click.option("--feet", is_flag=True, help="Lengths in feet in a drawing.")
@ISSUED
@click.option("--out", type=click.Path(path_type=Path, dir_okay=False), required=True, help="File to write.")
def export(
    *, file: Path, gig_id: str | None, kind: str, part: str | None, bom: bool, feet: bool, issued: dt.datetime | None,
    out: Path,
) -> int:
    """Write a gig for another program: a spreadsheet, a drawing, a graph, a calendar entry, or the answer sheet."""
    allowed = {"csv": SHEETS, "svg": OF, "png": OF}.get(kind, ())
    if part is not None and part not in allowed:
        told = f"only {', '.join(allowed)}" if allowed else "there is only one"
        raise click.BadParameter(f"'{part}' cannot be had as {kind}; {told}", param_hint="'--of'")
    from rigcore.paper.outward import made

    analysis = analysis_of(file, gig_id)
    day = issued.date() if issued else dt.date.today()
    write_file(out, made(analysis, (kind, part or next(iter(allowed), "")), day, options=(bom, feet)))
    click.echo(out)
    return 0
