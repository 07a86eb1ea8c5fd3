"""What a house sends back: tables in any dress, mails with answers between our questions, hostile text."""

from __future__ import annotations

import csv
import datetime as dt
import io

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from rigcore import resources
from rigcore.analysis import analyse
from rigcore.book.book import Book
from rigcore.book.edits.houses import change_house
from rigcore.book.edits.reply import HouseReply, LineSaid, take_reply
from rigcore.book.file import load, to_bytes
from rigcore.book.house import House
from rigcore.book.sheets.reply import ReplyRead, clock_time, one_choice, read_reply
from rigcore.catalogue.loader import shipped
from rigcore.errors import EditRefused, UnknownThing
from rigcore.lists.advance import advance, questions
from rigcore.paper.answer_sheet import answer_sheet
from rigcore.patch.build import build_patch
from tests.rigcore.book.plans import keys_and_voice
from tests.rigcore.paper.hostile import PIECES, hostile, texts

SAID = dt.date(2027, 8, 1)


def ferry() -> Book:
    """Return the shipped festival."""
    return load(resources.samples() / "ferry.loom", shipped())[0]


def read(text: str | bytes, book: Book) -> ReplyRead:
    """Read a reply of the first house."""
    data = text if isinstance(text, bytes) else text.encode()
    return read_reply(data, "reply", book.houses[0], shipped(), said_by="Kim", said_on=SAID)


def taken(text: str | bytes, book: Book) -> House:
    """Return the house after a reply, all of which was understood."""
    found = read(text, book)
    assert found.problems == []
    return take_reply(book, book.houses[0].id, found.reply, book.gigs[0].id).houses[0]


@pytest.mark.parametrize(
    "text",
    [
        "question,answer\r\nphantom,per channel\r\nDI boxes,4 active\r\n",
        "question;answer\nPhantom power;per channel\nDIs;4 active\n",
        "Question\tAnswer\nphantom\tper channel\ndi boxes\t4 active\n",
        "| question | answer |\n|---|---|\n| phantom | Per channel |\n| DI boxes | 4 active |\n",
        "phantom      per channel\ndi boxes     4 active\n",
        "Phantom: per channel\nDI boxes: 4 active\n",
        "Hello Ferry,\n\nhere you are.\n\n  48 V   switched per channel\n  DI boxes   4 active\n\nBest,\nKim",
        "\ufeffquestion,answer\nphantom,per channel\nDI boxes,4 active\n",
        "sep=;\nquestion;answer\nphantom;per channel\nDI boxes;4 active\n",
    ],
)
def test_answers_come_in_any_dress(text: str) -> None:
    house = taken(text, keys_and_voice())
    phantom, dis = house.fact("phantom"), house.fact("di boxes")
    assert phantom is not None
    assert dis is not None
    assert (phantom.value, phantom.said_by, phantom.said_on) == ("per channel", "Kim", SAID)
    assert dis.value == "4 active"


def test_a_mail_answered_between_our_questions() -> None:
    """Our own text, quoted and broken by a mail program, with the answers below each question."""
    book = keys_and_voice()
    told = advance(build_patch(book, None, shipped()), "some day")
    answers = {"load in": "18:30, back door", "phantom": "switched per channel", "di boxes": "two, passive",
               "contact": "Kim, 555 0100"}
    lines = ["Hi,", "see below.", ""]
    for number, one in enumerate(told.questions, start=1):
        words = f"{number}. {one.text}".split()
        half = (len(words) + 1) // 2
        lines += ["> " + " ".join(words[:half]), "> " + " ".join(words[half:])]
        lines += ["", answers[one.key], ""] if one.key in answers else []
    found = read("\r\n".join([*lines, "Cheers", "Kim"]), book)
    assert found.problems == []
    after = take_reply(book, "house", found.reply, "gig")
    assert {fact.key: fact.value for fact in after.houses[0].facts} == {
        "phantom": "per channel", "di boxes": "two, passive",
    }  # fmt: skip
    assert after.houses[0].contact == "Kim, 555 0100"
    assert after.gigs[0].load_in == dt.time(18, 30)


def test_our_questions_sent_back_unanswered_answer_nothing() -> None:
    """The assumption we wrote behind a question is not taken for its answer."""
    book = keys_and_voice()
    text = advance(build_patch(book, None, shipped()), "some day").text
    for mail in (text, "\n".join(f"> {line}" for line in text.splitlines())):
        assert read(mail, book).reply.is_empty


def test_the_blank_sheet_comes_back_blank_and_says_nothing() -> None:
    for book in (keys_and_voice(), ferry()):
        found = read(answer_sheet(analyse(book, None, shipped()), bom=True), book)
        assert (found.reply, found.problems, found.understood) == (HouseReply(), [], [])


