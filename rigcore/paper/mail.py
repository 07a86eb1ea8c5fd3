"""A draft of the mail to the house (RFC 5322), with the packet attached; ASCII throughout, sent by nobody but you.

No sender, date or message id: the mail program that opens the draft puts them in. What the
mail says is made in the lists.
"""

from __future__ import annotations

import datetime as dt
import hashlib
import re
from collections.abc import Sequence
from email.headerregistry import Address
from email.message import EmailMessage
from email.policy import SMTP
from typing import TYPE_CHECKING

from rigcore.lists.advance import advance
from rigcore.paper.answer_sheet import answer_sheet
from rigcore.paper.packet import packet_bytes, packet_name
from rigcore.paper.page import date_words
from rigcore.paper.spreadsheet import SHEETS, csv_bytes
from rigcore.paper.style import clean

if TYPE_CHECKING:
    from rigcore.analysis import Analysis

POLICY = SMTP.clone(cte_type="7bit")
"""CRLF and seven bits: every program and every relay takes that."""

LONGEST_NAME = 60
_ADDRESS = re.compile(r"""[^\s<>(),;:"\[\]\\@]+@[^\s<>(),;:"\[\]\\@]+""")
_LOCAL = re.compile(r"[A-Za-z0-9!#$%&'*+/=?^_`{|}~-]+(\.[A-Za-z0-9!#$%&'*+/=?^_`{|}~-]+)*")
_LABEL = re.compile(r"[a-z0-9]([a-z0-9-]{0,61}[a-z0-9])?")


def mail_draft(
    analysis: Analysis, issued: dt.date, *, paper: str = "A4", feet: bool = False, extra: Sequence[str] = (),
) -> bytes:
    """Return the mail to the house as the text of an ``.eml`` file; the same book and date give the same bytes.

    Parameters
    ----------
    issued
        Issue date of the packet.
    extra
        What to attach beside it as CSV: ``"answers"``, the sheet the house can fill, or a list of
        :data:`rigcore.paper.spreadsheet.SHEETS`.

    Source
    ------
    RFC 5322 (message), RFC 2047 and 2231 (words and file names that are not ASCII), RFC 2045 and 2046 (MIME).
    ``X-Unsent: 1``, by which some programs open a file as a draft: from memory.
    """
    gig = analysis.gig
    told = advance(analysis.patch, date_words(gig.date) if gig.date else "on a date still open")
    mail = EmailMessage(policy=POLICY)
    mail["Subject"] = clean(told.subject)
    to = address_in(analysis.patch.house.contact)
    if to is not None:
        mail["To"] = to
    mail["X-Unsent"] = "1"
    lines = [clean(line) for line in told.text.splitlines()]
    mail.set_content("\n".join(lines) + "\n", cte="quoted-printable")
    pdf, name = packet_bytes(analysis, paper=paper, feet=feet, issued=issued), packet_name(analysis)
    mail.add_attachment(pdf, maintype="application", subtype="pdf", filename=name)
    for sheet in extra:
        answers = sheet == "answers"
        data = answer_sheet(analysis, bom=True) if answers else csv_bytes(SHEETS[sheet](analysis), bom=True)
        mail.add_attachment(
            data, maintype="text", subtype="csv", filename=f"{name.removesuffix('.pdf')}_{sheet.capitalize()}.csv",
            params={"charset": "utf-8", "header": "present"},
        )
    mail.set_boundary(f"=_{hashlib.sha256(pdf).hexdigest()[:32]}")
    return mail.as_bytes()


def address_in(contact: str) -> Address | None:
    """Return the first valid mail address in a contact, with the name before it, or None.

    A domain beyond ASCII is written as DNS has it (IDNA), but only where that can be undone.

    >>> str(address_in("Ada Brook, ada@hall.example, 555 0100")), address_in("no mail")
    ('Ada Brook <ada@hall.example>', None)
    """
    line = clean(contact)
    for found in _ADDRESS.finditer(line):
        local, _, domain = found.group().strip(".'").rpartition("@")
        ascii_domain = _domain(domain)
        if len(local) <= 64 and _LOCAL.fullmatch(local) and ascii_domain:
            name = line[: found.start()].strip(" ,;:<>()[]\"·–-|/")
            return Address(display_name=name if _is_name(name) else "", username=local, domain=ascii_domain)
    return None


def _is_name(text: str) -> bool:
    return 0 < len(text) <= LONGEST_NAME and "@" not in text and not any(char.isdigit() for char in text)


def _domain(domain: str) -> str | None:
    """Return a domain in ASCII, or None where it is none."""
    try:
        plain = domain.encode("idna").decode("ascii").lower()
        undone = plain.encode("ascii").decode("idna")
    except UnicodeError:
        return None
    labels = plain.split(".")
    good = len(labels) > 1 and len(plain) <= 253 and all(_LABEL.fullmatch(label) for label in labels)
    return plain if good and undone == domain.lower() and not labels[-1].isdigit() else None
