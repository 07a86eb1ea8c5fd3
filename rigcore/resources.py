"""Where the data the program ships is found: tables, samples and fonts.

A wheel carries `assets/` and `samples/` inside the package; a checkout has them
beside it. This is the only place that knows the difference.
"""

from __future__ import annotations

from importlib import resources
from pathlib import Path


def _shipped(folder: str) -> Path:
    """Return the folder as a path: the packaged copy if there is one, else the checkout's."""
    packaged = Path(str(resources.files("rigcore"))) / folder
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
    package = "fontpkg_fira_sans_condensed" if "Condensed" in name else "fontpkg_fira_sans"
    root = Path(str(resources.files(package)))
    for path in sorted(root.rglob(f"{name}.ttf")):
        return path
    raise FileNotFoundError(name)
