"""What a start does not pay for: slow libraries, and the toolkit's classes nobody has asked for."""

from __future__ import annotations

import json
import os
import subprocess
import sys
from pathlib import Path

import pytest

TOP = Path(__file__).resolve().parents[2]

STARTED = """
import enum, json, os, sys
made, make = [], enum.EnumType._create_
def create(kind, name, *what, **more):
    made.append(name)
    return make(kind, name, *what, **more)
enum.EnumType._create_ = create
from PySide6.QtWidgets import QApplication
from app import __main__ as start
window = start.begin(None, True)
for _ in range(3):
    QApplication.processEvents()
print(json.dumps({"modules": list(sys.modules), "enumerations": made, "rows": len(window.findings.rows)}))
sys.stdout.flush()
os._exit(0)
"""


@pytest.fixture(scope="module")
def started(tmp_path_factory: pytest.TempPathFactory) -> dict[str, list[str]]:
    """Return what a process of its own has fetched once the sample is open, checked and painted."""
    home = str(tmp_path_factory.mktemp("home"))
    done = subprocess.run(
        [sys.executable, "-c", STARTED], cwd=TOP, capture_output=True, text=True, check=True,
        env={**os.environ, "HOME": home, "XDG_CONFIG_HOME": home, "QT_QPA_PLATFORM": "offscreen"},
    )  # fmt: skip
    found: dict[str, list[str]] = json.loads(done.stdout)
    assert found["rows"]
    return found


@pytest.mark.parametrize(
    "module",
    [
        "asyncio", "highspy", "networkx", "numpy", "openpyxl", "platformdirs", "pypdfium2", "reportlab",
        "tomllib", "xlsxwriter",
    ],
)  # fmt: skip
def test_slow_libraries_wait(started: dict[str, list[str]], module: str) -> None:
    assert module not in started["modules"]


@pytest.mark.parametrize(
    "view",
    [
        "app.canvas.glide", "app.canvas.offering", "app.canvas.stage_view", "app.fit_sheet.sheet",
        "app.tables.table_sheet",
    ],
)  # fmt: skip
def test_views_nobody_sees_yet_wait(started: dict[str, list[str]], view: str) -> None:
    assert view not in started["modules"]


@pytest.mark.parametrize("enumeration", ["WizardButton", "DockWidgetFeature", "ThemeIcon"])
def test_no_call_makes_the_toolkit_fetch_every_widget_there_is(
    started: dict[str, list[str]], enumeration: str
) -> None:
    assert "GraphicsItemFlag" in started["enumerations"]
    assert enumeration not in started["enumerations"]
