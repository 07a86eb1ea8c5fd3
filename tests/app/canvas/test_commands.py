"""Lining up, copying, tidying, tracing, finding on the Patch sheet: pure decisions, and the sheet through the desk."""

from __future__ import annotations

import doctest
from itertools import combinations, pairwise

import pytest
from PySide6.QtCore import QMimeData, QPointF, Qt
from PySide6.QtGui import QAccessible, QGuiApplication
from pytestqt.qtbot import QtBot

from app.canvas import arrange, find, looms, tracing
from app.canvas.badge_places import BadgePlace
from app.canvas.badges import SIZE, Badge
from app.canvas.badges_item import LEAST_PX, SCALE, PlacedBadge, shown_from
from app.canvas.find import Entry, entries, ranked
from app.canvas.hits import Hit
from app.canvas.layout import Box, Card, Point
from app.canvas.looms import tie_looms
from app.canvas.patch_commands import rig_of
from app.canvas.patch_view import PatchSheet
from app.canvas.scrap_mime import UNITS_MIME
from app.canvas.tidy import Rig, Strand, crossings, layers, ordered, tidy_places
from app.desk import Desk
from rigcore.book.book import Book
from rigcore.book.edits.gigs import land_port
from rigcore.book.edits.links import bundle, plug
from rigcore.book.ids import PortRef
from rigcore.catalogue.catalogue import Catalogue
from rigcore.rules.rule import Thing

PIANO, DI, VOX = "88-key-stage-piano", "passive-di-box-stereo", "dynamic-handheld-microphone"


@pytest.fixture
def wired(desk: Desk, patch: PatchSheet, catalogue: Catalogue) -> Desk:
    """The small rig with the piano into the DI, the DI and the voice into the house."""
    ids = {unit.name: unit.id for unit in desk.book.rig("rig").units}
    piano, di, vox = ids["Piano"], ids["DI"], ids["Lead vox"]

    def wire(book: Book) -> Book:
        for side, number in (("l", 1), ("r", 2)):
            ends = (PortRef(unit=piano, port=f"out-{side}"), PortRef(unit=di, port=f"in-{number}"))
            book = plug(book, "rig", ends, catalogue)
        for ref, socket in ((PortRef(unit=di, port="out-1"), "in-2"), (PortRef(unit=vox, port="out"), "in-5")):
            book = land_port(book, "gig", ref, socket, catalogue=catalogue)
        return book

    assert desk.edit("Wire", wire)
    return desk


def named(desk: Desk, name: str) -> str:
    return next(unit.id for unit in desk.book.rig("rig").units if unit.name == name)


@pytest.mark.parametrize("module", [arrange, find, looms, tracing])
def test_examples_in_docstrings_hold(module: object) -> None:
    result = doctest.testmod(module)
    assert result.attempted
    assert not result.failed


def test_aligning_and_spreading_are_one_step_each(patch: PatchSheet, desk: Desk) -> None:
    desk.select([Thing("unit", unit.id) for unit in desk.book.rig("rig").units])
    for line, edge in (("left", 0), ("top", 1)):
        patch.commands.align(line)
        assert len({card.box[edge] for card in patch.patch.plan.cards.values()}) == 1
    patch.commands.spread("across")
    boxes = sorted(card.box for card in patch.patch.plan.cards.values())
    gaps = {round(right.left - left.right, 6) for left, right in pairwise(boxes)}
    assert gaps == {0.0}, "what lay on one spot comes edge to edge"
    assert len(desk.history.past) == 3
    patch.commands.align("top")
    assert len(desk.history.past) == 3, "what lies in line already is no step"


def test_a_duplicate_keeps_the_cables_between_and_has_ids_of_its_own(patch: PatchSheet, wired: Desk) -> None:
    wired.select([Thing("unit", named(wired, "Piano")), Thing("unit", named(wired, "DI"))])
    before = wired.book.rig("rig")
    patch.commands.duplicate()
    rig = wired.book.rig("rig")
    assert [unit.name for unit in rig.units[3:]] == ["Piano 2", "DI 2"]
    assert len(rig.links) == 4
    assert {end.unit for link in rig.links[2:] for end in (link.source, link.target)} == {u.id for u in rig.units[3:]}
    assert [one.id for one in wired.selection] == [unit.id for unit in rig.units[3:]]
    assert len({card.place for card in patch.patch.plan.cards.values()}) == 5, "none lies exactly on another"
    wired.undo()
    assert wired.book.rig("rig") == before


