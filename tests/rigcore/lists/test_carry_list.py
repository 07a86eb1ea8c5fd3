"""The carry list against the lists worked by hand for the three rigs, cases and lifting, spares and tours.

The hand lists were added up on paper before the program existed. Spares first for single points of
failure, the keyboard's own supply above all: trade articles on packing, else common practice, no source.
"""

from __future__ import annotations

import pytest

from rigcore import resources
from rigcore.book import file as book_file
from rigcore.book.book import Book, empty_book
from rigcore.book.edits.gigs import bind_landing, unbind_landing
from rigcore.book.edits.links import remove_links
from rigcore.book.edits.rebuild import checked, put_rig
from rigcore.book.edits.units import change_unit, remove_units
from rigcore.book.gig import CablePiece, GearPiece, Landing
from rigcore.book.rig import Case
from rigcore.catalogue.loader import shipped
from rigcore.errors import UnknownThing
from rigcore.lists.carry_list import CarryList, CountRow, carry_list, last_gig, tour_list
from rigcore.patch.build import Patch, build_patch
from rigcore.patch.lifelines import goals, items
from rigcore.quantities.lifting import ONE_PERSON_KG, people_for, team_kg


def _book(name: str) -> Book:
    return book_file.load(resources.samples() / f"{name}.loom", shipped())[0]


def _list(book: Book, gig: str | None = None) -> CarryList:
    return carry_list(build_patch(book, gig, shipped()))


def _counts(rows: tuple[CountRow, ...]) -> dict[tuple[str, float], tuple[int, int | None, int | None]]:
    return {(row.thing.type, row.thing.length_m): (row.needed, row.owned, row.short) for row in rows}


def test_tandem_as_worked_by_hand() -> None:
    """11 × 5 m needed and 8 carried, 1 × 1.5 m, 12 leads; two XLR to 6.35 and one 6.35 to 3.5; an own strip."""
    listed = _list(_book("tandem"))
    assert _counts(listed.cables) == {("xlr", 5.0): (11, 8, 3), ("xlr", 1.5): (1, 1, 0), ("ts", 3.0): (12, 12, 0)}
    assert _counts(listed.boxes) == {
        ("adapter-xlr3f-trs6m", 0.0): (2, 0, 2), ("adapter-trs6m-trs3f", 0.0): (1, 0, 1), ("strip-6", 0.0): (1, 1, 0),
    }  # fmt: skip
    assert [one.line for one in listed.wanted if one.open] == []


def test_piper_as_worked_by_hand() -> None:
    """Bring: three adapters, the isolator, the strip, 2 × 10 m, 3 × 5 m and two leads; planned as the list says."""
    book = _book("piper")
    assert [(one.line, one.length_m) for one in _list(book).wanted if one.open] == [("Ceiling feed", 12.0)]
    ten = CablePiece(kind="cable", cable="xlr", length_m=10.0)
    chain = (
        GearPiece(kind="gear", gear="adapter-trs6m-xlr3m", enter="in", leave=("out",)), ten, ten,
        GearPiece(kind="gear", gear="line-isolator", enter="in", leave=("out",)),
        GearPiece(kind="gear", gear="adapter-xlr3f-rcam", enter="in", leave=("out",)),
        GearPiece(kind="gear", gear="adapter-rca-y", enter="in", leave=("out-1", "out-2")),
    )  # fmt: skip
    landing = Landing(hand_off="ceiling-feed", socket="ceiling", chain=chain)
    listed = _list(bind_landing(book, book.gigs[0].id, landing, shipped()))
    assert _counts(listed.cables) == {("xlr", 5.0): (3, 3, 0), ("xlr", 10.0): (2, 2, 0), ("ts", 3.0): (2, 2, 0)}
    assert _counts(listed.boxes) == {
        ("adapter-trs6m-xlr3m", 0.0): (1, 0, 1), ("adapter-xlr3f-rcam", 0.0): (1, 0, 1),
        ("adapter-rca-y", 0.0): (1, 0, 1), ("line-isolator", 0.0): (1, 1, 0), ("strip-6", 0.0): (1, 1, 0),
    }  # fmt: skip
    assert listed.stands == ("1 × round base stand",)


def test_ferry_as_worked_by_hand() -> None:
    """10 XLR on the riser, 14 leads, one adapter for the return; the strip is owned once and in use: no spare."""
    listed = _list(_book("ferry"))
    assert _counts(listed.cables) == {("xlr", 5.0): (10, 10, 0), ("ts", 3.0): (14, 14, 0)}
    assert _counts(listed.boxes) == {("adapter-xlr3f-trs6m", 0.0): (1, 1, 0)}
    [strip] = [one for one in listed.spares if one.thing is not None and one.thing.type == "strip-6"]
    assert strip.packed == "no"


def test_a_tour_takes_of_each_thing_the_most() -> None:
    book = _book("tour")
    whole, each = tour_list(book, shipped()), [_list(book, gig.id) for gig in book.gigs]
    for rows in ("cables", "boxes"):
        needed = {row.thing: row.needed for row in getattr(whole, rows)}
        most: dict[object, int] = {}
        for one in each:
            for row in getattr(one, rows):
                most[row.thing] = max(most.get(row.thing, 0), row.needed)
        assert needed == most
    assert [name for name, _ in whole.asks] == [gig.name for gig in book.gigs]
    assert all(row.short == 0 for row in (*whole.cables, *whole.boxes))
    assert whole.changes is None


