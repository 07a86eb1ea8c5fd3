"""What gestures decide, without a window: walking, deleting, snapping, names, badges, looks, faces."""

from __future__ import annotations

import doctest

import pytest
from PySide6.QtCore import QPointF
from PySide6.QtGui import QColor, QImage, QPainter
from PySide6.QtWidgets import QApplication

from app.canvas import stage_layout, walk
from app.canvas.badges import badges_of, draw_badge
from app.canvas.faces import FACES, Ink, draw_face
from app.canvas.gestures.delete import delete_edit, what_goes
from app.canvas.gestures.draw_cable import cable_edit
from app.canvas.gestures.move_cards import lay_edit, snapped
from app.canvas.gestures.rotate_footprint import bearing
from app.canvas.gestures.rubber_band import chosen
from app.canvas.layout import Box, Point
from app.canvas.looks import look_of
from app.canvas.patch_plan import Laid
from app.canvas.stage_names import Named, place_names
from app.canvas.walk import DOWN, LEFT, Stop, in_reading_order, next_in_order, next_that_way
from app.theme import PAPER
from rigcore.book.book import Book
from rigcore.book.ids import PortRef
from rigcore.catalogue.catalogue import Catalogue
from rigcore.rules.rule import Finding, Thing


@pytest.mark.parametrize("module", [stage_layout, walk])
def test_examples_in_docstrings_hold(module: object) -> None:
    assert doctest.testmod(module).failed == 0


def test_walking_prefers_what_lies_straight_ahead() -> None:
    stops = [Stop("a", Point(0, 0)), Stop("below", Point(4, 100)), Stop("aside", Point(90, 60))]
    assert next_that_way(stops, Point(0, 0), DOWN).name == "below"
    assert next_that_way(stops, Point(0, 0), LEFT) is None
    assert [stop.name for stop in in_reading_order(stops)] == ["a", "aside", "below"]
    assert next_in_order(stops, "below", back=False) is None
    assert next_in_order(stops, None, back=True).name == "below"


def test_a_selected_port_means_its_cables(book: Book, catalogue: Catalogue) -> None:
    piano, di = book.rig("rig").units[0], book.rig("rig").units[1]
    out = next(p for p in catalogue.gear[piano.gear].ports if p.direction == "out")
    into = next(p for p in catalogue.gear[di.gear].ports if p.direction == "in")
    ends = (PortRef(unit=piano.id, port=out.id), PortRef(unit=di.id, port=into.id))
    edit = cable_edit(ends, ("gig", "rig"), catalogue, {})
    linked = edit.change(book)
    gone = what_goes([Thing("unit", piano.id, out.id)], linked, "gig")
    assert gone.links == (linked.rig("rig").links[0].id,)
    assert not gone.units
    assert not delete_edit(gone, ("gig", "rig"), {}).change(linked).rig("rig").links
    assert not what_goes([Thing("gig", "gig")], linked, "gig")


def test_moving_one_card_lays_down_all(book: Book) -> None:
    piano, di = book.rig("rig").units[:2]
    laid = Laid({piano.id: Point(48, 56)}, {})
    edit = lay_edit("rig", {di.id: Point(5, 6)}, laid, "Move unit")
    moved = edit.change(book).rig("rig")
    assert (moved.unit(piano.id).card_x, moved.unit(piano.id).card_y) == (48, 56)
    assert (moved.unit(di.id).card_x, moved.unit(di.id).card_y) == (5, 6)


def test_cards_snap_to_the_grid_unless_free() -> None:
    assert snapped(QPointF(10, 10), Point(3, 3), free=False) == QPointF(13, 13)
    assert snapped(QPointF(10, 10), Point(3, 3), free=True) == QPointF(10, 10)


def test_a_rubber_band_adds_or_replaces() -> None:
    one, other = Thing("unit", "a"), Thing("unit", "b")
    assert chosen([one], [other], add=False) == (other,)
    assert chosen([one], [other, one], add=True) == (one, other)


def test_bearings_run_clockwise_from_upstage() -> None:
    centre = QPointF(0, 0)
    assert [round(bearing(centre, QPointF(*at))) for at in ((0, -9), (9, 0), (0, 9), (-9, 0))] == [0, 90, 180, 270]


def test_names_keep_clear_of_each_other() -> None:
    things = [
        Named("Lead vox", Box(-9, -9, 9, 20), None),
        Named("Wedge", Box(-30, 22, 30, 70), Box(-30, 22, 30, 70)),
        Named("Second voice", Box(40, -9, 58, 20), None),
    ]
    names = {name.words: name for name in place_names(things)}
    assert names["Wedge"].inside
    assert not names["Lead vox"].box.meets(names["Wedge"].box)
    assert not names["Lead vox"].box.meets(names["Second voice"].box)


def test_the_worst_finding_makes_the_badge(qapp: QApplication) -> None:
    thing = Thing("unit", "a")
    badges = badges_of([Finding("x.y", "note", "One.", (thing,)), Finding("x.z", "fault", "Two.", (thing, thing))])
    assert badges[thing].severity == "fault"
    assert badges[thing].sentences == ("One.", "Two.")
    image = QImage(60, 60, QImage.Format.Format_ARGB32_Premultiplied)
    image.fill(0)
    painter = QPainter(image)
    for severity in ("fault", "risk", "note"):
        draw_badge(painter, QPointF(30, 30), severity, PAPER)
    painter.end()
    assert image.pixelColor(30, 20).alpha() > 0


def test_every_connector_has_a_face_and_it_paints(catalogue: Catalogue, qapp: QApplication) -> None:
    faces = {connector.face for connector in catalogue.connectors.values()}
    assert faces <= set(FACES)
    for face in [*sorted(faces), "unheard-of"]:
        seen = []
        for male in (True, False):
            image = QImage(40, 40, QImage.Format.Format_ARGB32_Premultiplied)
            image.fill(0)
            painter = QPainter(image)
            draw_face(painter, face, QPointF(20, 20), male=male, ink=Ink(QColor("black"), QColor("white")), radius=16)
            painter.end()
            seen.append(bytes(image.constBits()))
        assert any(seen[0])


def test_looks_follow_what_travels(catalogue: Catalogue) -> None:
    def carrier(gear: str, medium: str) -> object:
        return next(port.carrier for port in catalogue.gear[gear].ports if port.carrier.medium == medium)

    mic = look_of(carrier("dynamic-handheld", "audio"), catalogue.cables["xlr"])
    assert (mic.colour, mic.stroke) == ("mic", "solid")
    line = look_of(carrier("stage-piano-88", "audio"), catalogue.cables["ts"])
    assert (line.colour, line.stroke) == ("line", "dashed")
    assert line.width > mic.width
    assert look_of(carrier("stage-piano-88", "mains"), None).stroke == "double"
    assert look_of(carrier("pedal-sustain-open", "footswitch"), None).stroke == "dotted"
