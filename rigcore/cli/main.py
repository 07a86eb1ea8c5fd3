"""The commands together, and what becomes of a refusal.

Every refusal is one sentence on the error stream. Exit codes: 0 all well (no
fault), 1 faults found, 2 unusable input. Opening a window is left to the caller,
because this package knows none.
"""

from __future__ import annotations

import importlib
import sys
from typing import TYPE_CHECKING

import click

from rigcore import __version__
from rigcore.cli.exit_codes import UNUSABLE
from rigcore.errors import CatalogueDamaged, ImportRefused, LoomwrightError

if TYPE_CHECKING:
    from rigcore.cli.window import OpenWindow

COMMANDS = {
    "check": "check.check",
    "fit": "fit.fit",
    "packet": "packet.packet",
    "mail": "mail.mail",
    "reply": "reply.reply",
    "export": "export.export",
    "carry": "carry.carry",
    "compare": "compare.compare",
    "import": "import_plan.import_",
    "rules": "rules.rules",
    "open": "window.open_",
    "demo": "window.demo",
}
"""The commands in the order of the help, each with its module and function here."""


class _Commands(click.Group):
    """Fetches each command when it is called: a window must not wait for what only another command needs."""

    def list_commands(self, _context: click.Context) -> list[str]:
        return list(COMMANDS)

    def get_command(self, _context: click.Context, name: str) -> click.Command | None:
        if name not in COMMANDS:
            return None
        module, function = COMMANDS[name].split(".")
        command: click.Command = getattr(importlib.import_module(f"rigcore.cli.{module}"), function)
        return command


@click.group(
    cls=_Commands, invoke_without_command=True, context_settings={"help_option_names": ["-h", "--help"]}
)
@click.version_option(__version__, prog_name="loomwright")
@click.pass_context
def cli(context: click.Context) -> int:
    """Plan a stage rig once, prove it at every house, and mail the house a list and a plot.

    Without a command it opens the window where there is a screen.
    """
    open_window: OpenWindow | None = context.obj["open_window"]
    if context.invoked_subcommand is not None:
        return 0
    if open_window is None:
        click.echo(context.get_help())
        return 0
    return open_window(None, False)


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
