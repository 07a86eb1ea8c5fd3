"""The pictures of the program: the table of states is whole, and each kind of picture shows what it is named for."""

from __future__ import annotations

import importlib
import math
from collections.abc import Iterator
from pathlib import Path

import pytest
from PySide6.QtCore import QCoreApplication, QEvent
from PySide6.QtGui import QColor, QImage
from PySide6.QtWidgets import QApplication, QCheckBox, QDialog, QLineEdit, QMenu, QMessageBox
from pytestqt.qtbot import QtBot

from app import dialogs
from app.dialogs.sheet_dialog import SheetDialog
from app.panes.dress import dress
from app.picture_dialogs import DIALOGS
from app.picture_states import ALL, MANY, STATES
from app.pictures import PAGES_DPI, SHIPPED_SCALE, SIZE, Studio, write_shipped
from app.theme import BLACKOUT, PAPER, Theme
from rigcore.paper.packet import MAKERS

A4_PT = (595.276, 841.89)


@pytest.fixture
def studio(qtbot: QtBot, tmp_path: Path) -> Iterator[Studio]:
    """A studio that is put away afterwards."""
    out = tmp_path / "out"
    out.mkdir()
    studio = Studio(out, tmp_path)
    try:
        yield studio
    finally:
        studio.close()
        studio.window.deleteLater()
        dress(studio._app, PAPER)


def _names(paths: list[Path]) -> list[str]:
    return [path.stem for path in paths]


def test_the_tables_name_everything_once() -> None:
    for names in ([state.name for state in STATES], [shown.name for shown in DIALOGS]):
        assert len(set(names)) == len(names)
    assert {sheet for state in STATES for sheet in state.sheets} == set(ALL)


def test_states_are_photographed_in_both_faces_and_put_away_again(studio: Studio) -> None:
    shots = studio.states(("trace", "accepting", "ladder-gain"))
    assert _names(shots) == [
        f"{state}-patch-{face}" for face in ("paper", "blackout") for state in ("trace", "accepting", "ladder-gain")
    ]
    images = [QImage(str(path)) for path in shots]
    assert {(one.width(), one.height()) for one in images} == {SIZE}
    assert len({bytes(one.constBits()) for one in images}) == len(images), "every state looks different"
    window = studio.window
    assert window.sheets.page("patch").tracing is None
    assert not any(row.is_open for row in window.findings.rows)
    assert window.desk.selection == ()


def test_the_crowd_is_one(studio: Studio) -> None:
    crowded = next(state for state in STATES if state.name == "crowded")
    crowded.enter(studio.window)
    desk = studio.window.desk
    assert len(desk.book.rig(desk.rig_id).units) >= MANY


def test_a_damaged_book_is_refused_in_a_sentence(studio: Studio) -> None:
    damaged = next(state for state in STATES if state.name == "damaged")
    damaged.enter(studio.window)
    assert studio.window.strip.tone == "refused"
    assert "cut-short.loom" in studio.window.strip.words


def test_dialogs_are_photographed_tab_by_tab(studio: Studio) -> None:
    shots = studio.dialogs(("gear", "about"))
    tabs = [f"dialog-gear-{place}" for place in (1, 2, 3)]
    assert _names(shots) == [f"{name}-{face}" for face in ("paper", "blackout") for name in (*tabs, "dialog-about")]


def test_every_dialog_is_among_them(studio: Studio) -> None:
    """Each class of a dialog in the folder of dialogs, but those that are only a frame for others."""
    for path in Path(dialogs.__file__).parent.glob("*.py"):
        importlib.import_module(f"app.dialogs.{path.stem}")
    made = set()
    for shown in DIALOGS:
        if "crowded" not in shown.name:
            shown.enter(studio.window)
            dialog = shown.make(studio.window)
            made.add(type(dialog))
            dialog.deleteLater()
            QCoreApplication.sendPostedEvents(dialog, QEvent.Type.DeferredDelete)
    assert set(_ours(QDialog)) - {SheetDialog} <= made
    assert QMessageBox in made


def _ours(kind: type) -> Iterator[type]:
    for one in kind.__subclasses__():
        if one.__module__.startswith("app.dialogs."):
            yield one
        yield from _ours(one)


def test_every_page_is_photographed_in_colour_and_in_grey(studio: Studio) -> None:
    names = _names(studio.all_pages("piper"))
    for page in set(MAKERS) - {"inputs", "plot"}:
        assert f"piper-{page}-1" in names
    assert {"piper-house-1", "piper-house-2"} <= set(names)
    assert {f"{name}-grey" for name in names if not name.endswith("-grey")} <= set(names)
    grey = QImage(str(studio._out / "piper-labels-1-grey.png"))
    assert grey.isGrayscale()


