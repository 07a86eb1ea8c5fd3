"""Sending a packet from the command line: the letter goes into the book, safely, and what cannot be printed is said."""

from __future__ import annotations

import shutil
from pathlib import Path

import pytest

from rigcore.book.file import load
from rigcore.catalogue.loader import shipped
from rigcore.cli import run
from rigcore.resources import samples
from tests.rigcore.paper.readback import pdfium_pages


@pytest.fixture
def book(tmp_path: Path) -> Path:
    return Path(shutil.copy(samples() / "ferry.loom", tmp_path / "mine.loom"))


def _packet(capsys: pytest.CaptureFixture[str], book: Path, *more: str) -> tuple[int, list[str], str]:
    code = run(None, ["packet", str(book), "--out", str(book.parent / "out"), *more])
    shown = capsys.readouterr()
    return code, shown.out.splitlines(), shown.err


def test_a_packet_alone_is_a_draft_and_leaves_the_book_alone(book: Path, capsys: pytest.CaptureFixture[str]) -> None:
    before = book.read_bytes()
    code, [path], _ = _packet(capsys, book)
    assert code == 0
    assert book.read_bytes() == before
    assert "DRAFT" in pdfium_pages(Path(path).read_bytes())[0]


def test_sending_notes_the_letter_and_sending_again_keeps_it(book: Path, capsys: pytest.CaptureFixture[str]) -> None:
    _, [said, path], _ = _packet(capsys, book, "--send", "Stage manager")
    assert said == "letter A, to Stage manager"
    assert path.endswith("_A.pdf")
    assert "LETTER A" in pdfium_pages(Path(path).read_bytes())[0]
    _, [again, _], _ = _packet(capsys, book, "--send", "Monitor engineer", "--for", "player")
    assert again == "letter A, to Stage manager; Monitor engineer"
    [letter] = load(book, shipped())[0].gigs[0].letters
    assert (letter.letter, letter.to) == ("A", "Stage manager; Monitor engineer")
    assert letter.content is not None
    assert len(letter.content.rows) == 9
    _, [path], _ = _packet(capsys, book)
    assert "LETTER A" in pdfium_pages(Path(path).read_bytes())[0]


def test_an_unusable_folder_is_one_sentence_and_trying_again_keeps_the_letter(
    book: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    (book.parent / "out").write_text("in the way")
    code, _, error = _packet(capsys, book, "--send", "Ann", "--out", str(book.parent / "out" / "below"))
    assert code == 2
    assert "choose another folder" in error
    (book.parent / "out").unlink()
    _, [said, _], _ = _packet(capsys, book, "--send", "Ann")
    assert said == "letter A, to Ann"


def test_a_control_character_in_the_name_is_refused_and_nothing_is_written(
    book: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    before = book.read_bytes()
    code, _, error = _packet(capsys, book, "--send", "a\x07b")
    assert code == 2
    assert "control character" in error
    assert book.read_bytes() == before
    assert not (book.parent / "out").exists()


def test_what_no_font_prints_is_said(book: Path, capsys: pytest.CaptureFixture[str]) -> None:
    book.write_text(book.read_text("utf-8").replace('"name": "Lead vox"', '"name": "Lead \u05e9\u05dc"'), "utf-8")
    code, [path], error = _packet(capsys, book)
    assert code == 0
    assert "no font on this machine prints U+05E9, U+05DC" in error
    assert "could not be printed" in pdfium_pages(Path(path).read_bytes())[0]


def test_the_player_gets_other_pages(book: Path, capsys: pytest.CaptureFixture[str]) -> None:
    _, [path], _ = _packet(capsys, book, "--for", "player", "--label-sheet", "large", "--paper", "Letter", "--feet")
    text = " ".join(pdfium_pages(Path(path).read_bytes()))
    for words in ("Set-up card", "Gains", "Lifeline card", "Carry list"):
        assert words in text, words
    assert "Input list" not in text
