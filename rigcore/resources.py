"""Where the data the program ships is found: tables, samples and fonts.

A wheel carries `assets/` and `samples/` inside the package; a checkout has them
beside it. This is the only place that knows the difference.
"""

from __future__ import annotations

from functools import lru_cache
from importlib.util import find_spec
from pathlib import Path


def _shipped(folder: str) -> Path:
    """Return the folder as a path: the packaged copy if there is one, else the checkout's."""
    packaged = Path(__file__).parent / folder
    if packaged.is_dir():
        return packaged
    return packaged.parent.parent / folder


def assets() -> Path:
    """Return the folder of tables, icons and the book's schema."""
    return _shipped("assets")


def samples() -> Path:
    """Return the folder of sample books and their spreadsheets."""
    return _shipped("samples")


def font_file(name: str) -> Path:
    """Return the path of a TrueType file of the two Fira Sans packages.

    Parameters
    ----------
    name
        File stem, for example ``"FiraSans-Regular"`` or ``"FiraSansCondensed-SemiBold"``.

    Raises
    ------
    FileNotFoundError
        If neither font package holds the file.
    """
    found = _faces("fontpkg_fira_sans_condensed" if "Condensed" in name else "fontpkg_fira_sans")
    if name not in found:
        raise FileNotFoundError(name)
    return found[name]


@lru_cache
def _faces(package: str) -> dict[str, Path]:
    """Return the TrueType files of a font package by their stems; the package itself is not imported."""
    spec = find_spec(package)
    roots = (spec.submodule_search_locations or ()) if spec is not None else ()
    return {path.stem: path for root in roots for path in Path(root).rglob("*.ttf")}
