"""Cutting units out of a rig and putting them into one: ids and names renewed, the cables between them kept."""

from __future__ import annotations

import doctest
from pathlib import Path

import pytest

from rigcore import resources
from rigcore.book.book import Book
from rigcore.book.edits import paste as module
from rigcore.book.edits.house_units import move_house_unit
from rigcore.book.edits.paste import cut_out, paste, renewed, scrap_in, scrap_text
from rigcore.book.edits.replug import move_landing
from rigcore.book.file import load
from rigcore.catalogue.catalogue import Catalogue
from rigcore.catalogue.loader import shipped
from rigcore.catalogue.record import changed
from rigcore.errors import EditRefused, UnknownThing


@pytest.fixture(scope="module")
def catalogue() -> Catalogue:
    return shipped()


@pytest.fixture
def ferry(catalogue: Catalogue) -> Book:
    return load(Path(resources.samples()) / "ferry.loom", catalogue)[0]


def test_examples_hold() -> None:
    result = doctest.testmod(module)
    assert result.attempted
    assert not result.failed


def test_a_scrap_survives_the_clipboard(ferry: Book) -> None:
    scrap = cut_out(ferry, "ferry", {"keys-1", "di-6-way"}, {"keys-1": (8.0, 16.0)})
    assert scrap_in(scrap_text(scrap)) == scrap
    assert (scrap.units[0].card_x, scrap.units[0].x_m) == (8.0, None)
    ends = {end.unit for link in scrap.links for end in (link.source, link.target)}
    assert ends == {"keys-1", "di-6-way"}


def test_pasting_twice_gives_three_of_each_and_touches_nothing_else(ferry: Book, catalogue: Catalogue) -> None:
    book, scrap = ferry, cut_out(ferry, "ferry", {"keys-1", "di-6-way"}, {})
    for _ in range(2):
        book = paste(book, "ferry", renewed(book, "ferry", scrap), catalogue)
    rig, before = book.rig("ferry"), ferry.rig("ferry")
    assert rig.units[: len(before.units)] == before.units
    assert rig.links[: len(before.links)] == before.links
    assert [unit.name for unit in rig.units[len(before.units):]] == ["Keys 3", "DI 6-way 2", "Keys 4", "DI 6-way 3"]
    assert len(rig.links) == len(before.links) + 2 * len(scrap.links)
    assert (rig.hand_offs, book.gigs, book.houses) == (before.hand_offs, ferry.gigs, ferry.houses)


def test_gear_of_the_own_book_goes_along(ferry: Book, catalogue: Catalogue) -> None:
    own = changed(catalogue.gear["stage-piano-88"], id="my-piano", name="My piano")
    unit = changed(ferry.rig("ferry").units[0], gear="my-piano", settings=())
    rig = changed(ferry.rig("ferry"), units=(unit, *ferry.rig("ferry").units[1:]))
    mine = changed(ferry, gear=(own,), rigs=(rig,))
    scrap = cut_out(mine, "ferry", {unit.id}, {})
    assert [gear.id for gear in scrap.gear] == ["my-piano"]
    pasted = paste(ferry, "ferry", renewed(ferry, "ferry", scrap), catalogue)
    assert [gear.id for gear in pasted.gear] == ["my-piano"]
    with pytest.raises(EditRefused, match="cannot be put in here"):
        paste(ferry, "ferry", renewed(ferry, "ferry", changed(scrap, gear=())), catalogue)


@pytest.mark.parametrize(
    "text",
    [
        "", "[]", "{}", "nonsense", '{"format": "else", "units": []}', '{"format": "loomwright units", "units": []}',
        '{"format": "loomwright units", "version": 2, "units": [{"id": "a", "name": "A", "gear": "x"}]}',
        '{"format": "loomwright units", "units": [{"id": "a", "name": "A", "gear": "x"}], "links": [{"id": "l", '
        '"source": {"unit": "a", "port": "p"}, "target": {"unit": "b", "port": "p"}}]}',
        '{"format": "loomwright units", "units": [{"id": "a", "name": "A", "gear": "x", "x_m": NaN}]}',
        "x" * 4_000_001,
    ],
)  # fmt: skip
def test_what_is_no_scrap_is_refused_in_one_sentence(text: str) -> None:
    with pytest.raises(EditRefused) as refused:
        scrap_in(text)
    assert "clipboard" in refused.value.sentence
    assert len(refused.value.sentence) < 300


def test_a_landing_keeps_its_chain_on_another_socket(ferry: Book, catalogue: Catalogue) -> None:
    gig = ferry.gigs[0]
    landing = next(one for one in gig.landings if one.chain)
    house = ferry.house(gig.house)
    used = {one.socket for one in gig.landings}
    socket = house.socket(landing.socket)
    assert socket is not None
    free = next(one for one in house.sockets if one.id not in used and one.direction == socket.direction)
    moved = move_landing(ferry, gig.id, landing.hand_off, free.id, catalogue=catalogue).gig(gig.id)
    assert moved.landing(landing.hand_off) == changed(landing, socket=free.id)
    with pytest.raises(UnknownThing):
        move_landing(ferry, gig.id, "nobody", free.id, catalogue=catalogue)


def test_the_houses_things_move_by_an_edit_of_their_own(ferry: Book) -> None:
    house = ferry.houses[0]
    unit = house.units[0]
    moved = move_house_unit(ferry, house.id, unit.id, (1.0, 2.0, 370.0)).house(house.id)
    assert moved.unit(unit.id) == changed(unit, x_m=1.0, y_m=2.0, rotation_deg=10.0)
    with pytest.raises(UnknownThing):
        move_house_unit(ferry, house.id, "nobody", (0.0, 0.0, 0.0))
