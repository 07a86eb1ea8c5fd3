"""The ladder in the details: which things show one, what it says, what is painted, and the gain dialled from it."""

from __future__ import annotations

import pytest
from PySide6.QtCore import QEvent, QPoint, Qt
from PySide6.QtGui import QColor, QFontMetricsF, QHelpEvent, QImage, QPainter
from PySide6.QtWidgets import QApplication, QLabel, QPushButton, QToolTip, QWidget
from pytestqt.qtbot import QtBot

from app.desk import Desk
from app.panes.details import DetailsPane
from app.panes.dress import dress
from app.panes.ladder import NAMES_APART_PX, LadderBox, LadderView, parted, span_db, units_of
from app.theme import BLACKOUT, PAPER, Theme
from rigcore import resources
from rigcore.book.edits.links import plug
from rigcore.book.edits.units import rename_unit
from rigcore.book.file import load
from rigcore.book.ids import PortRef
from rigcore.catalogue.loader import shipped
from rigcore.lists.gain_list import Ladder, figures_of, ladders_about
from rigcore.rules.rule import Thing


@pytest.fixture
def wired(desk: Desk) -> Desk:
    """The plan with the DI's thru in the mixer too, so that the piano has two lines."""
    ends = (PortRef(unit="di", port="thru-1"), PortRef(unit="mixer", port="line-1"))
    assert desk.edit("plug", lambda book: plug(book, "rig", ends, shipped()))
    return desk


@pytest.fixture
def pane(wired: Desk, qtbot: QtBot) -> DetailsPane:
    pane = DetailsPane(wired)
    pane.resize(310, 700)
    qtbot.addWidget(pane)
    pane.show()
    return pane


def show(pane: DetailsPane, *things: Thing) -> LadderBox | None:
    pane._desk.select(things)
    pane.refresh()
    return pane.form.findChild(LadderBox)


def hand_off_of(desk: Desk, unit_id: str) -> str:
    return next(one.id for one in desk.book.rig("rig").hand_offs if one.unit == unit_id)


def words(widget: QWidget) -> list[str]:
    return [label.text() for label in widget.findChildren(QLabel)]


def test_a_landing_its_hand_off_and_its_socket_show_the_same_ladder(pane: DetailsPane, wired: Desk) -> None:
    name = hand_off_of(wired, "vox")
    for thing in (Thing("landing", name), Thing("hand-off", name), Thing("socket", "in-1")):
        box = show(pane, thing)
        assert box is not None, thing
        assert box.chooser is None
        assert box.shown.title.endswith("→ 1")
        assert box.shown.rungs[-1].node.place == "house"


@pytest.mark.parametrize(
    "thing",
    [Thing("unit", "vox", "nowhere"), Thing("socket", "in-5"), Thing("house unit", "gone"), Thing("gig", "gig")],
)
def test_nothing_known_shows_nothing(pane: DetailsPane, thing: Thing) -> None:
    assert show(pane, thing) is None


def test_a_link_shows_the_ladder_down_to_its_target(pane: DetailsPane) -> None:
    box = show(pane, Thing("link", "piano-out-l-to-di"))
    assert box is not None
    assert box.shown.rungs[-1].name == "DI"


def test_a_unit_of_several_lines_has_a_chooser_that_stays_over_an_edit(
    pane: DetailsPane, wired: Desk, qtbot: QtBot
) -> None:
    box = show(pane, Thing("unit", "di"))
    assert box is not None
    assert box.chooser is not None
    assert box.chooser.count() == 2
    box.chooser.setCurrentIndex(1)
    box.chooser.activated.emit(1)
    title = box.shown.title
    assert box.findChild(LadderView).ladder.title == title
    wired.edit("rename", lambda book: rename_unit(book, "rig", "vox", "Voice"))
    pane.refresh()
    again = pane.form.findChild(LadderBox)
    assert again is not box
    assert again.shown.title == title


def test_the_box_says_head_room_and_gain_as_plain_text(pane: DetailsPane) -> None:
    box = show(pane, Thing("socket", "in-1"))
    assert box is not None
    assert box.shown.head_room_words in words(box)
    assert box.shown.gain_words in words(box)
    assert box.shown.title.startswith("Lead & <b>vox</b>")
    assert all(label.textFormat() == Qt.TextFormat.PlainText for label in box.findChildren(QLabel))


