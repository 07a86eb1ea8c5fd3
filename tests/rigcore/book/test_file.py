"""Books on disk: round trip, damage, hostility, full disks and other people's changes."""

from __future__ import annotations

import errno
import json
import os
from pathlib import Path

import pytest

from rigcore import resources
from rigcore.book import file as book_file
from rigcore.book.book import Book, empty_book
from rigcore.book.edits.units import rename_unit
from rigcore.catalogue.loader import shipped
from rigcore.errors import BookChangedOnDisk, BookNotSaved, BookTooNew, BookUnreadable
from tests.rigcore.book.plans import keys_and_voice


def _read(data: bytes) -> Book:
    return book_file.from_bytes(data, "my.loom", shipped())


def test_a_book_comes_back_byte_for_byte(tmp_path: Path) -> None:
    path = tmp_path / "my.loom"
    book = keys_and_voice()
    book_file.save(book, path)
    again, _ = book_file.load(path, shipped())
    assert again == book
    assert book_file.to_bytes(again) == path.read_bytes()


def test_format_and_version_stand_first() -> None:
    lines = book_file.to_bytes(keys_and_voice()).decode().splitlines()
    assert '"format"' in lines[1]
    assert '"version"' in lines[2]


def test_a_one_cable_edit_is_a_small_diff() -> None:
    book = keys_and_voice()
    before = book_file.to_bytes(book).decode().splitlines()
    after = book_file.to_bytes(rename_unit(book, "rig", "vox", "Voice")).decode().splitlines()
    assert sum(one != other for one, other in zip(before, after, strict=True)) == 1


@pytest.mark.parametrize(
    ("data", "words"),
    [
        (b"", "damaged at line 1"),
        (b"not a book", "damaged at line 1"),
        (b"\xff\xfe\x00", "not UTF-8"),
        (b"[1, 2]", "not a Loomwright book"),
        (b'{"format": "other", "version": 1}', "'format' is missing or another one"),
        (b'{"format": "loomwright-book", "version": 1, "surprise": 3}', "surprise"),
        (b'{"format": "loomwright-book", "version": "1"}', "version"),
        (b'{"format": "loomwright-book", "format": "loomwright-book", "version": 1}', "stands twice"),
        (b'{"format": "loomwright-book", "version": 1, "rigs": [{"id": "a", "name": "A", "units": [7]}]}', "rigs"),
        (b"[" * 100_000, "damaged"),
        (b'{"format": "loomwright-book", "version": 1, "title": "\\u0000"}', "control character"),
    ],
)
def test_damage_gets_one_sentence(data: bytes, words: str) -> None:
    with pytest.raises(BookUnreadable) as caught:
        _read(data)
    assert words in caught.value.sentence
    assert "\n" not in caught.value.sentence
    assert "my.loom" in caught.value.sentence


def test_no_infinities_come_in() -> None:
    plain = json.loads(book_file.to_bytes(keys_and_voice()))
    plain["rigs"][0]["units"][0]["x_m"] = 1e999
    with pytest.raises(BookUnreadable):
        _read(json.dumps(plain).encode())


def test_dangling_links_are_damage() -> None:
    plain = json.loads(book_file.to_bytes(keys_and_voice()))
    del plain["rigs"][0]["units"][0]
    with pytest.raises(BookUnreadable, match="which does not exist"):
        _read(json.dumps(plain).encode())


def test_unknown_gear_and_ports_are_named() -> None:
    plain = json.loads(book_file.to_bytes(keys_and_voice()))
    plain["rigs"][0]["units"][0]["gear"] = "nonesuch-9"
    with pytest.raises(BookUnreadable, match="no gear type 'nonesuch-9'"):
        _read(json.dumps(plain).encode())
    plain = json.loads(book_file.to_bytes(keys_and_voice()))
    plain["rigs"][0]["links"][0]["source"]["port"] = "out-99"
    with pytest.raises(BookUnreadable, match="no port 'out-99'"):
        _read(json.dumps(plain).encode())


def test_a_newer_book_is_refused_and_left_untouched(tmp_path: Path) -> None:
    path = tmp_path / "new.loom"
    path.write_bytes(b'{"format": "loomwright-book", "version": 99, "shape": "unknown"}')
    with pytest.raises(BookTooNew, match="left untouched"):
        book_file.load(path, shipped())
    assert b"99" in path.read_bytes()


def test_a_huge_file_is_refused_unread(tmp_path: Path) -> None:
    path = tmp_path / "huge.loom"
    with path.open("wb") as file:
        file.truncate(book_file.LARGEST_BYTES + 1)
    with pytest.raises(BookUnreadable, match="too large"):
        book_file.load(path, shipped())


def test_a_missing_file_and_a_folder_are_refused(tmp_path: Path) -> None:
    for path in (tmp_path / "none.loom", tmp_path):
        with pytest.raises(BookUnreadable):
            book_file.load(path, shipped())


def test_saving_keeps_one_backup(tmp_path: Path) -> None:
    path = tmp_path / "my.loom"
    first = book_file.save(empty_book(), path)
    book_file.save(keys_and_voice(), path, first)
    backup, _ = book_file.load(tmp_path / "my.loom.backup", shipped())
    assert backup == empty_book()
    assert sorted(one.name for one in tmp_path.iterdir()) == ["my.loom", "my.loom.backup"]


def test_a_file_changed_by_somebody_else_is_not_overwritten(tmp_path: Path) -> None:
    path = tmp_path / "my.loom"
    mine = book_file.save(empty_book(), path)
    path.write_bytes(book_file.to_bytes(keys_and_voice()))
    with pytest.raises(BookChangedOnDisk):
        book_file.save(empty_book(), path, mine)
    assert book_file.load(path, shipped())[0] == keys_and_voice()


def test_a_full_disk_leaves_the_old_book(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    path = tmp_path / "my.loom"
    before = book_file.save(empty_book(), path)

    def full(_: int) -> None:
        raise OSError(errno.ENOSPC, os.strerror(errno.ENOSPC))

    monkeypatch.setattr(book_file.os, "fsync", full)
    with pytest.raises(BookNotSaved, match="No space left"):
        book_file.save(keys_and_voice(), path, before)
    assert path.read_bytes() == book_file.to_bytes(empty_book())
    assert not list(tmp_path.glob(".*.tmp"))


def test_a_vanished_folder_gets_a_sentence(tmp_path: Path) -> None:
    with pytest.raises(BookNotSaved, match="could not be saved"):
        book_file.save(empty_book(), tmp_path / "gone" / "my.loom")


def test_a_link_to_a_book_stays_a_link(tmp_path: Path) -> None:
    real, link = tmp_path / "real.loom", tmp_path / "link.loom"
    book_file.save(empty_book(), real)
    link.symlink_to(real)
    book_file.save(keys_and_voice(), link)
    assert link.is_symlink()
    assert book_file.load(real, shipped())[0] == keys_and_voice()


def test_the_shipped_schema_is_the_models_schema() -> None:
    assert (resources.assets() / "book.schema.json").read_text(encoding="utf-8") == book_file.schema()
