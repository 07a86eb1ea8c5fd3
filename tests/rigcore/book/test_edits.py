"""Edits one by one: what they do, what they refuse, and what must go along with what goes."""

from __future__ import annotations

import pytest

from rigcore.book.book import Book
from rigcore.book.edits import gigs, hand_offs, houses, links, units
from rigcore.book.gig import CablePiece, GearPiece, Landing, Placement
from rigcore.book.house import Fact, House
from rigcore.book.rig import Link, PortSetting, Stand, Unit
from rigcore.catalogue.loader import shipped
from rigcore.errors import EditRefused, UnknownThing
from tests.rigcore.book.plans import keys_and_voice, ref


@pytest.fixture
def book() -> Book:
    return keys_and_voice()


def test_a_unit_is_added_at_the_end_and_named_after_its_type(book: Book) -> None:
    unit = units.unit_of(book, "rig", "synth-61", shipped())
    after = units.add_unit(book, "rig", unit, shipped())
    assert after.rig("rig").units[-1] == unit
    again = units.unit_of(after, "rig", "synth-61", shipped())
    assert again.id != unit.id
    assert again.name != unit.name


def test_unknown_gear_is_refused_by_name(book: Book) -> None:
    with pytest.raises(EditRefused, match="no gear type 'nonesuch-9'"):
        units.add_unit(book, "rig", Unit(id="x", name="X", gear="nonesuch-9"), shipped())


def test_a_taken_id_is_refused(book: Book) -> None:
    with pytest.raises(EditRefused, match="unit 'piano' appears twice"):
        units.add_unit(book, "rig", Unit(id="piano", name="Other", gear="synth-61"), shipped())


def test_removing_a_unit_takes_everything_that_hung_on_it(book: Book) -> None:
    book = gigs.place_here(book, "gig", Placement(unit="di", x_m=1.0, y_m=1.0))
    book = gigs.change_gig(book, "gig", order=tuple(one.id for one in book.rig("rig").hand_offs))
    book = links.bundle(book, "rig", [link.id for link in book.rig("rig").links], "Keys loom")
    after = units.remove_units(book, "rig", ["di"])
    rig, gig = after.rig("rig"), after.gig("gig")
    assert [unit.id for unit in rig.units] == ["piano", "vox"]
    assert rig.links == ()
    assert rig.looms == ()
    assert [one.unit for one in rig.hand_offs] == ["vox"]
    assert [one.hand_off for one in gig.landings] == [rig.hand_offs[0].id] == list(gig.order)
    assert gig.placements == ()


def test_renaming_keeps_the_id_and_refuses_an_empty_name(book: Book) -> None:
    assert units.rename_unit(book, "rig", "piano", "  Κλαβιέ ").rig("rig").unit("piano").name == "Κλαβιέ"
    with pytest.raises(EditRefused):
        units.rename_unit(book, "rig", "piano", "   ")


def test_control_characters_are_refused(book: Book) -> None:
    with pytest.raises(EditRefused, match="control character"):
        units.rename_unit(book, "rig", "piano", "Pi\x00ano")


def test_moving_on_the_stage_keeps_the_angle_under_a_full_turn(book: Book) -> None:
    unit = units.move_on_stage(book, "rig", "piano", (1.5, 2.0, 375.0)).rig("rig").unit("piano")
    assert (unit.x_m, unit.y_m, unit.rotation_deg) == (1.5, 2.0, 15.0)
    with pytest.raises(EditRefused):
        units.move_on_stage(book, "rig", "piano", (float("nan"), 0.0, 0.0))


def test_cards_move_together(book: Book) -> None:
    rig = units.move_cards(book, "rig", {"piano": (10, 20), "vox": (30, 40)}).rig("rig")
    assert [(unit.card_x, unit.card_y) for unit in rig.units] == [(10.0, 20.0), (None, None), (30.0, 40.0)]


def test_settings_of_a_port(book: Book) -> None:
    padded = units.set_port(book, "rig", "di", PortSetting(port="in-1", pad=True), catalogue=shipped())
    assert padded.rig("rig").unit("di").setting("in-1").pad
    back = units.set_port(padded, "rig", "di", PortSetting(port="in-1"), catalogue=shipped())
    assert back == book
    with pytest.raises(UnknownThing, match="no port 'in-9'"):
        units.set_port(book, "rig", "di", PortSetting(port="in-9", pad=True), catalogue=shipped())


def test_gain_is_a_setting(book: Book) -> None:
    after = units.set_gain(book, "rig", ref("di", "in-1"), -10.0, catalogue=shipped())
    assert after.rig("rig").unit("di").setting("in-1").gain_db == -10.0
    with pytest.raises(EditRefused):
        units.set_gain(book, "rig", ref("di", "in-1"), 500.0, catalogue=shipped())


def test_a_stand_belongs_to_somebody(book: Book) -> None:
    after = units.change_unit(book, "rig", "vox", stand=Stand(kind="tall boom", owner="house"))
    assert after.rig("rig").unit("vox").stand.owner == "house"


def test_plugging_chooses_cable_and_direction(book: Book) -> None:
    book = units.add_unit(book, "rig", Unit(id="mix", name="Ears", gear="mixer-in-ear"), shipped())
    after = links.plug(book, "rig", (ref("mix", "line-1"), ref("di", "thru-1")), shipped())
    link = after.rig("rig").links[-1]
    assert (link.source, link.target) == (ref("di", "thru-1"), ref("mix", "line-1"))
    assert link.cable == "ts"
    assert link.length_m == 3.0