def test_copying_goes_into_another_window(
    patch: PatchSheet, wired: Desk, qtbot: QtBot, catalogue: Catalogue
) -> None:
    wired.select([Thing("unit", named(wired, "Piano")), Thing("unit", named(wired, "DI"))])
    qtbot.keyClick(patch, Qt.Key.Key_C, Qt.KeyboardModifier.ControlModifier)
    assert "Piano" in QGuiApplication.clipboard().text()
    other = PatchSheet(Desk(catalogue))
    qtbot.addWidget(other)
    qtbot.keyClick(other, Qt.Key.Key_V, Qt.KeyboardModifier.ControlModifier)
    assert [unit.name for unit in other.desk.book.rig(other.desk.rig_id).units] == ["Piano", "DI"]
    assert len(other.desk.book.rig(other.desk.rig_id).links) == 2


@pytest.mark.parametrize("text", ["", "{}", "[1]", '{"format": "loomwright units", "units": []}', "\udcff", "nonsense"])
def test_a_damaged_clipboard_is_refused_in_a_sentence(patch: PatchSheet, desk: Desk, text: str) -> None:
    data, told, before = QMimeData(), [], desk.book
    desk.refused.connect(told.append)
    data.setData(UNITS_MIME, text.encode("utf-8", errors="replace"))
    QGuiApplication.clipboard().setMimeData(data)
    patch.commands.paste()
    assert len(told) == 1
    assert "clipboard" in told[0]
    assert desk.book is before


def test_a_foreign_clipboard_is_refused_too(patch: PatchSheet, desk: Desk) -> None:
    told: list[str] = []
    desk.refused.connect(told.append)
    QGuiApplication.clipboard().setText("some words")
    patch.commands.paste()
    assert len(told) == 1


def test_tidying_flows_down_overlaps_nothing_and_is_one_step(patch: PatchSheet, wired: Desk) -> None:
    steps = len(wired.history.past)
    patch.commands.tidy()
    patch.end_glide()
    cards = patch.patch.plan.cards
    assert len(wired.history.past) == steps + 1
    assert not any(a.box.meets(b.box) for a, b in combinations(cards.values(), 2))
    assert cards[named(wired, "Piano")].box.bottom < cards[named(wired, "DI")].box.top
    assert tidy_places(rig_of(patch.patch.plan)) == tidy_places(rig_of(patch.patch.plan))
    patch.commands.tidy()
    assert len(wired.history.past) == steps + 1, "a tidy sheet is left alone"


