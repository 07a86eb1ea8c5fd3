"""`rules`: the rulebook."""

from __future__ import annotations

import click

from rigcore.rules.rulebook import markdown, printed


@click.command()
@click.option("--markdown", "as_markdown", is_flag=True, help="Print as Markdown.")
def rules(as_markdown: bool) -> int:
    """Print the rulebook with its working and its sources."""
    click.echo(markdown() if as_markdown else printed())
    return 0
