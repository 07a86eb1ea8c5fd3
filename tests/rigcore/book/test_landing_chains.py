"""The chain of a landing, piece by piece: one edit each, and what joins a box follows it."""

from __future__ import annotations

import pytest

from rigcore.book.book import Book
from rigcore.book.edits.chains import (
    box_piece,
    boxes_for,
    land_elsewhere,
    likeliest_cable,
    move_piece,
    put_piece,
    take_piece_out,
)
from rigcore.book.edits.gigs import bind_landing, land_port
from rigcore.book.edits.houses import new_plan
from rigcore.book.edits.units import add_unit
from rigcore.book.gig import CablePiece, GearPiece, Join, Landing, Piece
from rigcore.book.ids import PortRef
from rigcore.book.rig import Unit
from rigcore.catalogue.catalogue import Catalogue
from rigcore.catalogue.loader import shipped
from rigcore.errors import EditRefused, UnknownThing


@pytest.fixture(scope="module")
def catalogue() -> Catalogue:
    return shipped()


@pytest.fixture
def book(catalogue: Catalogue) -> Book:
    """A piano, its left side through a stereo DI box, its right side joining that box."""
    book = add_unit(new_plan(catalogue), "rig", Unit(id="piano", name="Piano", gear="stage-piano-88"), catalogue)
    for port, socket in (("out-l", "in-1"), ("out-r", "in-2")):
        book = land_port(book, "gig", PortRef(unit="piano", port=port), socket, catalogue=catalogue)
    left, right = (one.hand_off for one in book.gig("gig").landings)
    ts = CablePiece(kind="cable", cable="ts", length_m=3.0)
    di = GearPiece(kind="gear", gear="di-passive-stereo", enter="in-1", leave=("out-1",))
    xlr = CablePiece(kind="cable", cable="xlr", length_m=5.0)
    book = bind_landing(book, "gig", Landing(hand_off=left, socket="in-1", chain=(ts, di, xlr)), catalogue)
    joining = Landing(
        hand_off=right, socket="in-1", chain=(ts,), joins=Join(hand_off=left, piece=2, port="in-2")
    )
    return bind_landing(book, "gig", joining, catalogue)


def chain(book: Book, hand_off: str = "piano-l") -> list[str]:
    landing = book.gig("gig").landing(hand_off)
    assert landing is not None
    return [one.cable if isinstance(one, CablePiece) else one.gear for one in landing.chain]


def joined_at(book: Book) -> tuple[int, str]:
    join = book.gig("gig").landings[-1].joins or book.gig("gig").landings[0].joins
    assert join is not None
    return join.piece, join.port


@pytest.fixture
def left(book: Book) -> str:
    return next(one.hand_off for one in book.gig("gig").landings if one.joins is None)


def test_what_joins_a_box_follows_it(book: Book, left: str, catalogue: Catalogue) -> None:
    moved = move_piece(book, "gig", left, (1, 0), catalogue=catalogue)
    assert chain(moved, left) == ["di-passive-stereo", "ts", "xlr"]
    assert joined_at(moved) == (1, "in-2")
    fewer = take_piece_out(book, "gig", left, 0, catalogue=catalogue)
    assert (chain(fewer, left), joined_at(fewer)) == (["di-passive-stereo", "xlr"], (1, "in-2"))


def test_a_box_others_join_stays(book: Book, left: str, catalogue: Catalogue) -> None:
    with pytest.raises(EditRefused, match="joins this box"):
        take_piece_out(book, "gig", left, 1, catalogue=catalogue)
    mono = GearPiece(kind="gear", gear="di-passive", enter="in-1", leave=("out-1",))
    with pytest.raises(EditRefused, match="no port 'in-2'"):
        put_piece(book, "gig", left, (1, mono), catalogue=catalogue)


def test_a_piece_is_added_exchanged_and_taken_out(book: Book, left: str, catalogue: Catalogue) -> None:
    more: Piece = CablePiece(kind="cable", cable="xlr", length_m=10.0)
    longer = put_piece(book, "gig", left, (3, more), catalogue=catalogue)
    assert chain(longer, left) == ["ts", "di-passive-stereo", "xlr", "xlr"]
    assert chain(take_piece_out(longer, "gig", left, 3, catalogue=catalogue), left) == chain(book, left)
    other = put_piece(book, "gig", left, (0, more), catalogue=catalogue)
    assert chain(other, left)[0] == "xlr"
    with pytest.raises(UnknownThing):
        put_piece(book, "gig", left, (0, CablePiece(kind="cable", cable="none", length_m=1.0)), catalogue=catalogue)
    with pytest.raises(EditRefused, match="cannot leave"):
        move_piece(book, "gig", left, (0, -1), catalogue=catalogue)


def test_a_chain_moves_with_what_joins_it(book: Book, left: str, catalogue: Catalogue) -> None:
    moved = land_elsewhere(book, "gig", left, "in-5", catalogue=catalogue)
    assert {one.socket for one in moved.gig("gig").landings} == {"in-5"}
    assert chain(moved, left) == chain(book, left)
    right = next(one.hand_off for one in book.gig("gig").landings if one.joins is not None)
    alone = land_elsewhere(book, "gig", right, "in-6", catalogue=catalogue).gig("gig").landing(right)
    assert alone is not None
    assert (alone.socket, alone.joins) == ("in-6", None)


def test_the_likeliest_cable_fits_what_lies_beside_it(book: Book, left: str, catalogue: Catalogue) -> None:
    bare = take_piece_out(book, "gig", left, 2, catalogue=catalogue)
    assert likeliest_cable(bare, "gig", left, 2, catalogue=catalogue).cable == "xlr"
    assert likeliest_cable(book, "gig", left, 3, catalogue=catalogue).length_m > 0


def test_only_what_lets_the_medium_through_is_offered(catalogue: Catalogue) -> None:
    audio, mains = ({gear.id for gear in boxes_for(catalogue, medium)} for medium in ("audio", "mains"))
    assert "di-passive" in audio
    assert "strip-6" in mains
    assert not audio & {"strip-6", "stage-piano-88"}
    for gear_id in audio:
        piece = box_piece(catalogue.gear_type(gear_id), "audio")
        assert catalogue.port(gear_id, piece.enter).direction != "out" or piece.enter != piece.leave[0]


def test_a_box_is_left_at_its_output_and_not_where_it_hands_through(catalogue: Catalogue) -> None:
    for gear in boxes_for(catalogue, "audio"):
        if gear.category == "di":
            leave = catalogue.port(gear.id, box_piece(gear, "audio").leave[0])
            assert leave.connector == "xlr3.m" or not any(port.connector == "xlr3.m" for port in gear.ports), gear.id


def test_an_exchanged_box_keeps_its_ports_where_it_can(catalogue: Catalogue) -> None:
    old = GearPiece(kind="gear", gear="di-passive-stereo", enter="in-2", leave=("out-2",), owner="house")
    alike = box_piece(catalogue.gear_type("di-active-stereo"), "audio", old)
    assert (alike.enter, alike.leave, alike.owner) == ("in-2", ("out-2",), "house")
    other = box_piece(catalogue.gear_type("di-passive"), "audio", old)
    assert (other.enter, other.leave, other.owner) == ("in-1", ("out-1",), "house")
    with pytest.raises(EditRefused, match="no way through"):
        box_piece(catalogue.gear_type("strip-6"), "audio")