def test_what_is_shipped_is_small_and_true_in_colour(qtbot: QtBot, tmp_path: Path) -> None:
    written = write_shipped(tmp_path)
    dress(QApplication.instance(), PAPER)
    assert _names(written) == [
        "patch-paper", "stage-paper", "patch-blackout", "stage-blackout", "house-paper", "house-blackout",
        "packet-1", "packet-2",
    ]  # fmt: skip
    assert all(5_000 < path.stat().st_size < 250_000 for path in written)
    assert QImage(str(written[-1])).width() == math.ceil(A4_PT[0] / 72 * PAGES_DPI * SHIPPED_SCALE), "sharp at 200 %"
    shown = QImage(str(written[0]))
    colours = {shown.pixelColor(x, y).name() for x in range(shown.width()) for y in range(70, 570)}
    assert {PAPER.sheet, PAPER.risk, PAPER.tape, PAPER.line} <= colours, "colours that say something are kept"


def _contrast(one: QColor, other: QColor) -> float:
    """Return the contrast of two colours: WCAG 2.2, success criterion 1.4.3."""

    def light(colour: QColor) -> float:
        parts = [part / 12.92 if part <= 0.04045 else ((part + 0.055) / 1.055) ** 2.4 for part in (
            colour.redF(), colour.greenF(), colour.blueF()
        )]
        return 0.2126 * parts[0] + 0.7152 * parts[1] + 0.0722 * parts[2]

    lights = sorted((light(one), light(other)))
    return (lights[1] + 0.05) / (lights[0] + 0.05)


@pytest.mark.parametrize("theme", [PAPER, BLACKOUT], ids=lambda theme: theme.name)
def test_tick_boxes_and_placeholders_stand_out(qtbot: QtBot, qapp: QApplication, theme: Theme) -> None:
    """4.5 : 1 is asked of text; a box and its tick, of which 3 : 1 is asked, meet the same."""
    dress(qapp, theme)
    box, line = QCheckBox(""), QLineEdit()
    line.setPlaceholderText("MMMMMMMM")
    for widget in (box, line):
        qtbot.addWidget(widget)
        widget.resize(120, 28)
        widget.show()
    empty = box.grab().toImage()
    row = [empty.pixelColor(x, empty.height() // 2) for x in range(16)]
    assert max(_contrast(colour, QColor(theme.pane)) for colour in row) >= 4.5, "the edge"
    box.setChecked(True)
    ticked = box.grab().toImage()
    inside = [ticked.pixelColor(x, y) for x in range(3, 13) for y in range(8, 20)]
    filled = max({one.name() for one in inside}, key=[one.name() for one in inside].count)
    assert max(_contrast(colour, QColor(filled)) for colour in inside) >= 4.5, "the tick"
    line.clearFocus()
    written = line.grab().toImage()
    pixels = [written.pixelColor(x, y) for x in range(4, 100) for y in range(4, 24)]
    assert max(_contrast(colour, QColor(theme.field)) for colour in pixels) >= 4.5, "the placeholder"
    dress(qapp, PAPER)


@pytest.mark.parametrize("theme", [PAPER, BLACKOUT], ids=lambda theme: theme.name)
def test_the_button_that_clears_a_field_stands_out(qtbot: QtBot, qapp: QApplication, theme: Theme) -> None:
    dress(qapp, theme)
    line = QLineEdit("vo")
    line.setClearButtonEnabled(True)
    qtbot.addWidget(line)
    line.resize(160, 28)
    line.show()
    shown = line.grab().toImage()
    dots = [shown.pixelColor(x, y) for x in range(128, 154) for y in range(6, 22)]
    field = QColor(theme.field)
    seen = [_contrast(one, field) >= 3.0 for one in dots if one != field]
    assert sum(seen) >= 0.4 * len(seen) > 8, "the sign itself, not only what is on it; its edges are softened"
    dress(qapp, PAPER)


@pytest.mark.parametrize("theme", [PAPER, BLACKOUT], ids=lambda theme: theme.name)
def test_the_tick_of_a_menu_is_drawn_anew_for_a_finer_screen(qtbot: QtBot, qapp: QApplication, theme: Theme) -> None:
    dress(qapp, theme)
    menu = QMenu()
    qtbot.addWidget(menu)
    action = menu.addAction("Paper")
    action.setCheckable(True)
    action.setChecked(True)
    menu.ensurePolished()
    menu.resize(menu.sizeHint())
    image = QImage(menu.size() * 2, QImage.Format.Format_RGB32)
    image.setDevicePixelRatio(2)
    menu.render(image)
    room = menu.actionGeometry(action)
    blocks = [
        {image.pixelColor(2 * x + n % 2, 2 * y + n // 2).name() for n in range(4)}
        for x in range(room.left() + 1, room.left() + 21)
        for y in range(room.top() + 1, room.bottom())
    ]
    assert max(len(block) for block in blocks) > 2, "a picture made for 100 % would show as squares of four dots"
    assert any(QColor(theme.focus).name() in block for block in blocks)
    dress(qapp, PAPER)


@pytest.mark.parametrize("theme", [PAPER, BLACKOUT], ids=lambda theme: theme.name)
@pytest.mark.parametrize("ground", ["sheet", "card", "pane", "house_line"])
def test_soft_words_stand_out_on_every_ground(theme: Theme, ground: str) -> None:
    assert _contrast(QColor(theme.text_soft), QColor(getattr(theme, ground))) >= 4.5