def test_the_filled_sheet_is_taken_in_whole() -> None:
    book = ferry()
    rows = list(csv.reader(io.StringIO(answer_sheet(analyse(book, None, shipped())).decode(), newline="")))
    for row in rows:
        match row[0]:
            case "load in":
                row[2] = "14:30"
            case "sound limiter":
                row[2] = "none on the stage outlets"
            case "splitter clip dbu":
                row[2] = "+8 dBu"
            case "b1":
                row[2:4] = ["30", "Riser 1"]
            case "riser":
                row[2], row[5:9] = "4", ["32", "30", "no", "stage lighting"]
    rows[-1][1:3] = ["FOH", "2"]
    for delimiter in ",;\t":
        stream = io.StringIO(newline="")
        csv.writer(stream, delimiter=delimiter).writerows(rows)
        found = read(stream.getvalue(), book)
        assert found.problems == []
        after = take_reply(book, book.houses[0].id, found.reply, book.gigs[0].id)
        house, before = after.houses[0], book.houses[0]
        assert after.gigs[0].load_in == dt.time(14, 30)
        assert (house.fact("splitter clip dbu") or pytest.fail("lost")).value == "8"
        line = house.socket("b1")
        assert line is not None
        assert (line.number, line.label) == (30, "Riser 1")
        assert [one for one in house.sockets if one.id != "b1"] == [one for one in before.sockets if one.id != "b1"]
        riser, _, foh = house.stage.power
        assert (riser.outlets, riser.circuit_a, riser.rcd_ma, riser.limiter) == (4, 32.0, 30.0, False)
        assert (riser.shared_with, riser.circuit) == ("stage lighting", "stage left")
        assert riser.x_m == before.stage.power[0].x_m
        assert (foh.name, foh.outlets) == ("FOH", 2)
        asked = [one.key for one in questions(build_patch(after, None, shipped()))]
        assert asked == []


@pytest.mark.parametrize(
    ("text", "words"),
    [
        ("question,answer\nphantomm,x", "row 2, column question: 'phantomm' is nothing we asked; nearest: 48 V"),
        ("Mixer: 24 channels", "reply, line 1: 'Mixer' is nothing we asked; nearest: monitor mixes"),
        ("question,answer\npa,not stereo", "row 2, column answer: 'not stereo' can be read in more than one way"),
        ("question,answer\npa,mono or stereo", "the answers are 'mono', 'stereo'"),
        ("question,answer,colour\npa,mono,red", "row 1, column colour: this column is not known; nearest:"),
        ("number,label\n1,Line 99x\n77,Nowhere", "row 3, column label: A house has no line 'Nowhere'; nearest:"),
        ("number,label\nx,1", "row 2, column number: 'x' is no line number"),
        ("number,label,type\n1,1,DIN", "row 2, column type: line 1 is said to be 'DIN', but its unit has XLR-3"),
        ("number,label\n2,1", "two lines would have the number 2"),
        ("number,label,level\n1,1,mic\n2,2,line", "lines take different levels (line, mic)"),
        ("place,outlets\nUpstage,many", "row 2, column outlets: 'many' is no number"),
        ("place,outlets\nUpstage,-1", "greater than or equal to 0"),
        ("place,outlets,connector\nUpstage,2,BS 1364", "row 2, column connector: 'BS 1364' is no outlet we know"),
        ("place,outlets,limiter\nUpstage,2,perhaps", "column limiter: 'perhaps' is neither yes nor no"),
        ("question,answer\nload in,after lunch", "names no time or more than one"),
        ("question,answer\nsplitter clip dbu,plenty", "'plenty' is no number"),
        ("question,answer\nchangeover,soon", "'soon' is no number of minutes"),
        (b"\x00\x01\x02", "is not a table in plain text"),
    ],
)
def test_what_is_not_understood_is_said_with_row_and_column(text: str | bytes, words: str) -> None:
    found = read(text, keys_and_voice())
    assert any(words in one for one in found.problems), found.problems


def test_what_is_understood_is_told_in_spoken_words_which_are_understood_themselves() -> None:
    text = "phantom: per channel\nDI boxes: 3\nload in: 18:30\nsplitter clip dbu: 8"
    found = read(text, keys_and_voice())
    assert found.understood == [
        "48 V switching: per channel", "DI boxes: 3", "load-in: 18:30", "splitter clips at (dBu): 8",
    ]  # fmt: skip
    assert read("\n".join(found.understood), keys_and_voice()).understood == found.understood


@pytest.mark.parametrize("answer", ["", "?", "tbc", "don't know", "-", "n/a", "unknown", "ask Kim"])
def test_an_answer_that_leaves_it_open_is_none(answer: str) -> None:
    found = read(f"question,answer\nphantom,{answer}", keys_and_voice())
    assert found.reply.is_empty
    assert found.problems == []


