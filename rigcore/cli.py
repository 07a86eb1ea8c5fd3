"""The command line: check, packet, import, rules, demo and open.

Every refusal is one sentence on the error stream. Exit codes: 0 all well (no
fault), 1 faults found, 2 unusable input. Opening a window is left to the caller,
because this package knows none.
"""

from __future__ import annotations

import json
import sys
from collections.abc import Callable
from pathlib import Path
from typing import Any

import click

from rigcore import __version__, resources
from rigcore.analysis import Analysis, analyse
from rigcore.book import file as book_file
from rigcore.book.book import Book
from rigcore.catalogue.loader import shipped
from rigcore.errors import CatalogueDamaged, ImportRefused, LoomwrightError
from rigcore.rules.rule import Finding
from rigcore.rules.rulebook import markdown, printed

OpenWindow = Callable[[Path | None, bool], int]
"""Opens the window on a book, or on the sample; returns the exit code."""

FAULTS = 1
UNUSABLE = 2

DEMO = "tandem"


@click.group(context_settings={"help_option_names": ["-h", "--help"]})
@click.version_option(__version__, prog_name="loomwright")
def cli() -> None:
    """Plan a stage rig once, prove it at every house, and mail the house a list and a plot."""


def run(open_window: OpenWindow | None = None, arguments: list[str] | None = None) -> int:
    """Run a command line and return its exit code.

    Parameters
    ----------
    open_window
        How to open the window; None where there is no screen.
    arguments
        Words after the program's name; None takes those of this process.
    """
    try:
        code = cli.main(
            args=arguments, prog_name="loomwright", standalone_mode=False, obj={"open_window": open_window}
        )
    except click.exceptions.Abort:
        return 130
    except click.ClickException as error:
        click.echo(f"loomwright: {error.format_message()}", err=True)
        return UNUSABLE
    except (ImportRefused, CatalogueDamaged) as refusal:
        click.echo(f"loomwright: {len(refusal.problems)} problem(s), nothing was written:", err=True)
        for problem in refusal.problems:
            click.echo(f"  {problem}", err=True)
        return UNUSABLE
    except LoomwrightError as refusal:
        click.echo(f"loomwright: {refusal.sentence}", err=True)
        return UNUSABLE
    except BrokenPipeError:
        sys.stderr.close()
        return 0
    return int(code or 0)


_FILE = click.argument("file", type=click.Path(path_type=Path))
_GIG = click.option("--gig", "gig_id", default=None, help="Id or name of the gig; the first one if not given.")


@cli.command()
@_FILE
@_GIG
@click.option("--json", "as_json", is_flag=True, help="Print the findings and totals as JSON.")
def check(file: Path, gig_id: str | None, as_json: bool) -> int:
    """Check a gig and print its findings. Exit code 1 if there is a fault."""
    analysis = _analysis(file, gig_id)
    if as_json:
        click.echo(json.dumps(_as_json(analysis), indent=1, ensure_ascii=False))
    else:
        _print_findings(analysis)
    return FAULTS if any(one.severity == "fault" for one in analysis.findings) else 0


@cli.command()
@_FILE
@_GIG
@click.option("--out", type=click.Path(path_type=Path, file_okay=False), required=True, help="Folder to write to.")
@click.option("--paper", type=click.Choice(["A4", "Letter"]), default="A4", show_default=True)
@click.option("--feet", is_flag=True, help="Print lengths in feet.")
@click.option(
    "--page", "pages", multiple=True, type=click.Choice(["inputs", "plot", "gain"]),
    help="A page to print; may be given several times. Input list and plot if not given.",
)
def packet(*, file: Path, gig_id: str | None, out: Path, paper: str, feet: bool, pages: tuple[str, ...]) -> int:
    """Write the packet of a gig: input list and stage plot as one PDF, and the gain page on demand."""
    click.echo(_write_packet(_analysis(file, gig_id), out, paper=paper, feet=feet, pages=pages))
    return 0


@cli.command(name="import")
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
    click.echo(f"{out}: {_many(len(book.rig(gig.rig).units), 'unit')}, {_many(len(gig.landings), 'landing')}")
    return 0


@cli.command()
@click.option("--markdown", "as_markdown", is_flag=True, help="Print as Markdown.")
def rules(as_markdown: bool) -> int:
    """Print the rulebook with its working and its sources."""
    click.echo(markdown() if as_markdown else printed())
    return 0