def test_a_stock_nobody_counts_says_nothing() -> None:
    book = checked(_book("ferry"), stock=())
    assert all(row.owned is None and row.short is None for row in (*_list(book).cables, *_list(book).boxes))
    assert all(one.packed == "?" for one in _list(book).spares)


@pytest.mark.parametrize("name", ["piper", "tandem", "ferry", "tour"])
def test_the_keyboards_own_supply_is_the_first_spare(name: str) -> None:
    first = _list(_book(name)).spares[0]
    assert "its own supply" in first.what
    assert not first.lent


def _without(patch: Patch, item: object) -> Patch:
    book, gig = patch.book, patch.gig.id
    unit, link, hand_off = (getattr(item, name) for name in ("unit", "link", "hand_off"))
    if unit:
        book = remove_units(book, patch.rig.id, [unit])
    elif link:
        book = remove_links(book, patch.rig.id, [link])
    else:
        book = unbind_landing(book, gig, hand_off)
    return build_patch(book, gig, shipped())


def _families(patch: Patch) -> set[str]:
    """Return what kinds of sources reach the house, or the rig's own loudspeakers where the house hears nothing."""
    lines = [goal for goal in goals(patch) if goal.hand_off is None or goal.hand_off.direction == "to house"]
    gear = [patch.end(source).gear for goal in lines for source in goal.sources]
    return {"vocals" if one.category == "microphone" else str(one.family) for one in gear}


@pytest.mark.parametrize("name", ["piper", "tandem", "ferry", "tour"])
def test_any_one_thing_less_leaves_voice_and_keys_or_is_among_the_spares(name: str) -> None:
    book = _book(name)
    spared = 0
    for gig in book.gigs:
        patch = build_patch(book, gig.id, shipped())
        listed = {item for one in _list(book, gig.id).spares for item in one.items}
        assert {"vocals", "keys"} <= _families(patch)
        for item in items(patch):
            if item.owner == "rig" and not {"vocals", "keys"} <= _families(_without(patch, item)):
                assert item in listed, item.name
                spared += 1
    assert spared


def _packed(case_kg: float, rack_u: float, *units: str) -> CarryList:
    book = _book("ferry")
    rig = put_rig(book, checked(book.rigs[0], cases=(Case(id="a", name="Case A", mass_kg=case_kg, rack_u=rack_u),)))
    for unit in units:
        rig = change_unit(rig, book.rigs[0].id, unit, case="a")
    return _list(rig)


def test_cases_are_weighed_and_what_is_too_heavy_says_so() -> None:
    """12 + 8 + 5 = 25 kg is one person's; 0.1 kg more is a team's."""
    fair, heavy = _packed(5.0, 0.0, "keys-1", "keys-2").cases[0], _packed(5.1, 0.0, "keys-1", "keys-2").cases[0]
    assert (fair.mass_kg, fair.people, fair.caution) == (25.0, 1, "")
    assert (heavy.mass_kg, heavy.people) == (25.1, 2)
    assert heavy.caution == "25.1 kg, over 25 kg: team lift, 2 people"
    assert _packed(50.0, 0.0, "keys-1").cases[0].caution == "62 kg, over 25 kg: wheels or a trolley"
    rack = _packed(7.0, 4.0, "in-ear-mixer", "di-6-way").cases[0]
    assert (rack.taken_u, rack.rack_u, rack.number, rack.of) == (3.0, 4.0, 1, 1)
    assert "Local rules on manual handling decide" in _list(_book("piper")).caution


@pytest.mark.parametrize(
    ("each", "together"),
    [((25, 25), 33.3), ((16, 16), 21.3), ((20, 20), 26.67), ((25, 25, 25), 37.5), ((16, 16, 16), 24.0),
     ((50, 50), 66.7), ((50, 50, 50), 75.0)],
)  # fmt: skip
def test_team_lifts_as_published(each: tuple[float, ...], together: float) -> None:
    """Two manage 2/3 of the sum and three 1/2: guidance on team handling, printed as 33, 21, 26.6, 37.5, 24, 66, 75."""
    assert team_kg(each) == pytest.approx(together, abs=0.05)


def test_nobody_and_a_crowd_are_refused() -> None:
    for each in ((), (25.0,) * 4):
        with pytest.raises(ValueError, match="wheels"):
            team_kg(each)
    assert people_for(ONE_PERSON_KG) == 1
    assert people_for(200.0) is None


def test_what_differs_is_from_the_gig_before_by_date() -> None:
    book = _book("tour")
    assert _list(book, "bar").changes is None
    changes = _list(book, "chapel").changes
    assert changes is not None
    assert changes[0] == "Tuesday at the corner bar"
    assert any(one.words == "XLR cable, 5 m: 3 × → 6 ×" for one in changes[1].of("carry"))
    assert last_gig(book, checked(book.gig("festival"), date=None)) is None


def test_a_tour_without_gigs_is_refused() -> None:
    with pytest.raises(UnknownThing, match="no gig yet"):
        tour_list(empty_book(), shipped())
