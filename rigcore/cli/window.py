"""`open` and `demo`: what may end with a window on the screen."""

from __future__ import annotations

from collections.abc import Callable
from pathlib import Path
from typing import Any

import click

from rigcore import resources
from rigcore.errors import LoomwrightError

OpenWindow = Callable[[Path | None, bool], int]
"""Opens the window on a book, or on the sample; returns the exit code."""

DEMO = "tandem"


@click.command(name="open")
@click.argument("file", type=click.Path(path_type=Path), required=False)
@click.pass_obj
def open_(obj: dict[str, Any], file: Path | None) -> int:
    """Open the window, on a book if one is given."""
    open_window: OpenWindow | None = obj["open_window"]
    if open_window is None:
        raise LoomwrightError("there is no screen to open a window on; use check and packet instead")
    return open_window(file, False)


@click.command()
@click.option(
    "--out", type=click.Path(path_type=Path, file_okay=False), default=Path("loomwright-demo"), show_default=True,
    help="Folder the packet is written to.",
)
@click.pass_obj
def demo(obj: dict[str, Any], out: Path) -> int:
    """Check the shipped sample, write its packet, and open the window if there is a screen."""
    # Fetched here and not above: a window to be opened must not wait for the rules.
    from rigcore.cli.check import print_findings
    from rigcore.cli.common import analysis_of
    from rigcore.cli.packet import write_packet_to

    analysis = analysis_of(resources.samples() / f"{DEMO}.loom", None)
    print_findings(analysis)
    click.echo(f"\nThe packet for the house: {write_packet_to(analysis, out)}")
    open_window: OpenWindow | None = obj["open_window"]
    if open_window is None:
        click.echo("No screen here, so no window; on a desktop this command opens it.")
        return 0
    return open_window(None, True)
