"""`mail`: a draft of the mail to the house, with the packet attached. Nothing is sent."""

from __future__ import annotations

import datetime as dt
from pathlib import Path

import click

from rigcore.cli.common import FILE, GIG, ISSUED, analysis_of, write_file


@click.command()
@FILE
@GIG
@click.option("--out", type=click.Path(path_type=Path, dir_okay=False), required=True, help="Draft to write (.eml).")
@click.option("--paper", type=click.Choice(["A4", "Letter"]), default="A4", show_default=True)
@click.option("--feet", is_flag=True, help="Print lengths in feet.")
@click.option("--csv", "with_csv", is_flag=True, help="Attach the input list as CSV too.")
@click.option("--questions", is_flag=True, help="Attach the sheet the house can fill in and send back.")
@ISSUED
def mail(
    *, file: Path, gig_id: str | None, out: Path, paper: str, feet: bool, with_csv: bool, questions: bool,
    issued: dt.datetime | None,
) -> int:
    """Write a draft of the mail to the house, to be opened and sent with your own mail program."""
    from rigcore.paper.mail import address_in, mail_draft

    analysis = analysis_of(file, gig_id)
    extra = [name for name, wanted in (("inputs", with_csv), ("answers", questions)) if wanted]
    day = issued.date() if issued else dt.date.today()
    write_file(out, mail_draft(analysis, day, paper=paper, feet=feet, extra=extra))
    if address_in(analysis.patch.house.contact) is None:
        click.echo(f"{analysis.patch.house.name} has no valid mail address: the draft is addressed to nobody.")
    click.echo(out)
    return 0
