"""The command `loomwright`: the core's command line, with a window where there is a screen."""

from __future__ import annotations

import os
import sys
from pathlib import Path

from rigcore import cli


def main() -> None:
    """Run the command line of this process and leave with its exit code."""
    sys.exit(cli.run(_open_window if has_screen() else None))


def has_screen() -> bool:
    """Return whether a window would be seen by somebody."""
    if os.environ.get("QT_QPA_PLATFORM", "") in ("offscreen", "minimal"):
        return False
    if sys.platform in ("win32", "darwin"):
        return True
    return bool(os.environ.get("DISPLAY") or os.environ.get("WAYLAND_DISPLAY"))


def _open_window(path: Path | None, sample: bool) -> int:
    # Qt is imported only now: the command line must work on machines without its libraries.
    from app.__main__ import run

    return run(path, sample=sample)