def test_the_picture_is_told_to_who_cannot_see_it(pane: DetailsPane) -> None:
    box = show(pane, Thing("socket", "in-2"))
    assert box is not None
    view = box.findChild(LadderView)
    assert view.accessibleName() == f"Ladder, {box.shown.title}"
    for rung in box.shown.rungs:
        assert all(figure in view.accessibleDescription() for figure in figures_of(rung))


def test_each_column_tells_its_figures(pane: DetailsPane, qtbot: QtBot) -> None:
    box = show(pane, Thing("socket", "in-1"))
    assert box is not None
    view = box.findChild(LadderView)
    rungs = view.ladder.rungs
    for place, rung in enumerate(rungs):
        assert view.rung_at(view.column(place).center().x()) is rung
    assert view.rung_at(2.0) is None
    at = view.column(0).center().toPoint()
    QApplication.sendEvent(view, QHelpEvent(QEvent.Type.ToolTip, at, view.mapToGlobal(QPoint(at))))
    qtbot.waitUntil(lambda: bool(QToolTip.text()))
    assert "<b>vox" not in QToolTip.text()
    assert "&lt;b&gt;vox" in QToolTip.text()
    assert "peak" in QToolTip.text()


@pytest.fixture
def ladder(wired: Desk) -> Ladder:
    return ladders_about(wired.analysis().patch, Thing("socket", "in-2"))[0]


def picture(view: LadderView) -> QImage:
    return view.grab().toImage()


@pytest.mark.parametrize("theme", [PAPER, BLACKOUT])
def test_bars_and_clip_are_painted_where_the_levels_lie(
    ladder: Ladder, theme: Theme, qtbot: QtBot, qapp: QApplication
) -> None:
    dress(qapp, theme)
    try:
        view = LadderView(ladder)
        view.resize(285, view.sizeHint().height())
        qtbot.addWidget(view)
        shot = picture(view)
        for place, rung in enumerate(ladder.rungs):
            x = round(view.column(place).center().x()) - 5
            level = rung.level
            between = (view.y_of(level.nominal_dbu) + view.y_of(level.peak_dbu)) / 2
            assert shot.pixelColor(x, round(between)).name() == theme.mic
            low = (view.y_of(level.nominal_dbu) + view.y_of(level.noise_dbu)) / 2
            assert shot.pixelColor(x, round(low)).name() not in (theme.mic, theme.card)
            if rung.clip_dbu is not None:
                colours = [shot.pixelColor(x, round(view.y_of(rung.clip_dbu)) + step) for step in (-1, 0, 1)]
                assert QColor(theme.fault) in colours
    finally:
        dress(qapp, PAPER)


def test_higher_levels_lie_higher_and_all_on_the_scale(ladder: Ladder, qtbot: QtBot) -> None:
    view = LadderView(ladder)
    qtbot.addWidget(view)
    view.resize(285, view.sizeHint().height())
    low, high = span_db(ladder.rungs)
    assert view.y_of(high) == view.plot().top() + view._line, "a figure has room above the highest"
    assert view.y_of(low) == view.plot().bottom()
    for rung in ladder.rungs:
        level = rung.level
        assert low <= level.noise_dbu <= level.nominal_dbu <= level.peak_dbu < high
    assert units_of(ladder.rungs)[0][0] == 0
    assert units_of(ladder.rungs)[-1][1] == len(ladder.rungs) - 1


@pytest.mark.parametrize("wide", [1, 40, 120, 900])
def test_any_width_is_painted(ladder: Ladder, wide: int, qtbot: QtBot) -> None:
    view = LadderView(ladder)
    qtbot.addWidget(view)
    view.resize(wide, view.sizeHint().height())
    assert not picture(view).isNull()


def test_the_gain_is_dialled_by_one_undoable_edit(pane: DetailsPane, wired: Desk, qtbot: QtBot) -> None:
    show(pane, Thing("unit", "mixer", "line-1"))
    told = pane.form.findChild(QLabel, "told Gain to dial")
    button = pane.form.findChild(QPushButton, "Dial it")
    past = len(wired.history.past)
    qtbot.mouseClick(button, Qt.MouseButton.LeftButton)
    setting = wired.book.rig("rig").unit("mixer").setting("line-1")
    assert told.text() == f"{setting.gain_db:+.1f} dB".replace("-", "−")
    assert len(wired.history.past) == past + 1
    pane.refresh()
    assert pane.form.findChild(QPushButton, "Dial it") is None
    assert pane.form.findChild(QLabel, "told Gain to dial").text().endswith("as dialled")
    wired.undo()
    assert wired.book.rig("rig").unit("mixer").setting("line-1").gain_db is None


