"""Where names and badges lie: none over another, nor over what is to be seen, for the samples and for a crowd."""

from __future__ import annotations

import doctest
import random
from itertools import combinations
from pathlib import Path

import pytest
from PySide6.QtCore import QPointF
from PySide6.QtWidgets import QApplication

from app.canvas import fonts, ground
from app.canvas.badge_places import Wanted, spread
from app.canvas.badges import badges_of, joined, mark_side
from app.canvas.badges_item import SCALE, shown_from
from app.canvas.cable_item import tag_box
from app.canvas.ground import Ground, around, cuts, middle, moved
from app.canvas.layout import FACE, Box, Point, card_of, name_width
from app.canvas.patch_marks import blocked
from app.canvas.patch_scene import PatchScene
from app.canvas.stage_names import Name, Named, Surroundings, place_names
from app.canvas.stage_scene import StageScene
from app.desk import Desk
from app.theme import PAPER
from rigcore import resources
from rigcore.book.file import load
from rigcore.catalogue.catalogue import Catalogue
from rigcore.rules.rule import Finding, Thing

SAMPLES = sorted(resources.samples().glob("*.loom"))


def hidden(names: list[Name], bodies: dict[str, Box]) -> list[str]:
    """Return what lies on what: names on names, names on footprints that are not their own."""
    found = [f"{a.words} / {b.words}" for a, b in combinations(names, 2) if a.box.meets(b.box)]
    for name in names:
        found += [
            f"{name.words} on {other}"
            for other, body in bodies.items()
            if name.box.meets(body) and not (name.inside and other == name.id)
        ]
    return found


@pytest.fixture(params=SAMPLES, ids=lambda path: path.stem)
def sample(request: pytest.FixtureRequest, qapp: QApplication, catalogue: Catalogue) -> Desk:
    """A desk with one of the samples."""
    path: Path = request.param
    desk = Desk(catalogue)
    desk.take(load(path, catalogue)[0], None)
    return desk


@pytest.mark.parametrize("module", [fonts, ground])
def test_examples_in_docstrings_hold(module: object, qapp: QApplication) -> None:
    assert doctest.testmod(module).failed == 0


@pytest.mark.parametrize("detail", [0.4, 0.68, 2.0])
def test_no_name_of_a_sample_hides_anything(sample: Desk, detail: float) -> None:
    scene = StageScene(sample, PAPER)
    scene.show_findings(badges_of(sample.analysis().findings))
    scene.scale_letters(detail)
    items = [one for one in (*scene.footprints.values(), *scene.house_units.values()) if not one.waiting]
    things = {one.name_id: one.body() for one in items if one.gear.glyph != "riser"}
    things |= {one.id: one.bounds for one in scene.floor.named() if one.kind == "thing"}
    assert not hidden(scene.names.names, things)
    edges = scene.floor.surroundings(1.0).blocked[:4]
    assert not [name.words for name in scene.names.names if any(name.box.meets(edge) for edge in edges)]
    marks = [one.box for one in scene.marks.badges]
    assert not any(a.meets(b) for a, b in combinations(marks, 2))
    assert not any(name.box.meets(mark) for name in scene.names.names for mark in marks)
    written = {name.id for name in scene.names.names}
    needed = {one.name_id for one in items if one.locked or one.gear.width_m * one.gear.depth_m >= 0.07}
    assert needed <= written


def crowd() -> list[Named]:
    """Return sixty units at random on a stage of 8 by 6 m, a riser under some of them."""
    rng = random.Random(7)
    things = [Named("Drum riser, 0.4 m high", Box(-100, -600, 100, -400), id="riser", kind="area", face="label")]
    for n in range(60):
        width, depth = rng.uniform(10, 130), rng.uniform(10, 60)
        box = around((rng.uniform(-400, 400), rng.uniform(-600, 0)), width, depth)
        things.append(Named(f"Unit number {n}", box, box if n % 3 else None, id=str(n), optional=n % 7 == 0))
    return things


@pytest.mark.parametrize("scale", [0.5, 1.0, 1.75])
def test_sixty_units_are_named_without_hiding_any(qapp: QApplication, scale: float) -> None:
    things = crowd()
    about = Surroundings(blocked=(Box(-402, -602, 402, -598),), sheet=Box(-480, -680, 480, 80))
    names = place_names(things, about, scale)
    assert names == place_names(things, about, scale)
    assert not hidden(names, {one.id: one.bounds for one in things if one.kind == "thing"})
    assert not any(name.box.meets(about.blocked[0]) for name in names)
    assert {one.id for one in things if not one.optional} <= {name.id for name in names}
    bounds = {one.id: one.bounds for one in things}
    for name in names:
        apart = not name.box.meets(bounds[name.id].grown(8 * scale))
        assert not apart or name.leader is not None or name.inside


