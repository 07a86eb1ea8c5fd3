"""The pictures of the program: the ladder in the details and the gain page are among them."""

from __future__ import annotations

from pathlib import Path

from PySide6.QtGui import QImage
from pytestqt.qtbot import QtBot

from app.panes.dress import dress
from app.pictures import SIZE, Studio
from app.theme import PAPER


def test_ladders_and_gain_pages_are_photographed(qtbot: QtBot, tmp_path: Path) -> None:
    out = tmp_path / "out"
    out.mkdir()
    studio = Studio(out, tmp_path)
    try:
        ladders = list(studio.ladders("ferry", prefix="ferry-"))
        gains = studio.pages("ferry", prefix="ferry-", name="gain", pages=("gain",))
    finally:
        studio.close()
        studio.window.deleteLater()
        dress(studio._app, PAPER)
    shown = [f"ferry-ladder-{what}-{face}" for face in ("paper", "blackout") for what in ("line", "gain")]
    assert [path.stem for path in ladders] == shown
    assert [path.stem for path in gains] == ["ferry-gain-1", "ferry-gain-2"]
    for path in ladders:
        shot = QImage(str(path))
        assert (shot.width(), shot.height()) == SIZE
    assert all(path.stat().st_size > 10_000 for path in gains)
