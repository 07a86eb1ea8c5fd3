"""Looks among the fonts installed on this machine for characters our own fonts lack.

Only outline fonts of the TrueType kind that may be embedded, and only scripts that need neither
shaping nor an order from right to left: those would be drawn wrong, and a hollow square is honest.
Just the tables that say what a font holds are read.
"""

from __future__ import annotations

import os
import struct
import sys
import unicodedata
from collections.abc import Iterator
from functools import lru_cache
from pathlib import Path

from msgspec import Struct

MOST_FILES = 3000
LARGEST_TABLE = 4_000_000
RESTRICTED = 0x0002
"""Bit of ``fsType`` that forbids embedding (OpenType specification, table OS/2)."""

SHAPED = (
    (0x0590, 0x08FF), (0x0900, 0x0DFF), (0x0E00, 0x0EFF), (0x0F00, 0x109F), (0x1780, 0x18AF), (0x1900, 0x1CFF),
    (0xA840, 0xABFF), (0xFB1D, 0xFDFF), (0xFE00, 0xFE0F), (0xFE70, 0xFEFF), (0x10800, 0x11FFF),
)
"""Blocks whose letters change their form or order with their neighbours (Unicode charts)."""


class InstalledFont(Struct, frozen=True):
    """A font on this machine: its file, its number within it, and the ranges of characters it says it holds."""

    path: Path
    index: int
    ranges: tuple[tuple[int, int], ...]

    def has(self, code: int) -> bool:
        """Return whether it says it holds a character."""
        return any(low <= code <= high for low, high in self.ranges)


def is_plain(char: str) -> bool:
    """Return whether a character can be drawn as it stands, one after the other from left to right.

    >>> is_plain("鍵"), is_plain("ש"), is_plain("क")
    (True, False, False)
    """
    code = ord(char)
    if unicodedata.bidirectional(char) in ("R", "AL", "AN") or unicodedata.category(char)[0] in "MC":
        return False
    return not any(low <= code <= high for low, high in SHAPED)


def font_folders() -> tuple[Path, ...]:
    """Return the folders in which systems keep their fonts."""
    home = Path.home()
    if sys.platform == "win32":
        local = os.environ.get("LOCALAPPDATA", str(home / "AppData" / "Local"))
        return (Path(os.environ.get("WINDIR", "C:/Windows")) / "Fonts", Path(local) / "Microsoft" / "Windows" / "Fonts")
    if sys.platform == "darwin":
        return (Path("/System/Library/Fonts"), Path("/Library/Fonts"), home / "Library" / "Fonts")
    data = os.environ.get("XDG_DATA_HOME", str(home / ".local" / "share"))
    return (Path("/usr/share/fonts"), Path("/usr/local/share/fonts"), Path(data) / "fonts", home / ".fonts")


def covering(char: str) -> Iterator[InstalledFont]:
    """Yield the installed fonts that say they hold a character, plain upright sans-serif ones first."""
    if is_plain(char):
        yield from (font for font in installed() if font.has(ord(char)))


@lru_cache(maxsize=1)
def installed() -> tuple[InstalledFont, ...]:
    """Return every usable installed font, always in the same order."""
    files = [
        path
        for folder in font_folders() if folder.is_dir()
        for path in _files(folder)
    ]
    fonts = (_font(path) for path in sorted(files, key=_preference)[:MOST_FILES])
    return tuple(font for font in fonts if font is not None)


def _files(folder: Path) -> Iterator[Path]:
    for here, _, names in os.walk(folder):
        for name in names:
            if name.lower().endswith((".ttf", ".ttc")):
                yield Path(here) / name


def _preference(path: Path) -> tuple[int, int, str]:
    name = path.stem.lower()
    styled = sum(word in name for word in ("bold", "italic", "oblique", "light", "mono", "serif", "black", "thin"))
    return styled, int("sans" not in name), str(path)


def _font(path: Path) -> InstalledFont | None:
    """Return what a font file holds, or None for one that cannot be used or read."""
    try:
        with path.open("rb") as file:
            head = file.read(16)
            start = struct.unpack(">I", head[12:16])[0] if head[:4] == b"ttcf" else 0
            file.seek(start)
            kind, count = struct.unpack(">4sH", file.read(6))
            if kind not in (b"\x00\x01\x00\x00", b"true"):
                return None
            file.seek(start + 12)
            tables = {}
            for _ in range(count):
                tag, _, offset, length = struct.unpack(">4sIII", file.read(16))
                tables[tag] = (offset, length)
            if not {b"glyf", b"cmap"} <= set(tables) or tables[b"cmap"][1] > LARGEST_TABLE:
                return None
            if b"OS/2" in tables:
                file.seek(tables[b"OS/2"][0] + 8)
                if struct.unpack(">H", file.read(2))[0] & RESTRICTED:
                    return None
            file.seek(tables[b"cmap"][0])
            ranges = tuple(_ranges(file.read(tables[b"cmap"][1])))
    except (OSError, struct.error, IndexError):
        return None
    return InstalledFont(path, 0, ranges) if ranges else None


def _ranges(cmap: bytes) -> Iterator[tuple[int, int]]:
    """Yield the ranges of a character map: format 12 where there is one, else format 4 (OpenType, table cmap)."""
    count = struct.unpack(">H", cmap[2:4])[0]
    found: dict[int, int] = {}
    for place in range(count):
        platform, encoding, offset = struct.unpack(">HHI", cmap[4 + 8 * place:12 + 8 * place])
        if (platform, encoding) in ((3, 1), (3, 10)) or platform == 0:
            found[struct.unpack(">H", cmap[offset:offset + 2])[0]] = offset
    if 12 in found:
        at = found[12]
        groups = struct.unpack(">I", cmap[at + 12:at + 16])[0]
        for place in range(groups):
            low, high, _ = struct.unpack(">III", cmap[at + 16 + 12 * place:at + 28 + 12 * place])
            yield low, high
    elif 4 in found:
        at = found[4]
        segments = struct.unpack(">H", cmap[at + 6:at + 8])[0] // 2
        ends = struct.unpack(f">{segments}H", cmap[at + 14:at + 14 + 2 * segments])
        starts_at = at + 16 + 2 * segments
        starts = struct.unpack(f">{segments}H", cmap[starts_at:starts_at + 2 * segments])
        yield from zip(starts, ends, strict=True)
