"""Small books for tests, built with the edits themselves."""

from __future__ import annotations

from rigcore.book.book import Book
from rigcore.book.edits.gigs import land_port
from rigcore.book.edits.houses import new_plan
from rigcore.book.edits.links import plug
from rigcore.book.edits.units import add_unit
from rigcore.book.ids import PortRef
from rigcore.book.rig import Unit
from rigcore.catalogue.loader import shipped


def ref(unit: str, port: str) -> PortRef:
    """Return a port reference."""
    return PortRef(unit=unit, port=port)


def keys_and_voice() -> Book:
    """Return a plan with a piano through two DIs and a voice, landed on lines 1, 2 and 3."""
    catalogue = shipped()
    book = new_plan(catalogue)
    for unit_id, name, gear in (
        ("piano", "Piano", "stage-piano-88"),
        ("di", "DI boxes", "di-passive-stereo"),
        ("vox", "Lead vox", "dynamic-handheld"),
    ):
        book = add_unit(book, "rig", Unit(id=unit_id, name=name, gear=gear), catalogue)
    book = plug(book, "rig", (ref("piano", "out-l"), ref("di", "in-1")), catalogue)
    book = plug(book, "rig", (ref("piano", "out-r"), ref("di", "in-2")), catalogue)
    book = land_port(book, "gig", ref("di", "out-1"), "in-1", catalogue=catalogue)
    book = land_port(book, "gig", ref("di", "out-2"), "in-2", catalogue=catalogue)
    return land_port(book, "gig", ref("vox", "out"), "in-3", catalogue=catalogue)
