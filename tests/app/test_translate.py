"""Every text of the window can be translated, and a translation file is taken where there is one."""

from __future__ import annotations

import ast
import subprocess
import sys
from pathlib import Path

import pytest
from PySide6.QtCore import QCoreApplication, QLocale, QSettings, QTranslator
from PySide6.QtWidgets import QApplication

from app.settings import Settings
from app.translate import load_translations

APP = Path(__file__).resolve().parents[2] / "app"
SHOWING = {
    "plain", "QPushButton", "QLabel", "QCheckBox", "setText", "setToolTip", "setWindowTitle", "setAccessibleName",
    "setPlaceholderText", "addTab", "addAction", "heading", "setAccessibleDescription", "setSuffix",
}
SAME_EVERYWHERE = {"Loomwright"}

TS = """<?xml version="1.0" encoding="utf-8"?>
<!DOCTYPE TS>
<TS version="2.1" language="de_DE"><context><name>actions</name>
<message><source>Undo</source><translation>Zurück</translation></message></context></TS>
"""


@pytest.mark.parametrize("path", sorted(APP.rglob("*.py")), ids=lambda path: str(path.relative_to(APP)))
def test_no_text_is_shown_untranslated(path: Path) -> None:
    bare = []
    for node in ast.walk(ast.parse(path.read_text(encoding="utf-8"))):
        if not isinstance(node, ast.Call) or not node.args:
            continue
        name = getattr(node.func, "id", getattr(node.func, "attr", ""))
        first = node.args[0]
        if name in SHOWING and isinstance(first, ast.Constant) and isinstance(first.value, str):
            words = first.value
            if any(char.isalpha() for char in words) and words not in SAME_EVERYWHERE:
                bare.append(f"line {node.lineno}: {name}({words!r})")
    assert not bare, "put these through tr(): " + "; ".join(bare)


def test_a_translation_is_taken(qapp: QApplication, tmp_path: Path) -> None:
    (tmp_path / "loomwright_de.ts").write_text(TS, encoding="utf-8")
    tool = Path(sys.executable).with_name("pyside6-lrelease")
    if not tool.is_file():
        pytest.skip("the toolkit's release tool is not installed")
    subprocess.run([tool, str(tmp_path / "loomwright_de.ts")], check=True, capture_output=True)
    before = set(qapp.findChildren(QTranslator))
    taken = load_translations(qapp, QLocale("de_DE"), tmp_path)
    try:
        assert "loomwright_de.qm" in taken
        assert QCoreApplication.translate("actions", "Undo") == "Zurück"
    finally:
        for translator in set(qapp.findChildren(QTranslator)) - before:
            qapp.removeTranslator(translator)
    assert QCoreApplication.translate("actions", "Undo") == "Undo"


def test_a_language_without_a_file_leaves_the_words(qapp: QApplication, tmp_path: Path) -> None:
    assert load_translations(qapp, QLocale("eo"), tmp_path / "nowhere") == []


@pytest.mark.parametrize(("name", "paper", "feet"), [("en_US", "Letter", True), ("de_DE", "A4", False)])
def test_paper_and_units_begin_as_the_country_has_them(
    monkeypatch: pytest.MonkeyPatch, tmp_path: Path, *, name: str, paper: str, feet: bool
) -> None:
    monkeypatch.setattr(QLocale, "system", staticmethod(lambda: QLocale(name)))
    settings = Settings(QSettings(str(tmp_path / "s.ini"), QSettings.Format.IniFormat))
    assert (settings.paper, settings.feet) == (paper, feet)
    settings.paper, settings.feet = "A4", False
    assert (settings.paper, settings.feet) == ("A4", False)