def test_impossible_links_are_refused(book: Book) -> None:
    link = book.rig("rig").links[0]
    with pytest.raises(EditRefused, match="already linked"):
        links.add_link(book, "rig", Link(id="again", source=link.source, target=link.target), shipped())
    with pytest.raises(EditRefused, match="two different ports"):
        links.add_link(book, "rig", Link(id="self", source=link.source, target=link.source), shipped())
    with pytest.raises(UnknownThing, match="no unit 'ghost'"):
        links.plug(book, "rig", (ref("ghost", "out"), link.target), shipped())


def test_cables_can_be_changed_and_taken_out(book: Book) -> None:
    link = book.rig("rig").links[0]
    after = links.set_cable(book, "rig", link.id, ("trs", 1.5), catalogue=shipped())
    assert after.rig("rig").link(link.id).cable == "trs"
    with pytest.raises(UnknownThing):
        links.set_cable(book, "rig", link.id, ("string", 1.5), catalogue=shipped())
    with pytest.raises(EditRefused):
        links.set_cable(book, "rig", link.id, ("ts", -1.0), catalogue=shipped())
    assert len(links.remove_links(book, "rig", [link.id]).rig("rig").links) == 1


def test_landing_makes_a_hand_off_named_after_its_unit(book: Book) -> None:
    names = [one.name for one in book.rig("rig").hand_offs]
    assert names[2] == "Lead vox"
    assert [one.direction for one in book.rig("rig").hand_offs] == ["to house"] * 3


def test_a_hand_off_lands_once_and_moves(book: Book) -> None:
    after = gigs.land_port(book, "gig", ref("vox", "out"), "in-8", catalogue=shipped())
    assert [one.socket for one in after.gig("gig").landings] == ["in-1", "in-2", "in-8"]


def test_landing_against_the_direction_is_refused(book: Book) -> None:
    with pytest.raises(EditRefused, match="is an output"):
        gigs.land_port(book, "gig", ref("vox", "out"), "mix-1", catalogue=shipped())


def test_chains_are_checked_piece_by_piece(book: Book) -> None:
    hand_off = book.rig("rig").hand_offs[2].id
    good = Landing(
        hand_off=hand_off,
        socket="in-3",
        chain=(
            CablePiece(kind="cable", cable="xlr", length_m=5.0),
            GearPiece(kind="gear", gear="line-isolator", enter="in", leave=("out",)),
            CablePiece(kind="cable", cable="xlr", length_m=5.0),
        ),
    )
    assert gigs.bind_landing(book, "gig", good, shipped()).gig("gig").landing(hand_off) == good
    bad = Landing(
        hand_off=hand_off,
        socket="in-3",
        chain=(GearPiece(kind="gear", gear="line-isolator", enter="x", leave=("out",)),),
    )
    with pytest.raises(UnknownThing, match="has no port 'x'"):
        gigs.bind_landing(book, "gig", bad, shipped())


def test_giving_up_a_hand_off_gives_up_its_landing(book: Book) -> None:
    hand_off = book.rig("rig").hand_offs[0].id
    after = hand_offs.remove_hand_off(book, "rig", hand_off)
    assert all(one.hand_off != hand_off for one in after.gig("gig").landings)


def test_a_fall_back_never_dangles(book: Book) -> None:
    first, second = (one.id for one in book.rig("rig").hand_offs[:2])
    book = hand_offs.change_hand_off(book, "rig", second, falls_back_to=first)
    assert hand_offs.remove_hand_off(book, "rig", first).rig("rig").hand_offs[0].falls_back_to is None
    assert units.remove_units(book, "rig", ["vox"]).rig("rig").hand_off(second).falls_back_to == first
    with pytest.raises(EditRefused, match="which does not exist"):
        hand_offs.change_hand_off(book, "rig", second, falls_back_to="nowhere")


def test_a_house_in_use_cannot_be_removed(book: Book) -> None:
    with pytest.raises(EditRefused, match="remove the gig first"):
        houses.remove_house(book, "house")
    free = gigs.remove_gig(book, "gig")
    assert houses.remove_house(free, "house").houses == ()


def test_a_house_learns(book: Book) -> None:
    after = houses.learn(book, "house", Fact(key="phantom", value="per channel", said_by="the engineer"))
    after = houses.learn(after, "house", Fact(key="phantom", value="none"))
    assert [fact.value for fact in after.house("house").facts] == ["none"]


def test_a_house_with_unknown_gear_is_refused(book: Book) -> None:
    house = House(id="h2", name="Elsewhere", units=(Unit(id="u", name="U", gear="nope"),))
    with pytest.raises(EditRefused, match="no gear type 'nope'"):
        houses.add_house(book, house, shipped())


def test_the_old_book_is_untouched_by_every_edit(book: Book) -> None:
    before = book.model_dump_json()
    units.remove_units(book, "rig", ["piano"])
    units.rename_unit(book, "rig", "vox", "Other")
    links.remove_links(book, "rig", [book.rig("rig").links[0].id])
    assert book.model_dump_json() == before


def test_a_question_with_fixed_answers_takes_no_other() -> None:
    with pytest.raises(EditRefused, match="it must be 'per channel', 'global', 'always on' or 'none'"):
        houses.known("phantom", "I think so")
    assert houses.known("outlets", "four, on the wall").value == "four, on the wall"