def test_a_small_thing_gives_its_name_up_only_where_it_is_crowded(qapp: QApplication) -> None:
    small = Named("Earphones", Box(-5, -5, 5, 5), id="small", optional=True)
    assert [name.id for name in place_names([small])] == ["small"]
    crowded = Surroundings(blocked=(Box(-300, -300, 300, 300),))
    assert not place_names([small], crowded)
    assert place_names([Named("Vocal", small.bounds, id="vocal")], crowded)[0].leader is not None


def test_the_line_to_a_name_crosses_no_other_words(qapp: QApplication) -> None:
    walled = Box(-20, -40, 20, -20)
    thing = Named("Vocal", Box(-5, -5, 5, 5), id="vocal")
    blocked = (Box(-300, -15, 300, 15), Box(-300, 15, 300, 300), Box(-300, -42, 300, -15))
    (usual,) = place_names([thing], Surroundings(blocked=blocked))
    assert usual.leader is not None
    assert cuts(usual.leader, walled)
    (name,) = place_names([thing], Surroundings(blocked=blocked, words=(walled,)))
    assert name.leader is not None
    assert not cuts(name.leader, walled)


def test_a_riser_too_full_is_named_outside_its_edge(qapp: QApplication) -> None:
    riser = Named("Riser, 0.4 m high", Box(0, 0, 200, 200), id="riser", kind="area")
    assert place_names([riser])[0].inside
    full = [Named("", around((x, y), 60, 60), id=f"{x} {y}") for x in (30, 170) for y in (30, 170)]
    name = next(one for one in place_names([riser, *full]) if one.id == "riser")
    assert not name.inside
    assert not name.box.meets(riser.bounds)


def test_the_name_of_a_unit_in_the_hand_goes_along(sample: Desk) -> None:
    scene = StageScene(sample, PAPER)
    names = {one.id: one for one in scene.names.names}
    unit, item = next((key, one) for key, one in scene.footprints.items() if one.name_id in names)
    item.lift(Point(item.pos().x() + 30, item.pos().y() - 10))
    scene.write_names([unit])
    for name in scene.names.names:
        by = (30, -10) if name.id == item.name_id else (0, 0)
        assert name.box.left == pytest.approx(names[name.id].box.left + by[0])
        assert name.box.top == pytest.approx(names[name.id].box.top + by[1])
    scene.refresh()
    assert {one.id: one for one in scene.names.names} == names


def test_no_badge_of_a_sample_covers_anything(sample: Desk) -> None:
    scene = PatchScene(sample, PAPER)
    scene.show_findings(badges_of(sample.analysis().findings))
    loose = {(name, port) for name, unit in scene.units.items() for port in unit.state.loose}
    boxes = [one.box for one in scene.marks.badges]
    assert all(box.bottom - box.top <= 2 * FACE + 2 for box in boxes)
    assert not any(a.meets(b) for a, b in combinations(boxes, 2))
    ways = {thing: item.way for thing, item in scene.cables.items()}
    read = list(blocked(scene.plan, scene.plan.cards, ways, loose))
    assert not [(box, one) for box in boxes for one in read if box.meets(one)]
    for one in scene.marks.badges:
        assert scene.marks.words_at(QPointF(*one.place.at)) == one.badge.sentences


@pytest.mark.parametrize("detail", [0.35, 0.2, 0.12])
def test_from_afar_a_badge_grows_off_the_tape_of_its_card(sample: Desk, detail: float) -> None:
    scene = PatchScene(sample, PAPER)
    scene.show_findings(badges_of(sample.analysis().findings))
    shown, scale = shown_from(scene.marks.badges, detail)
    assert scale > SCALE
    for one in shown:
        assert isinstance(one.about, Thing)
        if one.about.kind == "unit" and not one.about.port and one.place.leader is None:
            card = scene.plan.cards[one.about.id]
            side = mark_side(one.badge, scale)
            assert not around(one.place.at, side, side).meets(moved(card.card.tape, card.place)), card.unit.name


