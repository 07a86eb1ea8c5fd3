"""The picture kept of a sheet: it shows what the scene shows, draws only what has changed, and never lags behind."""

from __future__ import annotations

from PySide6.QtCore import QCoreApplication, QEvent, QPoint, QPointF, QRect, QRectF, Qt
from PySide6.QtGui import QColor, QImage, QPainter, QWheelEvent
from pytestqt.qtbot import QtBot

from app.canvas.gestures.gesture import Pointer
from app.canvas.gestures.move_cards import MoveCards
from app.canvas.patch_view import PatchSheet
from app.canvas.picture import Picture, Seen
from app.desk import Desk
from app.theme import BLACKOUT
from rigcore.book.edits.units import move_cards
from rigcore.rules.rule import Thing


def painted(sheet: PatchSheet) -> QImage:
    """What the window shows, once the scene has told what has changed."""
    QCoreApplication.sendPostedEvents(sheet.patch, QEvent.Type.MetaCall.value)
    return sheet.viewport().grab().toImage()


def straight(sheet: PatchSheet) -> QImage:
    """The same painted by the scene itself, without a picture kept."""
    image = QImage(sheet.viewport().size(), QImage.Format.Format_RGB32)
    painter = QPainter(image)
    painter.setRenderHints(sheet.renderHints())
    shown = QRectF(sheet.viewport().rect())
    sheet.patch.render(painter, shown, sheet.mapToScene(sheet.viewport().rect()).boundingRect())
    painter.end()
    return image


def differing(one: QImage, other: QImage) -> int:
    """Return how many of every third dot differ visibly."""
    count = 0
    for x in range(0, one.width(), 3):
        for y in range(0, one.height(), 3):
            a, b = one.pixelColor(x, y), other.pixelColor(x, y)
            count += abs(a.lightness() - b.lightness()) > 24
    return count


def test_the_window_shows_what_the_scene_holds(patch: PatchSheet) -> None:
    assert differing(painted(patch), straight(patch)) == 0
    patch.horizontalScrollBar().setValue(patch.horizontalScrollBar().value() + 33)
    assert differing(painted(patch), straight(patch)) == 0


def test_an_edit_a_selection_and_a_theme_are_seen_at_once(patch: PatchSheet, desk: Desk) -> None:
    before = painted(patch)
    name = next(iter(patch.patch.units))
    desk.edit("Move", lambda book: move_cards(book, "rig", {name: (200.0, 120.0)}))
    assert differing(before, painted(patch)) > 50
    assert differing(painted(patch), straight(patch)) == 0
    desk.select((Thing("unit", name),))
    assert differing(painted(patch), straight(patch)) == 0
    patch.set_theme(BLACKOUT)
    assert differing(painted(patch), straight(patch)) == 0


def test_only_what_changed_is_drawn_again(patch: PatchSheet, desk: Desk) -> None:
    painted(patch)
    drawn = patch.picture.pieces
    painted(patch)
    assert patch.picture.pieces == drawn, "a repaint of an unchanged sheet draws nothing"
    patch.horizontalScrollBar().setValue(patch.horizontalScrollBar().value() + 1)
    painted(patch)
    assert patch.picture.pieces == drawn, "nor does a small pan, there is a margin"
    desk.select((Thing("unit", next(iter(patch.patch.units))),))
    painted(patch)
    assert 0 < patch.picture.pieces - drawn < 4


def test_while_the_wheel_turns_the_last_picture_is_scaled_and_then_drawn(patch: PatchSheet, qtbot: QtBot) -> None:
    painted(patch)
    drawn = patch.picture.pieces
    middle = QPointF(patch.viewport().rect().center())
    event = QWheelEvent(
        middle, middle, QPoint(), QPoint(0, 120), Qt.MouseButton.NoButton, Qt.KeyboardModifier.NoModifier,
        Qt.ScrollPhase.NoScrollPhase, False,
    )  # fmt: skip
    patch.wheelEvent(event)
    patch.viewport().repaint()
    assert patch.picture.pieces == drawn
    qtbot.waitUntil(lambda: patch.picture.is_fresh(patch.seen()), timeout=4000)
    assert differing(painted(patch), straight(patch)) == 0


def test_cards_in_the_hand_are_carried_over_a_still_sheet(patch: PatchSheet, desk: Desk) -> None:
    name = next(iter(patch.patch.units))
    item = patch.patch.units[name]
    at = item.pos() + QPointF(20, 20)
    gesture = MoveCards(desk, patch.patch, [name], name)
    patch.begin(gesture, Pointer(at, patch.mapFromScene(at)))
    gesture.move(Pointer(at + QPointF(80, 160), QPoint()))
    assert item.scene() is None
    assert item.pos() == QPointF(*patch.patch.plan.cards[name].place) + QPointF(80, 160)
    patch.finish()
    shown = painted(patch)
    assert differing(shown, straight(patch)) > 50, "the card is in the hand, not on the sheet"
    drawn = patch.picture.pieces
    gesture.move(Pointer(at + QPointF(96, 160), QPoint()))
    assert differing(shown, painted(patch)) > 20
    assert patch.picture.pieces == drawn, "moving on draws nothing of the sheet"
    patch.cancel_gesture()
    assert item.scene() is patch.patch
    assert differing(painted(patch), straight(patch)) == 0


def test_slices_stop_in_time_and_begin_at_the_hand(patch: PatchSheet) -> None:
    picture = Picture(patch.patch)
    seen = Seen(1.0, QRect(0, 0, 1280, 960), 1.0)
    assert not picture.bring(seen, seconds=0.0)
    assert picture.pieces == 0
    while not picture.bring(seen, seconds=1e-6):
        assert picture.pieces < 60
    assert picture.is_fresh(seen)
    picture.stir([QRectF(10, 10, 20, 20)])
    assert not picture.is_fresh(seen)
    assert picture.bring(seen)


def test_what_is_not_drawn_yet_shows_the_ground(patch: PatchSheet) -> None:
    picture, seen = Picture(patch.patch), Seen(1.0, QRect(0, 0, 40, 40), 1.0)
    image = QImage(40, 40, QImage.Format.Format_RGB32)
    painter = QPainter(image)
    picture.show(painter, seen, QColor("#123456"))
    painter.end()
    assert image.pixelColor(20, 20) == QColor("#123456")
