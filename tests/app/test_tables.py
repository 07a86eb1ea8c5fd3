"""The sheets that are tables: they follow the desk, and what is the user's is edited in place."""

from __future__ import annotations

import pytest
from PySide6.QtCore import Qt
from PySide6.QtWidgets import QFrame
from pytestqt.qtbot import QtBot

from app.desk import Desk
from app.dialogs.lifelines import LifelinesDialog
from app.tables.carry import CarrySheet
from app.tables.inputs import NAME, NOTES, InputsSheet
from app.tables.levels import LevelsSheet
from app.tables.power import PowerSheet
from app.tables.table_sheet import TableSheet
from rigcore import resources
from rigcore.book import file as book_file
from rigcore.catalogue.loader import shipped
from rigcore.rules.rule import Thing


def shown(sheet: TableSheet, qtbot: QtBot) -> TableSheet:
    qtbot.addWidget(sheet)
    sheet.resize(1000, 500)
    sheet.show()
    return sheet


@pytest.fixture
def inputs(desk: Desk, qtbot: QtBot) -> TableSheet:
    return shown(InputsSheet(desk), qtbot)


def column(sheet: TableSheet, heading: str) -> int:
    return [one.heading for one in sheet.columns].index(heading)


def test_a_channel_is_renamed_in_place_as_one_step(desk: Desk, inputs: TableSheet, qtbot: QtBot) -> None:
    cell = inputs.model.index(0, column(inputs, NAME))
    old = cell.data()
    assert inputs.model.setData(cell, "  Grand   left ")
    qtbot.waitUntil(lambda: inputs.model.index(0, cell.column()).data() == "Grand left")
    assert desk.history.undo_words == f"Rename {old} to Grand left"
    desk.undo()
    qtbot.waitUntil(lambda: inputs.model.index(0, cell.column()).data() == old)


def test_a_note_is_the_players_part_of_the_cell(desk: Desk, inputs: TableSheet, qtbot: QtBot) -> None:
    cell = inputs.model.index(0, column(inputs, NOTES))
    assert cell.data(Qt.ItemDataRole.EditRole) == ""
    inputs.model.setData(cell, "bright <b>sound</b>")
    qtbot.waitUntil(lambda: "bright <b>sound</b>" in inputs.model.index(0, cell.column()).data())
    assert "&lt;b&gt;" in inputs.model.index(0, cell.column()).data(Qt.ItemDataRole.ToolTipRole)


def test_what_is_computed_cannot_be_written(inputs: TableSheet) -> None:
    cell = inputs.model.index(0, column(inputs, "Source"))
    assert not cell.flags() & Qt.ItemFlag.ItemIsEditable
    assert not inputs.model.setData(cell, "something else")
    assert "computed" in cell.data(Qt.ItemDataRole.ToolTipRole)


def test_an_empty_name_is_refused(desk: Desk, inputs: TableSheet, qtbot: QtBot) -> None:
    cell = inputs.model.index(0, column(inputs, NAME))
    old = cell.data()
    with qtbot.waitSignal(desk.refused):
        inputs.model.setData(cell, " ")
    assert inputs.model.index(0, cell.column()).data() == old


@pytest.mark.parametrize("by_keyboard", [True, False])
def test_a_channel_moves_and_the_rest_keep_their_order(
    desk: Desk, inputs: TableSheet, qtbot: QtBot, by_keyboard: bool
) -> None:
    before = [row.hand_off for row in inputs.model.rows]
    if by_keyboard:
        inputs.table.selectRow(0)
        qtbot.keyClick(inputs.table, Qt.Key.Key_Down, Qt.KeyboardModifier.AltModifier)
    else:
        data = inputs.model.mimeData([inputs.model.index(0, 0)])
        inputs.model.dropMimeData(data, Qt.DropAction.MoveAction, 2, 0, inputs.model.index(-1, -1))
    assert [row.hand_off for row in inputs.model.rows] == [before[1], before[0], *before[2:]]
    assert desk.book.gig(desk.gig_id).order[:2] == (before[1], before[0])
    assert inputs.table.currentIndex().row() == 1
    desk.undo()
    qtbot.waitUntil(lambda: [row.hand_off for row in inputs.model.rows] == before)


def test_levels_select_the_input_and_show_figures(desk: Desk, qtbot: QtBot) -> None:
    sheet = shown(LevelsSheet(desk), qtbot)
    assert sheet.model.rows
    assert sheet.model.index(0, column(sheet, "Peak")).data().endswith("dBu")
    sheet.table.selectRow(0)
    assert desk.selection == (sheet.thing_of(sheet.model.rows[0]),)


