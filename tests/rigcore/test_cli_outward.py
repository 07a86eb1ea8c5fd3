"""`export`, `mail` and `reply` from the outside: files of the right kind, one sentence for each refusal."""

from __future__ import annotations

import email
import email.policy
import io
from pathlib import Path

import openpyxl
import pytest

from rigcore import resources
from rigcore.book.file import load
from rigcore.catalogue.loader import shipped
from rigcore.cli import run
from rigcore.cli.export import SHEETS
from rigcore.paper import spreadsheet

FERRY = str(resources.samples() / "ferry.loom")
HOUSE = "longmarsh-green-stage-2"

BEGINS = {
    ("csv",): b'"ours","yours"', ("csv", "--of", "power"): b'"place"', ("csv", "--bom"): b"\xef\xbb\xbf",
    ("xlsx",): b"PK", ("svg",): b"<?xml", ("svg", "--of", "patch", "--feet"): b"<?xml", ("png",): b"\x89PNG",
    ("png", "--of", "patch"): b"\x89PNG", ("graphml",): b"<?xml", ("dot",): b"digraph",
    ("ics",): b"BEGIN:VCALENDAR\r\n",
    ("questions",): b'"our key","question","answer"',
}  # fmt: skip


@pytest.mark.parametrize(("arguments", "begin"), BEGINS.items())
def test_export_writes_every_kind_the_same_twice(
    arguments: tuple[str, ...], begin: bytes, tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    made = []
    for name in ("one", "two"):
        out = tmp_path / "new folder" / name
        words = ["export", FERRY, "--as", *arguments, "--issued", "2027-08-01", "--out", str(out)]
        assert run(None, words) == 0
        assert capsys.readouterr().out.strip() == str(out)
        made.append(out.read_bytes())
    assert made[0].startswith(begin)
    assert made[0] == made[1]


def test_every_list_can_be_asked_for() -> None:
    assert tuple(spreadsheet.SHEETS) == SHEETS


def test_the_workbook_opens(tmp_path: Path) -> None:
    out = tmp_path / "x.xlsx"
    assert run(None, ["export", FERRY, "--as", "xlsx", "--out", str(out)]) == 0
    assert openpyxl.load_workbook(io.BytesIO(out.read_bytes())).sheetnames == ["Inputs", "Outputs", "Power", "Carry"]


def test_mail_writes_a_draft(tmp_path: Path) -> None:
    out = tmp_path / "draft.eml"
    assert run(None, ["mail", FERRY, "--csv", "--questions", "--out", str(out)]) == 0
    message = email.message_from_bytes(out.read_bytes(), policy=email.policy.strict)
    assert message["To"] == "stage2@longmarsh-green.example"
    assert len(list(message.iter_attachments())) == 3


def test_reply_prints_what_changes_and_writes_only_if_asked(
    tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    answers, book = tmp_path / "reply.csv", tmp_path / "my.loom"
    answers.write_text("question,answer\nsplitter clip dbu,+24 dBu\npaa,mono\n", encoding="utf-8")
    book.write_bytes(Path(FERRY).read_bytes())
    words = ["reply", str(book), "--house", HOUSE, "--answers", str(answers), "--said-by", "Kim", "--on", "2027-08-01"]
    assert run(None, words) == 0
    shown = capsys.readouterr().out
    assert "splitter clips at (dBu): 24" in shown
    assert "'paa' is nothing we asked; nearest: PA" in shown
    assert "gone: risk" in shown
    assert "level.splitter-clip" in shown
    assert "Nothing was written" in shown
    assert book.read_bytes() == Path(FERRY).read_bytes()
    assert run(None, [*words, "--out", str(book)]) == 0
    house = load(book, shipped())[0].house(HOUSE)
    fact = house.fact("splitter clip dbu")
    assert fact is not None
    assert (fact.value, fact.said_by, str(fact.said_on)) == ("24", "Kim", "2027-08-01")


@pytest.mark.parametrize(
    ("arguments", "words"),
    [
        (["export", FERRY, "--as", "png", "--of", "inputs", "--out", "x"], "cannot be had as png; only plot, patch"),
        (["export", FERRY, "--as", "dot", "--of", "plot", "--out", "x"], "there is only one"),
        (["export", FERRY, "--as", "csv", "--out", "/dev/null/x"], "could not be written"),
        (["export", FERRY, "--as", "tiff", "--out", "x"], "'tiff' is not one of"),
        (["export", FERRY, "--as", "csv", "--issued", "soon", "--out", "x"], "does not match the format"),
        (["mail", "nowhere.loom", "--out", "x"], "cannot be read"),
        (["reply", FERRY, "--house", "nowhere", "--answers", "x"], "there is no house 'nowhere' in this book"),
        (["reply", FERRY, "--house", HOUSE, "--answers", "nowhere.csv"], "nowhere.csv"),
        (["reply", FERRY, "--house", HOUSE, "--answers", FERRY, "--gig", "x"], "there is no gig 'x' at that house"),
    ],
)
def test_refusals_are_one_sentence_and_exit_2(
    arguments: list[str], words: str, capsys: pytest.CaptureFixture[str]
) -> None:
    assert run(None, arguments) == 2
    shown = capsys.readouterr()
    assert words in shown.err
    assert "Traceback" not in shown.err
