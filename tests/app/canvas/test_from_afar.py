"""The Patch sheet from afar: letters are large enough to be read or are not there, and no badge lies on a name."""

from __future__ import annotations

import doctest
from collections import Counter
from itertools import combinations
from pathlib import Path

import pytest
from PySide6.QtCore import QRectF
from PySide6.QtGui import QImage, QPainter
from PySide6.QtWidgets import QApplication, QStyleOptionGraphicsItem

from app.canvas import far_marks, fonts, unit_item
from app.canvas.badges import badges_of
from app.canvas.badges_item import SCALE, scale_at
from app.canvas.far_marks import step_of
from app.canvas.far_names import LEAST_PX, rooms_of, strip_for, written
from app.canvas.house_layout import NUMBER_LEFT
from app.canvas.layout import FACE, Box
from app.canvas.patch_scene import PatchScene
from app.canvas.stage_scene import StageScene
from app.canvas.unit_item import MIDDLE, UnitItem, tape_words
from app.desk import Desk
from app.theme import PAPER
from rigcore import resources
from rigcore.book.file import load
from rigcore.catalogue.catalogue import Catalogue

SAMPLES = sorted(resources.samples().glob("*.loom"))


@pytest.fixture(params=SAMPLES, ids=lambda path: path.stem)
def scene(request: pytest.FixtureRequest, qapp: QApplication, catalogue: Catalogue) -> PatchScene:
    """The Patch sheet of one of the samples, with its findings told."""
    path: Path = request.param
    desk = Desk(catalogue)
    desk.take(load(path, catalogue)[0], None)
    made = PatchScene(desk, PAPER)
    made.show_findings(badges_of(desk.analysis().findings))
    return made


def noting(monkeypatch: pytest.MonkeyPatch) -> list[tuple[str, float]]:
    """Return a list that fills with what is written from now on, and how large."""
    noted: list[tuple[str, float]] = []
    draw = QPainter.drawText

    def note(painter: QPainter, *about: object) -> None:
        noted.append((str(about[-1]), painter.font().pixelSize() * painter.worldTransform().m11()))
        draw(painter, *about)  # type: ignore[call-overload]

    monkeypatch.setattr(QPainter, "drawText", note)
    return noted


def painted(scene: PatchScene, detail: float) -> None:
    """Paint the whole sheet at a scale."""
    whole = scene.sceneRect()
    image = QImage(int(whole.width() * detail) + 1, int(whole.height() * detail) + 1, QImage.Format.Format_RGB32)
    painter = QPainter(image)
    scene.render(painter, QRectF(0, 0, whole.width() * detail, whole.height() * detail), whole)
    painter.end()


@pytest.mark.parametrize("detail", [0.2, 0.45, 0.6, 0.75])
def test_nothing_is_written_in_letters_too_small_to_read(
    scene: PatchScene, detail: float, monkeypatch: pytest.MonkeyPatch
) -> None:
    noted = noting(monkeypatch)
    painted(scene, detail)
    assert noted
    assert min(size for _, size in noted) >= LEAST_PX - detail


@pytest.mark.parametrize("detail", [0.41, 0.6])
def test_what_waits_beside_the_stage_is_written_large_enough(
    scene: PatchScene, detail: float, monkeypatch: pytest.MonkeyPatch
) -> None:
    desk = Desk(scene._desk.shipped)
    desk.take(scene._desk.book, None)
    stage = StageScene(desk, PAPER)
    stage.show_findings(badges_of(desk.analysis().findings))
    stage.scale_letters(detail)
    noted = noting(monkeypatch)
    image = QImage(40, 40, QImage.Format.Format_RGB32)
    for item in stage.footprints.values():
        if item.waiting:
            painter = QPainter(image)
            painter.scale(detail, detail)
            item.paint(painter, QStyleOptionGraphicsItem())
            painter.end()
    assert all(size >= LEAST_PX - detail for _, size in noted)
    waiting = sum(item.waiting for item in stage.footprints.values())
    assert len(noted) >= waiting


@pytest.mark.parametrize("detail", [0.227, 0.3, 0.38])
def test_from_afar_every_card_bears_its_whole_name_and_no_tape_lies_on_another(
    scene: PatchScene, detail: float
) -> None:
    assert detail < MIDDLE
    boxes = {name: card.box for name, card in scene.plan.cards.items()}
    rooms = rooms_of(boxes, scene.plan.content)
    assert not [(a, b) for a, b in combinations(rooms, 2) if rooms[a].meets(rooms[b])]
    for name, card in scene.plan.cards.items():
        strip, made = strip_for(card.box, rooms[name], tape_words(card), detail)
        assert strip == pytest.approx(scene.units[name].strip(detail))
        assert rooms[name].grown(0.01).holds(strip[:2])
        assert rooms[name].grown(0.01).holds(strip[2:])
        assert scene.units[name].mapRectToScene(scene.units[name].boundingRect()).contains(unit_item.rect_of(strip))
        assert made is not None
        assert " ".join(made.lines) == tape_words(card)
        assert made.size[0] <= strip.right - strip.left


