"""The draft parsed strictly by the standard library: no defect, no header from outside, attachments whole."""

from __future__ import annotations

import email
import email.policy
import io
from collections.abc import Callable
from email.message import EmailMessage

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from pypdf import PdfReader

from rigcore.analysis import Analysis
from rigcore.book.edits.houses import change_house
from rigcore.paper.answer_sheet import answer_sheet
from rigcore.paper.mail import address_in, mail_draft
from rigcore.paper.packet import packet_bytes, packet_name
from rigcore.paper.spreadsheet import csv_bytes, input_sheet
from rigcore.paper.style import clean
from tests.rigcore.paper.conftest import analysis_of
from tests.rigcore.paper.hostile import ISSUED, hostile, texts

HEADERS = ["Subject", "To", "X-Unsent", "MIME-Version", "Content-Type"]


def read(data: bytes) -> EmailMessage:
    """Parse a draft as strictly as the library can: any defect raises. Every octet is ASCII, every line ends CRLF."""
    assert data.isascii()
    assert data.count(b"\n") == data.count(b"\r\n") == data.count(b"\r")
    assert max(map(len, data.split(b"\r\n"))) <= 998
    message = email.message_from_bytes(data, _class=EmailMessage, policy=email.policy.strict)
    for part in message.walk():
        assert not part.defects
        for value in part.values():
            assert not getattr(value, "defects", ())
    return message


def at(contact: str, analysis: Analysis) -> Analysis:
    """Return the gig at a house with this contact."""
    return analysis_of(change_house(analysis.book, "green", contact=contact))


def test_the_draft_carries_text_packet_and_lists(ferry: Analysis) -> None:
    analysis = at("Ada Brook, ada@green.example", ferry)
    message = read(mail_draft(analysis, ISSUED, extra=("inputs", "answers")))
    assert list(message.keys()) == HEADERS
    assert message["X-Unsent"] == "1"
    assert message["To"] == "Ada Brook <ada@green.example>"
    assert message["Subject"] == "Ferry at Longmarsh Green, stage 2 – 2026-08-14 – input list and stage plot"
    pdf, inputs, answers = message.iter_attachments()
    assert pdf.get_filename() == packet_name(analysis)
    assert pdf.get_content() == packet_bytes(analysis, issued=ISSUED)
    assert len(PdfReader(io.BytesIO(pdf.get_content())).pages) == 2
    assert inputs.get_payload(decode=True) == csv_bytes(input_sheet(analysis), bom=True)
    assert answers.get_payload(decode=True) == answer_sheet(analysis, bom=True)
    body = message.get_body(("plain",))
    assert body is not None
    text = body.get_content()
    assert "9 channels" in text
    assert text.count("?") >= 3


def test_without_an_address_nobody_is_addressed(ferry: Analysis) -> None:
    message = read(mail_draft(ferry, ISSUED))
    assert list(message.keys()) == [one for one in HEADERS if one != "To"]


def test_the_same_book_and_date_give_the_same_bytes(ferry: Analysis) -> None:
    assert mail_draft(ferry, ISSUED, extra=("inputs",)) == mail_draft(ferry, ISSUED, extra=("inputs",))


def test_names_beyond_ascii_come_out_right(ferry: Analysis, with_gig: Callable[..., Analysis]) -> None:
    analysis = at("Zoë Brück <zoe@hällë.example>", with_gig(ferry, act="Ĺödź 鍵"))
    message = read(mail_draft(analysis, ISSUED))
    (to,) = message["To"].addresses
    assert (to.display_name, to.username, to.domain) == ("Zoë Brück", "zoe", "xn--hll-qla1b.example")
    assert message["Subject"].startswith("Ĺödź 鍵 at")
    (pdf,) = message.iter_attachments()
    assert pdf.get_filename() == packet_name(analysis)
    assert "鍵" in packet_name(analysis)


@pytest.mark.parametrize(
    ("contact", "address"),
    [
        ("sound@hall.example, +00 555 0100", "sound@hall.example"),
        ("write to x.y+z@a.b.example.", "x.y+z@a.b.example"),
        ("first@a.example; second@b.example", "first@a.example"),
        ("not@valid, but this@is.example", "this@is.example"),
        ("a@b\r\nBcc: c@d.example", "c@d.example"),
        ("a..b@c.example", None), ("x@localhost", None), ("x@1.2.3.4", None), ("ö@x.example", None),
        ("x@straße.example", None), ("x@-a.example", None), ("555 0100", None), ("", None), ("@", None),
    ],
)  # fmt: skip
def test_only_a_valid_address_is_taken(contact: str, address: str | None) -> None:
    """RFC 5322 section 3.4.1 for the local part (dot-atom), RFC 1123 section 2.1 for the domain."""
    found = address_in(contact)
    assert (found.addr_spec if found else None) == address


@given(st.text(max_size=60), st.text(max_size=20))
def test_whatever_stands_before_an_address_no_header_is_made_of_it(before: str, after: str) -> None:
    found = address_in(f"{before}\r\nBcc: a@b.example{after}")
    if found is not None:
        message = EmailMessage(policy=email.policy.SMTP)
        message["To"] = found
        assert message.as_bytes().count(b"\r\n") == message.as_bytes().count(b"\n")
        again = email.message_from_bytes(message.as_bytes(), policy=email.policy.strict)
        assert list(again.keys()) == ["To"]
        assert len(again["To"].addresses) == 1


@settings(max_examples=10, deadline=None)
@given(texts)
def test_hostile_text_makes_no_header_and_no_path(text: str) -> None:
    analysis = hostile(text)
    message = read(mail_draft(analysis, ISSUED, extra=("inputs", "answers")))
    assert [key for key in message if key != "To"] == [one for one in HEADERS if one != "To"]
    assert clean(message["Subject"]) == message["Subject"]
    for part in message.iter_attachments():
        name = part.get_filename()
        assert not set(name) & set('/\\:*?"<>|\r\n\0')
        assert not name.startswith(".")
