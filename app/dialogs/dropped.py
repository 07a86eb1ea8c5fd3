"""What files dropped on the window are: one book, or the spreadsheets of a plan, told apart by name and heading."""

from __future__ import annotations

from collections.abc import Sequence
from pathlib import Path

SHEET_ENDINGS = (".csv", ".tsv", ".txt")
HEAD_BYTES = 2000


def book_among(paths: Sequence[Path]) -> Path | None:
    """Return the book if just one file was dropped and it is one."""
    return paths[0] if len(paths) == 1 and paths[0].suffix.lower() == ".loom" else None


def sheets_among(paths: Sequence[Path]) -> dict[str, Path]:
    """Return the spreadsheets of a plan by their part in the import; empty if any file is something else."""
    found: dict[str, Path] = {}
    for path in paths:
        part = _part(path)
        if not part or part in found:
            return {}
        found[part] = path
    return found


def _part(path: Path) -> str:
    if path.suffix.lower() == ".toml":
        return "house" if "[house]" in _head(path) else "gear"
    if path.suffix.lower() in SHEET_ENDINGS:
        first = _head(path).partition("\n")[0].casefold()
        return "patch" if "from" in first and "to" in first else "units"
    return ""


def _head(path: Path) -> str:
    try:
        with path.open("rb") as file:
            return file.read(HEAD_BYTES).decode("utf-8", errors="replace")
    except OSError:
        return ""