@pytest.mark.parametrize("detail", [0.36, 0.42, 0.5, 1.0])
def test_the_house_line_bears_its_whole_name(
    scene: PatchScene, detail: float, monkeypatch: pytest.MonkeyPatch
) -> None:
    noted = noting(monkeypatch)
    image = QImage(40, 40, QImage.Format.Format_RGB32)
    painter = QPainter(image)
    painter.scale(detail, detail)
    option = QStyleOptionGraphicsItem()
    option.exposedRect = scene.house.boundingRect()
    scene.house.paint(painter, option)
    painter.end()
    feet = [words for words, _ in noted if words.startswith("HOUSE LINE")]
    assert [words.partition(" · ")[2] for words in feet] == [scene._house_name()]


def test_the_number_of_a_tile_ends_beside_its_face(scene: PatchScene) -> None:
    measure = fonts.metrics("number")
    for tile in scene.plan.rows.tiles:
        end = tile.box.left + NUMBER_LEFT + measure.horizontalAdvance(tile.text.number)
        assert end <= tile.face.x - FACE + 0.5, tile.text.number


def test_a_name_without_room_is_cut_short_and_one_without_any_is_left_out(qapp: QApplication) -> None:
    whole = written("Bass", (400.0, 100.0), 0.2, 4.0)
    assert whole is not None
    assert whole.lines == ("Bass",)
    cut = written("Electromechanical", (120.0, 60.0), 0.2, 4.0)
    assert cut is not None
    assert cut.lines[0].endswith("…")
    assert fonts.font(cut.kind, cut.scale).pixelSize() * 0.2 >= LEAST_PX - 0.2
    assert written("Electromechanical", (60.0, 60.0), 0.2, 4.0) is None
    assert written("Bass", (400.0, 20.0), 0.2, 4.0) is None


def test_rooms_part_what_lies_between_two_cards(qapp: QApplication) -> None:
    sheet = Box(-500, -500, 500, 500)
    rooms = rooms_of({"a": Box(0, 0, 100, 50), "b": Box(120, 10, 220, 60), "c": Box(0, 70, 100, 120)}, sheet)
    assert rooms["a"].right < 110 < rooms["b"].left
    assert rooms["a"].bottom < 60 < rooms["c"].top
    assert rooms_of({"a": Box(-499, 0, 0, 50)}, sheet)["a"].left == -500


@pytest.mark.parametrize("detail", [0.52, 0.6, 0.68])
def test_of_the_ports_on_a_side_all_are_named_or_none(
    scene: PatchScene, detail: float, monkeypatch: pytest.MonkeyPatch
) -> None:
    drawn: list[str] = []
    monkeypatch.setattr(UnitItem, "_paint_label", lambda _self, _painter, spot, _words, _scale: drawn.append(spot.side))
    image, some, none = QImage(4, 4, QImage.Format.Format_RGB32), 0, 0
    for item in scene.units.values():
        drawn.clear()
        painter = QPainter(image)
        painter.scale(detail, detail)
        item.paint(painter, QStyleOptionGraphicsItem())
        painter.end()
        for side, count in Counter(spot.side for spot in item.placed.card.spots).items():
            assert drawn.count(side) in (0, count)
            some, none = some + (side in drawn), none + (side not in drawn)
    assert some
    assert none


@pytest.mark.parametrize("detail", [0.2, 0.45, 0.6])
def test_from_afar_no_badge_lies_on_a_name_or_another_badge_or_off_the_sheet(scene: PatchScene, detail: float) -> None:
    step = step_of(detail)
    assert scale_at(step) > SCALE
    painted(scene, detail)
    shown = scene.marks.shown
    names = {name: unit.strip(step) for name, unit in scene.units.items()}
    assert not [(one.about, name) for one in shown for name, box in names.items() if one.box.meets(box)]
    assert not any(a.box.meets(b.box) for a, b in combinations(shown, 2))
    content = scene.plan.content
    assert all(content.holds(one.box[:2]) and content.holds(one.box[2:]) for one in shown)
    told = {one.about for one in shown}
    grave = {one.about for one in scene.marks.badges if one.badge.severity == "fault"}
    assert grave <= told
    painted(scene, 1.0)
    assert scene.marks.shown == scene.marks.badges


def test_examples_in_docstrings_hold(qapp: QApplication) -> None:
    assert doctest.testmod(far_marks).failed == 0