def test_a_sleeve_lies_where_no_card_hides_it(sample: Desk) -> None:
    scene = PatchScene(sample, PAPER)
    bodies = [card.box for card in scene.plan.cards.values()]
    tied = [item for item in scene.cables.values() if item.cable.pieces and len(item.way) > 1]
    for item in tied:
        here = middle(tag_box(item.cable.pieces, item.way))
        before = item.sleeve_at
        item.clear_sleeve([*bodies, around(here, 60, 60)])
        after = middle(tag_box(item.cable.pieces, item.way, [*bodies, around(here, 60, 60)]))
        assert item.sleeve_at == after
        box = tag_box(item.cable.pieces, item.way, bodies)
        assert before == middle(box)
        assert not any(box.meets(body) for body in bodies)


def test_a_sleeve_moves_along_its_cable_from_under_a_card() -> None:
    way = (Point(0, 0), Point(0, 400), Point(90, 400))
    usual = tag_box(("Adapter",), way)
    assert middle(usual) == Point(0, 200)
    card = around((60, 200), 100, 60)
    moved_on = tag_box(("Adapter",), way, [card])
    assert not moved_on.meets(card)
    assert middle(moved_on).x == 0
    assert tag_box(("Adapter",), way, [Box(-500, -500, 500, 500)]) == usual


def test_badges_spread_even_where_all_want_one_place() -> None:
    wanted = [Wanted((16.0, 16.0), (Point(0, 0),), Point(0, 0)) for _ in range(40)]
    taken = Ground([(Box(-20, -20, 20, 20), "")])
    places = spread(wanted, taken, Ground([(Box(20, -40, 60, 40), "card")]))
    boxes = [around(one.at, 16, 16) for one in places]
    assert not any(a.meets(b) for a, b in combinations(boxes, 2))
    assert not any(box.meets(Box(-20, -20, 20, 20)) for box in boxes)
    assert places[-1].leader is not None


def test_several_of_a_kind_are_one_badge_with_their_count() -> None:
    thing = Thing("unit", "a")
    told = [Finding("x.y", "risk", line, (thing,)) for line in ("One.", "Two.", "Two.")]
    badge = badges_of([*told, Finding("x.y", "note", "Three.", (thing,))])[thing]
    assert (badge.severity, badge.count, badge.sentences) == ("risk", 2, ("One.", "Two.", "Three."))
    other = badges_of([Finding("x.y", "risk", "Four.", (thing,))])[thing]
    assert joined([badge, other, badge]).count == 3


def test_a_card_is_wide_enough_for_its_name(catalogue: Catalogue, qapp: QApplication) -> None:
    measure = fonts.metrics("name")
    words = [gear.name for gear in catalogue.gear.values()]
    words += ["Wide MMWW name", "ÄÖÜ große Orgel", "Left-hand keyboard of the second player", "Ill fill till 111"]
    for name in words:
        assert name_width(name) >= measure.horizontalAdvance(name), name
        card = card_of(catalogue.gear["mixer-12"], catalogue.connectors, name)
        lines, scale = fonts.fitted("name", name, (card.tape.right - card.tape.left - 6, 24.0), (1.0, 1.0))
        assert (lines, scale) == ((name,), 1.0)
        assert fonts.elided("name", name, card.tape.right - card.tape.left - 10) == name


def test_names_far_off_come_in_two_lines_where_that_is_larger(qapp: QApplication) -> None:
    lines, scale = fonts.fitted("name", "Second guest microphone", (120.0, 60.0), (0.5, 3.0))
    assert len(lines) == 2
    assert all(fonts.metrics("name", scale).horizontalAdvance(line) <= 120 for line in lines)
    assert fonts.fitted("name", "Bass", (120.0, 60.0), (0.5, 3.0))[0] == ("Bass",)
    assert fonts.fitted("name", "Riser strip", (300.0, 90.0), (0.5, 1.5)) == (("Riser strip",), 1.5)


def test_no_number_is_parted_from_its_unit_on_a_card_seen_from_afar(qapp: QApplication) -> None:
    lines, _ = fonts.fitted("name", "Lead 25 m long", (60.0, 60.0), (0.5, 3.0))
    assert len(lines) == 2
    assert any("25 m" in line for line in lines)


def test_a_leader_is_told_from_what_it_passes() -> None:
    assert cuts((Point(0, 0), Point(10, 10)), Box(4, 4, 6, 6))
    assert not cuts((Point(0, 0), Point(10, 10)), Box(6, 0, 8, 2))
