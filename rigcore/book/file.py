"""A book on disk: UTF-8 JSON in a stable order, saved atomically, read with suspicion.

Saving writes a temporary file beside the target, flushes it to disk and
replaces the target in one step; the former file is kept once as a backup.
"""

from __future__ import annotations

import hashlib
import json
import os
import shutil
import tempfile
from pathlib import Path
from typing import Any

from msgspec import Struct
from pydantic import ValidationError

from rigcore.book.book import FORMAT, VERSION, Book
from rigcore.book.edits.rebuild import sentence_of
from rigcore.catalogue.catalogue import Catalogue
from rigcore.errors import BookChangedOnDisk, BookNotSaved, BookTooNew, BookUnreadable, UnknownThing

LARGEST_BYTES = 20_000_000
"""A book larger than this is refused unread: a 3,000-unit book is under 2 MB."""


class OnDisk(Struct, frozen=True):
    """Where a book lies and what it looked like when we last read or wrote it."""

    path: Path
    digest: str


def to_bytes(book: Book) -> bytes:
    """Return the book as it stands in a file."""
    return (book.model_dump_json(indent=1, exclude_defaults=True) + "\n").encode("utf-8")


def from_bytes(data: bytes, name: str, catalogue: Catalogue) -> Book:
    """Return the book in some bytes.

    Raises
    ------
    BookTooNew
        If a newer Loomwright wrote it.
    BookUnreadable
        If it is not a book, is damaged, or names gear that does not exist.
    """
    plain = _plain(data, name)
    if plain.get("format") != FORMAT:
        raise BookUnreadable(f"{name} is not a Loomwright book: its 'format' is missing or another one")
    version = plain.get("version")
    if isinstance(version, int) and not isinstance(version, bool) and version > VERSION:
        raise BookTooNew(
            f"{name} was written by a newer Loomwright (book version {version}, this one reads {VERSION}); "
            "it was left untouched: update the program to open it"
        )
    try:
        book = Book.model_validate_json(data)
    except ValidationError as error:
        raise BookUnreadable(f"{name} is damaged: {sentence_of(error)}; open its backup instead") from None
    try:
        check_gear(book, catalogue)
    except UnknownThing as missing:
        raise BookUnreadable(f"{name} cannot be opened: {missing.sentence}") from None
    return book


def _plain(data: bytes, name: str) -> dict[str, Any]:
    try:
        plain = json.loads(data.decode("utf-8"), object_pairs_hook=_no_twice)
    except UnicodeDecodeError as error:
        raise BookUnreadable(f"{name} is not a Loomwright book: byte {error.start + 1} is not UTF-8") from None
    except json.JSONDecodeError as error:
        raise BookUnreadable(
            f"{name} is not a Loomwright book or is damaged at line {error.lineno}, column {error.colno}; "
            "open a copy of it"
        ) from None
    except (ValueError, RecursionError) as error:
        raise BookUnreadable(f"{name} is damaged: {error}") from None
    if not isinstance(plain, dict):
        raise BookUnreadable(f"{name} is not a Loomwright book")
    return plain


def _no_twice(pairs: list[tuple[str, Any]]) -> dict[str, Any]:
    plain = dict(pairs)
    if len(plain) != len(pairs):
        raise ValueError("a field stands twice in the same place")
    return plain


def check_gear(book: Book, catalogue: Catalogue) -> None:
    """Check that every unit, port, cable and piece the book names exists.

    Raises
    ------
    UnknownThing
        Naming the first that does not.
    """
    whole = book.with_catalogue(catalogue)
    for gear in book.gear:
        for port in gear.ports:
            if port.connector not in whole.connectors:
                raise UnknownThing(f"gear '{gear.name}' has an unknown connector '{port.connector}'", [gear.id])
    for rig in book.rigs:
        gear_of = {unit.id: unit.gear for unit in rig.units}
        refs = [end for link in rig.links for end in (link.source, link.target)]
        wanted = [(gear_of[ref.unit], ref.port) for ref in refs]
        wanted += [(gear_of[one.unit], one.port) for one in rig.hand_offs]
        wanted += [(unit.gear, setting.port) for unit in rig.units for setting in unit.settings]
        _check_ports(whole, list(gear_of.values()), wanted)
        for link in rig.links:
            if link.cable is not None:
                whole.cable_type(link.cable)
    for house in book.houses:
        gear_of = {unit.id: unit.gear for unit in house.units}
        wanted = [(gear_of[socket.unit], port) for socket in house.sockets for port in socket.ports]
        _check_ports(whole, list(gear_of.values()), wanted)
    for gig in book.gigs:
        for landing in gig.landings:
            for piece in landing.chain:
                if piece.kind == "cable":
                    whole.cable_type(piece.cable)
                else:
                    _check_ports(whole, [piece.gear], [(piece.gear, p) for p in (piece.enter, *piece.leave)])