def test_many_cards_lie_in_the_shape_of_a_window_over_what_they_feed() -> None:
    """Sixty sources into ten boxes: dealt out to rows, not strung out in a staircase."""
    card = Card(170.0, 100.0, Box(0, 0, 0, 0), Box(0, 0, 0, 0), ())
    sources = [f"source {n}" for n in range(60)]
    boxes = [f"box {n}" for n in range(10)]
    rig = Rig(dict.fromkeys([*sources, *boxes], card), [Strand(one, boxes[n // 6]) for n, one in enumerate(sources)])
    places = tidy_places(rig)
    laid = {name: card.box_at(place) for name, place in places.items()}
    assert not any(a.meets(b) for a, b in combinations(laid.values(), 2))
    wide, high = (max(place[axis] for place in places.values()) for axis in (0, 1))
    assert 1.0 < (wide + card.width) / (high + card.height) < 2.6
    for n, one in enumerate(sources):
        assert places[one].y < places[boxes[n // 6]].y
        assert abs(places[one].x - places[boxes[n // 6]].x) < 2.5 * card.width


def test_layers_cut_circles_and_orders_cross_little() -> None:
    strands = [Strand("a", "c"), Strand("c", "a"), Strand("c", "d"), Strand("b", "d"), Strand("a", "d")]
    depth = layers(["a", "b", "c", "d"], strands)
    assert depth == {"a": 0, "b": 1, "c": 1, "d": 2}
    crossed = [Strand(f"u{n}", f"v{9 - n}") for n in range(10)]
    names = [f"{row}{n}" for row in "uv" for n in range(10)]
    order = [names[:10], names[10:]]
    assert crossings(order, crossed) == 45
    found = ordered(names, crossed, layers(names, crossed), ())
    assert crossings(found, crossed) == 0


def test_a_trace_lights_the_way_to_the_house_and_tells_the_levels(patch: PatchSheet, wired: Desk) -> None:
    piano, di, vox = (named(wired, name) for name in ("Piano", "DI", "Lead vox"))
    wired.select((Thing("unit", piano),))
    patch.toggle_trace()
    assert patch.tracing is not None
    assert patch.tracing.reaches_house
    lit = patch.patch.lights.only or frozenset()
    assert {Thing("unit", piano), Thing("unit", di), Thing("socket", "in-2")} <= lit
    assert Thing("unit", vox) not in lit
    assert patch.patch.units[vox].state.faded
    assert not patch.patch.units[di].state.faded
    lights = patch.patch.lights
    assert lights.is_behind(Thing("unit", vox, "mic"))
    assert not lights.is_behind(Thing("unit", di, "in-1"))
    tags = patch.tags()
    assert len(tags) >= 3
    assert all(tag.words.endswith(" dBu") for tag in tags)
    assert not any(a.box.meets(b.box) for a, b in combinations(tags, 2))
    assert not any(tag.box.meets(badge.box) for tag in tags for badge in patch.patch.badges_shown)
    wired.select((Thing("unit", vox),))
    assert Thing("unit", vox) in (patch.patch.lights.only or ())
    patch.show_trace(False)
    assert not any(item.state.faded for item in patch.patch.units.values())


def test_the_best_fit_comes_first() -> None:
    among = [
        Entry("port", "DI · Out 1", "", ()), Entry("unit", "Out rack", "", ()), Entry("unit", "DI", "passive box", ()),
        Entry("channel", "12 Keys L", "", ()), Entry("finding", "The DI is hot.", "risk", ()),
    ]  # fmt: skip
    assert [one.words for one in ranked("di", among)][:2] == ["DI", "DI · Out 1"]
    assert ranked("out", among)[0].words == "Out rack"
    assert [one.words for one in ranked("di 1", among)] == ["DI · Out 1"]
    assert ranked("passive", among)[0].words == "DI"
    assert ranked("KÉYS", among)[0].words == "12 Keys L"
    assert not ranked("", among)
    assert not ranked("zzz", among)


def test_finding_is_done_by_the_keyboard_alone(patch: PatchSheet, wired: Desk, qtbot: QtBot) -> None:
    qtbot.keyClick(patch, Qt.Key.Key_F, Qt.KeyboardModifier.ControlModifier)
    assert patch.find is not None
    qtbot.keyClicks(patch.find.line, "lead")
    assert wired.selection == (Thing("unit", named(wired, "Lead vox")),)
    qtbot.keyClick(patch.find.line, Qt.Key.Key_Return)
    assert patch.find is None
    assert patch.keys.here == Hit("unit", named(wired, "Lead vox"))
    before = wired.selection
    field = patch.open_find()
    qtbot.keyClicks(field.line, "piano")
    qtbot.keyClick(field.line, Qt.Key.Key_Escape)
    assert wired.selection == before
    assert any(one.kind == "port" for one in entries(patch.patch.plan))


def test_what_is_found_lies_beside_the_field_or_below_it(patch: PatchSheet, wired: Desk, qtbot: QtBot) -> None:
    for width, height in ((900, 640), (520, 640), (1400, 420)):
        patch.resize(width, height)
        for words in ("lead", "piano", "di"):
            patch.zoom_to_fit()
            field = patch.open_find()
            qtbot.keyClicks(field.line, words)
            (thing,) = wired.selection
            place = patch.mapFromScene(patch.patch.area_of(thing)).boundingRect()
            assert not field.geometry().intersects(place), (width, words)
            assert patch.viewport().rect().contains(place), (width, words)
            qtbot.keyClick(field.line, Qt.Key.Key_Return)


def test_an_end_of_a_cable_is_moved_by_hand_and_by_key(
    patch: PatchSheet, wired: Desk, qtbot: QtBot, drag: object
) -> None:
    thing = next(thing for thing, cable in patch.patch.plan.cables.items() if cable.end == "in-5")
    way = patch.patch.cables[thing].way
    taken = QPointF(way[-1].x, way[-1].y - 20)
    drag(patch, taken, QPointF(*patch.patch.face_at("in-7")[0]))  # type: ignore[operator]
    assert wired.book.gig("gig").landing(thing.id).socket == "in-7"  # type: ignore[union-attr]
    assert wired.history.undo_words == "Move the end of a cable"
    patch.keys.here = Hit("tile", "in-7")
    qtbot.keyClick(patch, Qt.Key.Key_Return, Qt.KeyboardModifier.ShiftModifier)
    patch.keys.here = Hit("tile", "in-8")
    patch.gesture.hold_over(patch.keys.here, taken)  # type: ignore[union-attr]
    qtbot.keyClick(patch, Qt.Key.Key_Return)
    assert wired.book.gig("gig").landing(thing.id).socket == "in-8"  # type: ignore[union-attr]
    assert len(wired.book.gig("gig").landings) == 2


def test_a_moved_link_keeps_its_label_loom_and_place(patch: PatchSheet, wired: Desk, catalogue: Catalogue) -> None:
    from rigcore.book.edits.replug import move_link_end

    first = wired.book.rig("rig").links[0]
    book = bundle(wired.book, "rig", [first.id], "Tails")
    vox = PortRef(unit=named(wired, "Lead vox"), port="out")
    moved = move_link_end(book, "rig", first.id, (first.target, vox), catalogue=catalogue).rig("rig")
    assert [link.id for link in moved.links] == [link.id for link in book.rig("rig").links]
    assert (moved.links[0].source, moved.links[0].target, moved.links[0].loom) == (vox, first.target, "tails")


def test_a_loom_is_tied_where_its_cables_lie_side_by_side(patch: PatchSheet, wired: Desk) -> None:
    assert not patch.patch.looms.ties
    links = [link.id for link in wired.book.rig("rig").links]
    wired.edit("Bundle", lambda book: bundle(book, "rig", links, "Keys loom"))
    ties = patch.patch.looms.ties
    assert [one.words for one in ties] == ["Keys loom"]
    assert ties[0].tie.cables == 2
    apart = [(Point(0, 0), Point(0, 90)), (Point(200, 0), Point(200, 90))]
    assert not tie_looms({"loose": apart}), "what lies apart cannot be tied"


def test_the_overview_shows_and_moves_the_window(patch: PatchSheet, wired: Desk, qtbot: QtBot) -> None:
    patch.show_overview(True)
    patch.set_zoom(3.0)
    small = patch.overview
    qtbot.mouseClick(small, Qt.MouseButton.LeftButton, pos=small.rect().center())
    middle = patch.mapToScene(patch.viewport().rect().center())
    assert (middle - patch.content().center()).manhattanLength() < 12
    assert small.frame().width() < small.width()
    wired.select((Thing("unit", named(wired, "DI")),))
    patch.commands.zoom_to_selection()
    seen = patch.mapToScene(patch.viewport().rect()).boundingRect()
    assert seen.contains(patch.patch.area_of(Thing("unit", named(wired, "DI"))))


def test_assistive_tools_find_every_card_and_socket(patch: PatchSheet, wired: Desk, qtbot: QtBot) -> None:
    spoken = QAccessible.queryAccessibleInterface(patch)
    assert spoken.role() == QAccessible.Role.List
    children = [spoken.child(n) for n in range(spoken.childCount())]
    names = [child.text(QAccessible.Text.Name) for child in children]
    assert names[:3] == ["Piano", "Lead vox", "DI"]
    assert len(names) == 3 + len(patch.patch.plan.rows.tiles)
    assert [spoken.indexOfChild(child) for child in children] == list(range(len(children)))
    qtbot.keyClick(patch, Qt.Key.Key_Tab)
    patch.keys.go_to_thing(Thing("unit", named(wired, "Piano"), "out-l"))
    assert patch.accessibleDescription().startswith("Piano L/mono: output")
    assert "DI" in patch.accessibleDescription()



def test_badges_keep_their_letters_from_afar_and_lie_apart() -> None:
    badges = [
        PlacedBadge(n, Badge(severity, ("x",)), BadgePlace(Point(n * 6.0, 0)))
        for n, severity in enumerate(("note", "fault", "risk", "note"))
    ]
    assert shown_from(badges, 1.0) == (badges, SCALE)
    kept, scale = shown_from(badges, 0.2)
    assert scale * SIZE * 0.2 >= LEAST_PX - 0.01
    assert [one.badge.severity for one in kept] == ["fault"], "the gravest stands for those it covers"