def test_power_sums_each_circuit(desk: Desk, qtbot: QtBot) -> None:
    sheet = shown(PowerSheet(desk), qtbot)
    rows = sheet.model.rows
    assert [row.thing for row in rows[:-1]] == [Thing("unit", "piano"), Thing("unit", "mixer")]
    assert rows[-1].thing is None
    assert rows[-1].watts == sum(row.watts for row in rows[:-1]) > 0
    assert rows[-1].amps == pytest.approx(rows[-1].watts / 230.0)


def marked(sheet: TableSheet) -> list[int]:
    return sorted({index.row() for index in sheet.table.selectionModel().selectedIndexes()})


def test_what_is_selected_elsewhere_is_marked_in_the_tables(desk: Desk, qtbot: QtBot) -> None:
    desk.take(book_file.load(resources.samples() / "ferry.loom", shipped())[0], None)
    unit = next(one for one in desk.book.rig(desk.rig_id).units if one.name == "Keys 1")
    desk.select((Thing("unit", unit.id),))
    inputs, power = shown(InputsSheet(desk), qtbot), shown(PowerSheet(desk), qtbot)
    assert [inputs.model.rows[at].name for at in marked(inputs)] == ["Keys 1 L", "Keys 1 R"]
    assert [power.model.rows[at].name for at in marked(power)] == ["Keys 1"]
    assert desk.selection == (Thing("unit", unit.id),), "to mark is not to choose"
    line = inputs.model.rows[0]
    desk.select((Thing("landing", line.hand_off),))
    assert marked(inputs) == [0]
    desk.select(())
    assert marked(inputs) == marked(power) == []
    here = inputs.table.visualRect(inputs.table.currentIndex()).center()
    qtbot.mouseClick(inputs.table.viewport(), Qt.MouseButton.LeftButton, pos=here)
    assert desk.selection == (Thing("landing", line.hand_off),), "the row the table was left at is chosen again"


def test_an_edit_does_not_choose_the_row_a_table_was_left_at(desk: Desk, inputs: TableSheet, qtbot: QtBot) -> None:
    inputs.table.selectRow(0)
    elsewhere = (Thing("unit", desk.book.rig(desk.rig_id).units[-1].id),)
    desk.select(elsewhere)
    inputs.model.setData(inputs.model.index(1, column(inputs, NAME)), "Another name")
    qtbot.waitUntil(lambda: inputs.model.index(1, column(inputs, NAME)).data() == "Another name")
    assert desk.selection == elsewhere


def test_carry_counts_what_is_short_for_a_gig_and_for_the_tour(desk: Desk, qtbot: QtBot) -> None:
    desk.take(book_file.load(resources.samples() / "tandem.loom", shipped())[0], None)
    sheet = shown(CarrySheet(desk), qtbot)
    short = {row.what: row.short for row in sheet.model.rows if row.short}
    assert short["XLR cable, 5 m"] == "3"
    assert sheet._sum.text().startswith("Short: 6.")
    counts = {row.needed for row in sheet.model.rows if row.part in ("Stands", "Cases and units")}
    assert all(words.isdigit() for words in counts), counts
    assert not any(row.what[0].isdigit() for row in sheet.model.rows if row.part == "Stands")
    assert all(row.mass.endswith(" kg") for row in sheet.model.rows if row.part == "Cases and units")
    desk.take(book_file.load(resources.samples() / "tour.loom", shipped())[0], None)
    sheet.refresh()
    gig = {row.what for row in sheet.model.rows}
    sheet.whose.setCurrentIndex(1)
    sheet.whose.activated.emit(1)
    assert {row.what for row in sheet.model.rows if row.part in ("Cables", "Adapters and boxes")} - gig


def test_the_lifeline_card_is_worked_out_beside_the_window(desk: Desk, qtbot: QtBot) -> None:
    desk.take(book_file.load(resources.samples() / "tour.loom", shipped())[0], None)
    dialog = LifelinesDialog(desk)
    qtbot.addWidget(dialog)
    dialog.show()
    qtbot.waitUntil(lambda: dialog.rows is not None, timeout=20_000)
    assert len(dialog.findChildren(QFrame, options=Qt.FindChildOption.FindChildrenRecursively)) >= len(dialog.rows)
    assert any("Splitter" in row.dies for row in dialog.rows)
