"""A house as a form drafts it: begun from a kind, sockets in one go, and kept without losing a landing silently."""

from __future__ import annotations

import pytest

from rigcore.book.book import Book
from rigcore.book.edits.gigs import land_port
from rigcore.book.edits.house_parts import (
    begin_as,
    house_from_draft,
    keep_house,
    landings_on,
    lost_sentence,
    renumbered,
    sockets_for,
)
from rigcore.book.edits.houses import check_house, new_plan
from rigcore.book.edits.rebuild import checked
from rigcore.book.edits.units import add_unit
from rigcore.book.house import House, HouseKind
from rigcore.book.house_kinds import house_kinds
from rigcore.book.ids import PortRef
from rigcore.book.rig import Unit
from rigcore.catalogue.catalogue import Catalogue
from rigcore.catalogue.loader import shipped
from rigcore.errors import EditRefused, UnknownThing


@pytest.fixture(scope="module")
def catalogue() -> Catalogue:
    return shipped()


@pytest.fixture
def landed(catalogue: Catalogue) -> Book:
    """A new plan with one voice on the house's first line."""
    book = add_unit(new_plan(catalogue), "rig", Unit(id="vox", name="Vox", gear="dynamic-handheld"), catalogue)
    return land_port(book, "gig", PortRef(unit="vox", port="out"), "in-1", catalogue=catalogue)


def test_every_kind_of_house_has_a_row_that_holds(catalogue: Catalogue) -> None:
    assert set(house_kinds()) == {"bar", "club", "church", "corporate", "festival"}
    for kind, usual in house_kinds().items():
        house = begin_as(House(id="h", name="H"), kind, catalogue)
        check_house(house, catalogue)
        assert house.kind == kind
        assert house.sockets, kind
        assert house.stage.power, kind
        assert house.facts == (), "nothing is said by a table"
        half = usual.width_m / 2
        assert all(abs(one.x_m) <= half and 0 <= one.y_m <= usual.depth_m for one in usual.power), kind


@pytest.mark.parametrize("kind", ["bar", "club", "church", "corporate", "festival"])
def test_beginning_fills_only_what_is_empty(catalogue: Catalogue, kind: HouseKind) -> None:
    began = begin_as(House(id="h", name="H"), kind, catalogue)
    again = begin_as(began, "festival" if kind != "festival" else "bar", catalogue)
    assert (again.units, again.sockets, again.stage.power) == (began.units, began.sockets, began.stage.power)
    if began.stock:
        assert again.stock == began.stock


def test_the_box_of_a_new_plan_gives_way_unless_something_lands_there(catalogue: Catalogue) -> None:
    first = new_plan(catalogue).houses[0]
    assert begin_as(first, "bar", catalogue).units[0].gear == "ceiling-system"
    assert begin_as(first, "bar", catalogue, landed=["in-1"]).units == first.units


def test_a_small_stage_gets_no_drop_beside_it(catalogue: Catalogue) -> None:
    house = House(id="h", name="H")
    small = checked(house, stage=checked(house.stage, width_m=3.0, depth_m=2.0))
    assert begin_as(small, "festival", catalogue).stage.power == ()


def test_one_socket_for_each_port_that_has_none(catalogue: Catalogue) -> None:
    house = new_plan(catalogue).houses[0]
    made = sockets_for(house, "stage-box", catalogue)
    assert [(one.label, one.direction, one.number) for one in made] == [("Mix 3", "out", 3), ("Mix 4", "out", 4)]
    full = checked(house, sockets=(*house.sockets, *made))
    with pytest.raises(EditRefused, match="has a socket already"):
        sockets_for(full, "stage-box", catalogue)
    with pytest.raises(UnknownThing, match="no box"):
        sockets_for(full, "gone", catalogue)


def test_renumbering_takes_the_labels_along_that_said_the_number(catalogue: Catalogue) -> None:
    house = new_plan(catalogue).houses[0]
    named = checked(house, sockets=tuple(
        checked(one, label="Lead") if one.id == "in-2" else one for one in house.sockets
    ))
    after = renumbered(named, "stage-box", 11)
    assert [one.label for one in after.sockets] == [
        "11", "Lead", "13", "14", "15", "16", "17", "18", "Mix 11", "Mix 12",
    ]
    assert after.sockets[1].number == 12
    with pytest.raises(EditRefused):
        renumbered(house, "stage-box", 9998)


def test_a_landed_socket_does_not_vanish_silently(landed: Book, catalogue: Catalogue) -> None:
    house = landed.houses[0]
    assert landings_on(landed, "house", ["in-1", "in-2"]) == {"in-1": ["Vox (First gig)"]}
    without = checked(house, sockets=house.sockets[1:])
    assert "Vox (First gig) on 1" in lost_sentence(landed, without)
    with pytest.raises(EditRefused, match="Vox"):
        keep_house(landed, without, catalogue)
    kept = keep_house(landed, without, catalogue, unplug=True)
    assert kept.gig("gig").landings == ()
    assert kept.houses[0] == without
    free = checked(house, sockets=house.sockets[:1] + house.sockets[2:])
    assert keep_house(landed, free, catalogue).gig("gig").landings == landed.gig("gig").landings


def test_a_landed_socket_that_turns_round_counts_as_gone(landed: Book, catalogue: Catalogue) -> None:
    house = landed.houses[0]
    turned = checked(house.sockets[0], direction="out", ports=("out-3",))
    new = checked(house, sockets=(turned, *house.sockets[1:]))
    with pytest.raises(EditRefused, match="Vox"):
        keep_house(landed, new, catalogue)
    assert keep_house(landed, new, catalogue, unplug=True).gig("gig").landings == ()


def test_gear_that_does_not_exist_is_refused(landed: Book, catalogue: Catalogue) -> None:
    house = landed.houses[0]
    with pytest.raises(UnknownThing, match="no gear type"):
        keep_house(landed, checked(house, units=(checked(house.units[0], gear="nothing"),)), catalogue)


@pytest.mark.parametrize(
    ("change", "words"),
    [
        ({"stage": {"power": [{"id": "a", "name": "", "x_m": 0.0, "y_m": 0.0}]}},
         "Power drop 1, name must not be empty."),
        ({"stage": {"risers": [{"id": "a", "name": "Drums", "x_m": 0.0, "y_m": 0.0, "width_m": 0, "depth_m": 1}]}},
         "Riser 1 'Drums', width must be more than 0."),
        ({"name": ""}, "Name must not be empty."),
        ({"mains_v": 12}, "Mains must be at least 90."),
        ({"sockets": [{"id": "s", "unit": "x", "ports": ["p"], "direction": "in", "number": 1, "label": "L"}]},
         "does not exist"),
    ],
)  # fmt: skip
def test_a_draft_that_does_not_hold_says_where(change: dict[str, object], words: str) -> None:
    house, told = house_from_draft({"id": "h", "name": "H", **change})
    assert house is None
    assert words in told


def test_a_draft_comes_back_as_it_was(landed: Book) -> None:
    house = landed.houses[0]
    assert house_from_draft(house.model_dump(mode="json")) == (house, "")
