"""Watches for the toolkit losing references to None: version 6.12.0 does, and then aborts."""

from __future__ import annotations

import sys

import pytest
from PySide6.QtGui import QPainterPath


@pytest.mark.skipif(sys.version_info >= (3, 12), reason="None is immortal here")
def test_a_call_that_returns_nothing_costs_no_reference() -> None:
    path = QPainterPath()
    path.moveTo(0, 0)
    before = sys.getrefcount(None)
    for _ in range(1000):
        path.moveTo(0, 0)
    assert abs(sys.getrefcount(None) - before) < 100, "this release of PySide6 must not be used on this Python"
