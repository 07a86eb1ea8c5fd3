"""The sample's rig planned by mouse and keyboard at a real display, in fewer than ninety gestures."""

from __future__ import annotations

from pathlib import Path

import pytest

from rigcore.analysis import analyse
from rigcore.book.file import load
from rigcore.catalogue.loader import shipped
from tests.app.session.compare import compared
from tests.app.session.hand import what_is_missing
from tests.app.session.real_x import play

MOST_GESTURES = 90
FOR_WANT_OF_A_STOCK = {"ground.loop-balanced", "carry.no-spare"}
"""Notes of the sample that speak of the player's stock and of the chapel's own mains, which the session leaves out."""


@pytest.mark.skipif(bool(what_is_missing()), reason=what_is_missing() or "all is here")
def test_the_sample_is_planned_by_mouse_and_keyboard_at_a_real_display(tmp_path: Path) -> None:
    hand, path = play(tmp_path)
    assert hand.gestures < MOST_GESTURES, hand.log
    found = compared(path)
    different = found.differences()
    assert not different.keys() - {"findings"}, found.words()
    here, lacking = different.get("findings", ([], []))
    assert not here, found.words()
    assert {rule for _severity, rule in lacking} <= FOR_WANT_OF_A_STOCK, found.words()
    analysis = analyse(load(path, shipped())[0], None, shipped())
    assert "fault" not in {one.severity for one in analysis.findings}
    assert [row.name for row in analysis.inputs] == ["Piano L", "Piano R", "Splitter Direct"]
    assert "Traceback" not in (tmp_path / "program.txt").read_text(errors="replace")