@cli.command(name="open")
@click.argument("file", type=click.Path(path_type=Path), required=False)
@click.pass_obj
def open_(obj: dict[str, Any], file: Path | None) -> int:
    """Open the window, on a book if one is given."""
    if file is not None:
        _load(file)
    open_window: OpenWindow | None = obj["open_window"]
    if open_window is None:
        raise LoomwrightError("there is no screen to open a window on; use check and packet instead")
    return open_window(file, False)


@cli.command()
@click.option(
    "--out", type=click.Path(path_type=Path, file_okay=False), default=Path("loomwright-demo"), show_default=True,
    help="Folder the packet is written to.",
)
@click.pass_obj
def demo(obj: dict[str, Any], out: Path) -> int:
    """Check the shipped sample, write its packet, and open the window if there is a screen."""
    analysis = _analysis(resources.samples() / f"{DEMO}.loom", None)
    _print_findings(analysis)
    click.echo(f"\nThe packet for the house: {_write_packet(analysis, out)}")
    open_window: OpenWindow | None = obj["open_window"]
    if open_window is None:
        click.echo("No screen here, so no window; on a desktop this command opens it.")
        return 0
    return open_window(None, True)


def _load(file: Path) -> Book:
    return book_file.load(file, shipped())[0]


def _analysis(file: Path, gig_id: str | None) -> Analysis:
    return analyse(_load(file), gig_id, shipped())


def _write_packet(
    analysis: Analysis, out: Path, *, paper: str = "A4", feet: bool = False, pages: tuple[str, ...] = ()
) -> Path:
    from rigcore.paper.packet import HOUSE_PAGES, write_packet

    return write_packet(analysis, out, paper=paper, feet=feet, pages=pages or HOUSE_PAGES)


def _print_findings(analysis: Analysis) -> None:
    gig, counts = analysis.gig, analysis.counts
    click.echo(f"{analysis.patch.rig.name} at {analysis.patch.house.name}" + (f", {gig.date}" if gig.date else ""))
    dis = counts.dis
    click.echo(
        f"{_many(counts.channels, 'channel')}, {counts.phantom} with 48 V, "
        f"{sum(dis.values())} DI ({dis['rig']} ours, {dis['house']} yours), "
        f"{_many(sum(counts.stands.values()), 'stand')}, {_many(counts.outlets, 'outlet')}, "
        f"{counts.watts:g} W, {counts.amps:.2f} A at {analysis.patch.house.mains_v:g} V"
    )
    for row in analysis.inputs:
        phantom = "48 V" if row.phantom else "    "
        click.echo(f"  {row.act:>3} {row.house:>4}  {phantom}  {row.name:<18.18}  {row.via}")
    click.echo()
    for finding in analysis.findings:
        _print_finding(finding)
    if not analysis.findings:
        click.echo("Nothing found.")


def _print_finding(finding: Finding) -> None:
    click.echo(f"{finding.severity:<5}  {finding.sentence}  [{finding.rule}]")
    for line in finding.working:
        click.echo(f"         {line}")
    for remedy in finding.remedies:
        click.echo(f"         remedy: {remedy.words}")
    for assumed in finding.assumed:
        click.echo(f"         assumed until the house says otherwise: {assumed}")


def _as_json(analysis: Analysis) -> dict[str, Any]:
    counts = analysis.counts
    return {
        "gig": analysis.gig.id,
        "findings": [
            {
                "rule": one.rule,
                "severity": one.severity,
                "sentence": one.sentence,
                "things": [{"kind": thing.kind, "id": thing.id, "port": thing.port} for thing in one.things],
                "working": list(one.working),
                "remedies": [remedy.words for remedy in one.remedies],
                "assumed": list(one.assumed),
            }
            for one in analysis.findings
        ],
        "channels": [
            {
                "act": row.act, "house": row.house, "socket": row.socket, "name": row.name, "source": row.source,
                "via": row.via, "48 V": row.phantom, "stand": row.stand_words, "pair with": row.mate,
                "notes": list(row.notes),
            }
            for row in analysis.inputs
        ],
        "outputs": [
            {"mix": row.mix, "name": row.name, "kind": row.kind, "layout": row.layout} for row in analysis.outputs
        ],
        "totals": {
            "channels": counts.channels, "48 V": counts.phantom, "DI": counts.dis, "stands": counts.stands,
            "microphones": counts.mics, "sends": counts.sends, "wedges": counts.wedges, "outlets": counts.outlets,
            "watts": counts.watts, "amperes": round(counts.amps, 3),
            "leads": [
                {"cable": one.cable, "length_m": one.length_m, "owner": one.owner, "count": one.count}
                for one in counts.leads
            ],
        },
    }


def _many(number: int, word: str) -> str:
    return f"{number} {word}" if number == 1 else f"{number} {word}s"