def test_a_gain_that_cannot_be_is_told_why(pane: DetailsPane, wired: Desk, monkeypatch: pytest.MonkeyPatch) -> None:
    from msgspec.structs import replace

    from app.panes.forms import port_rows
    from rigcore.lists.gain_list import gain_at

    monkeypatch.setattr(
        port_rows, "gain_at", lambda patch, node: replace(gain_at(patch, node), problem="its highest gain is 2 dB")
    )
    show(pane, Thing("unit", "mixer", "line-1"))
    assert pane.form.findChild(QPushButton, "Dial it") is None
    assert "Not possible: its highest gain is 2 dB." in words(pane.form)


def test_an_input_that_nothing_reaches_has_no_gain_to_dial(pane: DetailsPane) -> None:
    show(pane, Thing("unit", "mixer", "mic-2"))
    assert pane.form.findChild(QWidget, "Gain") is not None
    assert pane.form.findChild(QLabel, "told Gain to dial") is None


def test_the_button_is_brought_into_view(pane: DetailsPane) -> None:
    pane.resize(310, 300)
    show(pane, Thing("unit", "mixer", "line-1"))
    pane.reveal("Dial it")
    button = pane.form.findChild(QPushButton, "Dial it")
    assert pane.rect().contains(button.mapTo(pane, button.rect().center()))
    pane.reveal("no such field")


def test_names_under_the_ladder_are_whole_where_two_lines_hold_them(
    qtbot: QtBot, qapp: QApplication, monkeypatch: pytest.MonkeyPatch
) -> None:
    """All lines of the samples, in a pane as narrow as the window has it at 1366 by 768."""
    drawn: list[str] = []
    draw = QPainter.drawText

    def noted(painter: QPainter, *about: object) -> None:
        drawn.append(str(about[-1]))
        draw(painter, *about)  # type: ignore[call-overload]

    monkeypatch.setattr(QPainter, "drawText", noted)
    tall, seen = set(), 0
    for path in sorted(resources.samples().glob("*.loom")):
        desk = Desk(shipped())
        desk.take(load(path, shipped())[0], None)
        for row in desk.analysis().inputs:
            for ladder in ladders_about(desk.analysis().patch, Thing("landing", row.hand_off)):
                view = LadderView(ladder)
                qtbot.addWidget(view)
                view.resize(274, view.sizeHint().height())
                view.resize(274, view.sizeHint().height())
                tall.add(view.height())
                drawn.clear()
                view.grab()
                measure = QFontMetricsF(view.small)
                for place, rung in enumerate(ladder.rungs):
                    lines = parted(rung.port, measure, view.port_room(place).width() - NAMES_APART_PX)
                    if all(measure.horizontalAdvance(one) <= view.column(place).width() - 3 for one in lines):
                        assert set(lines) <= set(drawn), rung.port
                        seen += 1
                for first, last, name in units_of(ladder.rungs):
                    lines = parted(name, measure, view.column(last).right() - view.column(first).left() - 3)
                    wide = view.column(last).right() - view.column(first).left() - NAMES_APART_PX
                    if all(measure.horizontalAdvance(one) <= wide for one in lines):
                        assert set(lines) <= set(drawn), name
                words = [one for one in drawn if one.endswith("…")]
                assert len(words) <= len(ladder.rungs) / 3, words
    assert seen > 50
    assert len(tall) > 1, "it grows by a line where a name takes two"


def test_a_port_s_name_takes_room_its_neighbours_spare_but_not_another_unit_s(
    wired: Desk, qtbot: QtBot, qapp: QApplication
) -> None:
    (ladder, *_) = ladders_about(wired.analysis().patch, Thing("unit", "piano"))
    view = LadderView(ladder)
    qtbot.addWidget(view)
    view.resize(160, view.sizeHint().height())
    for first, last, _ in units_of(ladder.rungs):
        for place in range(first, last + 1):
            room = view.port_room(place)
            assert room.left() >= view.column(first).left() - 0.01
            assert room.right() <= view.column(last).right() + 0.01
