"""Samples of the family ``packet``: whom to ask, how long it counts, and which letter the house holds."""

from __future__ import annotations

import datetime as dt

from rigcore.book.edits.gigs import change_gig
from rigcore.book.edits.letters import send_packet
from rigcore.book.edits.rebuild import checked
from rigcore.catalogue.loader import shipped
from rigcore.patch.build import build_patch
from rigcore.patch.edition import content
from tests.rule_samples.plan import Kind, Plan, Samples

SAMPLES = Samples()


def _voice(p: Plan, name: str = "Lead vox") -> None:
    p.unit("vox", "dynamic-handheld", f"{name} mic")
    p.land("vox.out", "in-1", "xlr 5", name=name)


def _gig(p: Plan, **fields: object) -> None:
    p.book = change_gig(p.book, "gig", **fields)


def _send(p: Plan, to: str) -> None:
    said = content(build_patch(p.book, "gig", shipped()))
    p.book, _ = send_packet(p.book, "gig", said, day=dt.date(2027, 7, 31), to=to)


@SAMPLES.of(
    "packet.no-contact",
    bad="Neither the gig nor the book says whom to ask",
    good="The gig names somebody with a telephone number",
    near_miss="The gig names nobody, but the book does, for all its gigs",
)
def no_contact(p: Plan, kind: Kind) -> None:
    _voice(p)
    if kind != "good":
        _gig(p, contact="")
    if kind == "near_miss":
        p.book = checked(p.book, contact="Sample act, +00 555 0100")


@SAMPLES.of(
    "packet.no-date",
    bad="The packet has a date and no day until which it counts",
    good="The packet counts until the end of the month",
    near_miss="The packet counts until the day of the gig and no longer",
)
def no_date(p: Plan, kind: Kind) -> None:
    _voice(p)
    if kind != "good":
        _gig(p, valid_until=None if kind == "bad" else dt.date(2027, 8, 14))


@SAMPLES.of(
    "packet.older-letter",
    bad="Letter A is at the house, then the voice moved to another line",
    good="Letter B followed when the voice moved to another line",
    near_miss="Letter A is at the house, and only the player's own notes changed since",
)
def older_letter(p: Plan, kind: Kind) -> None:
    _voice(p)
    _send(p, "House engineer")
    if kind == "near_miss":
        _gig(p, notes="Bring the long coat")
        return
    landing = checked(p.book.gig("gig").landings[0], socket="in-2")
    _gig(p, landings=(landing,))
    if kind == "good":
        _send(p, "House engineer")