def test_lines_exchange_their_numbers_in_one_step() -> None:
    house = taken("number,label\n2,1\n1,2\n", keys_and_voice())
    assert [(one.label, one.number) for one in house.sockets if one.direction == "in"][:3] == [
        ("1", 2), ("2", 1), ("3", 3),
    ]  # fmt: skip


def test_lines_are_known_by_number_where_the_label_is_new_and_levels_become_a_fact() -> None:
    house = taken("Channel | Socket | Takes | In or out\n1 | SL 1 | line | in\n1 | Wedge A | | out\n", keys_and_voice())
    by_id = {one.id: (one.number, one.label) for one in house.sockets}
    assert (by_id["in-1"], by_id["mix-1"]) == ((1, "SL 1"), (1, "Wedge A"))
    assert (house.fact("input level") or pytest.fail("lost")).value == "line"


def test_lines_without_headings_need_three_cells() -> None:
    house = taken("Lines for you:\n\n1   SL 1   XLR\n2   SL 2   XLR\n", keys_and_voice())
    assert [one.label for one in house.sockets][:3] == ["SL 1", "SL 2", "3"]
    found = read("1   14:30\n2   none\n", keys_and_voice())
    assert found.reply.is_empty
    assert len(found.problems) == 2


def test_what_was_known_stays_where_nothing_new_is_said() -> None:
    book = ferry()
    after = taken("question,answer\nsound limiter,none\n", book)
    before = book.houses[0]
    assert {one.key: one for one in before.facts}.items() <= {one.key: one for one in after.facts}.items()
    assert change_house(book, before.id, facts=after.facts).houses[0] == after


def test_the_edit_refuses_what_cannot_be() -> None:
    book = keys_and_voice()
    with pytest.raises(UnknownThing, match="has no line 'x'"):
        take_reply(book, "house", HouseReply(lines=(LineSaid("x", 1, "X"),)))
    with pytest.raises(EditRefused, match="would have the number 2"):
        take_reply(book, "house", HouseReply(lines=(LineSaid("in-1", 2, "X"),)))
    with pytest.raises(EditRefused, match="needs the gig it is for"):
        take_reply(book, "house", HouseReply(load_in=dt.time(18)))


@pytest.mark.parametrize(
    ("line", "time"),
    [("18:30", (18, 30)), ("18.30 at the back", (18, 30)), ("18h30", (18, 30)), ("6 pm", (18, 0)),
     ("12:15 am", (0, 15)), ("12 p.m.", (12, 0)), ("at 9:05, 2 steps", (9, 5))],
)  # fmt: skip
def test_times_as_people_write_them(line: str, time: tuple[int, int]) -> None:
    assert clock_time(line) == dt.time(*time)


@pytest.mark.parametrize("line", ["18:30 or 19:00", "noon", "25:00", "18", "18:75"])
def test_times_that_are_none_or_several(line: str) -> None:
    with pytest.raises(ValueError, match="write it as 18:30"):
        clock_time(line)


def test_choices_are_never_guessed() -> None:
    assert one_choice("phantom", "48 V is always on, sorry") == "always on"
    assert one_choice("phantom", "none") == "none"
    assert one_choice("monitor layout", "MONO") == "mono"
    for line in ("global or per channel", "it isn't global", "yes", "stereophonic"):
        with pytest.raises(ValueError, match="the answers are"):
            one_choice("phantom", line)


@settings(max_examples=150, deadline=None)
@given(st.lists(st.sampled_from((*PIECES, "question", "answer", "number", "label", "place", "outlets", "pa", "stereo",
                                 "1", "2", "\t", "|", ",", ";", "  ", "\n", "\n\n", ": ", "> ", '"')), max_size=40))
def test_whatever_is_sent_either_holds_or_is_left_out(pieces: list[str]) -> None:
    book = keys_and_voice()
    found = read("".join(pieces), book)
    after = take_reply(book, "house", found.reply, "gig")
    assert (to_bytes(after) == to_bytes(book)) == found.reply.is_empty


@settings(deadline=None)
@given(st.binary(max_size=300))
def test_no_bytes_are_too_strange(data: bytes) -> None:
    book = keys_and_voice()
    take_reply(book, "house", read(data, book).reply, "gig")


@settings(max_examples=25, deadline=None)
@given(texts)
def test_a_house_named_in_hostile_text_gets_its_blank_sheet_back_unchanged(text: str) -> None:
    analysis = hostile(text)
    found = read(answer_sheet(analysis), analysis.book)
    assert found.reply.is_empty
    assert found.problems == []
