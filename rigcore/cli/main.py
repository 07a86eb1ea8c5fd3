"""The commands together, and what becomes of a refusal.

Every refusal is one sentence on the error stream. Exit codes: 0 all well (no
fault), 1 faults found, 2 unusable input. Opening a window is left to the caller,
because this package knows none.
"""

from __future__ import annotations

import sys

import click

from rigcore import __version__
from rigcore.cli.check import check
from rigcore.cli.common import UNUSABLE
from rigcore.cli.import_plan import import_
from rigcore.cli.packet import packet
from rigcore.cli.rules import rules
from rigcore.cli.window import OpenWindow, demo, open_
from rigcore.errors import CatalogueDamaged, ImportRefused, LoomwrightError


@click.group(context_settings={"help_option_names": ["-h", "--help"]})
@click.version_option(__version__, prog_name="loomwright")
def cli() -> None:
    """Plan a stage rig once, prove it at every house, and mail the house a list and a plot."""


for _command in (check, packet, import_, rules, open_, demo):
    cli.add_command(_command)


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