def _check_ports(catalogue: Catalogue, gear: list[str], ports: list[tuple[str, str]]) -> None:
    for gear_id in gear:
        catalogue.gear_type(gear_id)
    for gear_id, port_id in ports:
        catalogue.port(gear_id, port_id)


def load(path: Path, catalogue: Catalogue) -> tuple[Book, OnDisk]:
    """Read a book and note how it lies on disk.

    Raises
    ------
    BookUnreadable
        If the file cannot be read or is no book.
    """
    try:
        size = path.stat().st_size
        if size > LARGEST_BYTES:
            raise BookUnreadable(f"{path.name} is too large to be a book ({size // 1_000_000} MB)")
        data = path.read_bytes()
    except OSError as error:
        raise BookUnreadable(f"{path} cannot be read: {error.strerror or error}") from None
    return from_bytes(data, path.name, catalogue), OnDisk(path, _digest(data))


def save(book: Book, path: Path, before: OnDisk | None = None) -> OnDisk:
    """Write a book in one step and return how it now lies on disk.

    Parameters
    ----------
    before
        What :func:`load` or :func:`save` last returned for this path. If the file
        has changed since, nothing is written.

    Raises
    ------
    BookChangedOnDisk
        If somebody else wrote the file meanwhile.
    BookNotSaved
        If the folder is gone, the disk is full or writing is forbidden.
    """
    data = to_bytes(book)
    target = Path(os.path.realpath(path))
    if before is not None and before.path == path and target.exists() and _digest(_read(target)) != before.digest:
        raise BookChangedOnDisk(
            f"{path.name} was changed by somebody else since you opened it; save under another name"
        )
    try:
        if target.exists():
            shutil.copy2(target, target.with_name(target.name + ".backup"))
        replace_file(target, data)
    except OSError as error:
        raise BookNotSaved(
            f"{path.name} could not be saved in {target.parent}: {error.strerror or error}; "
            "your work is still open, save it somewhere else"
        ) from None
    return OnDisk(path, _digest(data))


def is_changed_on_disk(known: OnDisk) -> bool:
    """Return whether a file is there and no longer what it was when last read or written."""
    try:
        return _digest(known.path.read_bytes()) != known.digest
    except OSError:
        return False


def _read(path: Path) -> bytes:
    try:
        return path.read_bytes()
    except OSError as error:
        raise BookNotSaved(f"{path} cannot be read back before saving: {error.strerror}") from None


def replace_file(target: Path, data: bytes) -> None:
    """Write a file in one step: a temporary one beside it is flushed to disk and takes its place."""
    handle, temporary = tempfile.mkstemp(prefix=f".{target.name}.", suffix=".tmp", dir=target.parent)
    try:
        with os.fdopen(handle, "wb") as file:
            file.write(data)
            file.flush()
            os.fsync(file.fileno())
        if target.exists():
            shutil.copymode(target, temporary)
        else:
            os.chmod(temporary, 0o644)
        os.replace(temporary, target)
    except BaseException:
        Path(temporary).unlink(missing_ok=True)
        raise


def _digest(data: bytes) -> str:
    return hashlib.sha256(data).hexdigest()


def schema() -> str:
    """Return the JSON Schema of a book as text, as shipped in the assets."""
    return json.dumps(Book.model_json_schema(), indent=1, ensure_ascii=False, sort_keys=True) + "\n"
