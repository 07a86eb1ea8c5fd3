"""The command line, one file for each command; :func:`run` runs it."""

from rigcore.cli.main import run

__all__ = ["run"]
