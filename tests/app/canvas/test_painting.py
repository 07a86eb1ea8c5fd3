"""A mistake in painting is told and survived."""

from __future__ import annotations

import pytest
from pytestqt.qtbot import QtBot

from app.canvas.patch_view import PatchSheet
from app.canvas.unit_item import UnitItem


def test_a_mistake_in_painting_does_not_kill_the_program(
    patch: PatchSheet, qtbot: QtBot, monkeypatch: pytest.MonkeyPatch
) -> None:
    def broken(self: UnitItem, painter: object) -> None:
        raise ValueError("a broken card")

    monkeypatch.setattr(UnitItem, "_paint_body", broken)
    with qtbot.captureExceptions() as told:
        patch.set_zoom(1.1)
        assert not patch.grab().isNull()
        qtbot.waitUntil(lambda: bool(told), timeout=2000)
        monkeypatch.undo()
        patch.set_zoom(1.0)
        patch.grab()
        qtbot.wait(0)
    assert {str(error) for _, error, _ in told} == {"a broken card"}
    assert "_paint_body" in told[0][1].__notes__[0]
