"""The rules of the building: caps on the tail, docstrings, vocabulary, and who may know whom."""

from __future__ import annotations

import ast
import re
import subprocess
import sys
from pathlib import Path

import pytest

ROOT = Path(__file__).resolve().parent.parent
SOURCES = sorted(
    path for folder in ("rigcore", "app", "tests") for path in (ROOT / folder).rglob("*.py")
)
LONGEST_FILE = 500
LONGEST_FUNCTION = 60
MOST_POSITIONAL = 4

FORBIDDEN_WORDS = ("warning_level", "quick fix", "show file", "scene file")
FAMILIES = "fit|level|load|balance|phantom|ground|control|power|cable|channels|stage|carry"
TOP_LEVEL = {"README.md", "DEVELOPERS.md", "pyproject.toml", "app", "rigcore", "tests", "assets", "samples"}


def _name(path: Path) -> str:
    return str(path.relative_to(ROOT))


@pytest.mark.parametrize("path", SOURCES, ids=_name)
def test_one_file(path: Path) -> None:
    text = path.read_text(encoding="utf-8")
    tree = ast.parse(text)
    assert ast.get_docstring(tree), "every module opens by saying what is inside"
    assert text.count("\n") <= LONGEST_FILE, f"over {LONGEST_FILE} lines: probably two rooms in one"
    for node in ast.walk(tree):
        if isinstance(node, ast.FunctionDef | ast.AsyncFunctionDef):
            length = (node.end_lineno or node.lineno) - node.body[0].lineno + 1
            assert length <= LONGEST_FUNCTION, f"{node.name}: body of {length} lines, split it"
            positional = [a.arg for a in (*node.args.posonlyargs, *node.args.args) if a.arg not in ("self", "cls")]
            assert len(positional) <= MOST_POSITIONAL, f"{node.name}: {positional}, name some by keyword"


def test_the_top_level_holds_what_was_agreed() -> None:
    listed = subprocess.run(
        ["git", "ls-files"], cwd=ROOT, capture_output=True, text=True, check=False
    ).stdout.splitlines()
    if not listed:
        pytest.skip("not a git checkout")
    top = {line.split("/")[0] for line in listed}
    assert {name for name in top if not name.startswith(".")} <= TOP_LEVEL


def test_the_core_knows_no_window() -> None:
    for path in SOURCES:
        if path.is_relative_to(ROOT / "rigcore"):
            assert not re.search(r"^\s*(from|import) (PySide6|shiboken6|app)\b", path.read_text("utf-8"), re.M), path


def test_slow_libraries_are_imported_where_they_are_used() -> None:
    """Start-up of the command line pays neither for paper nor for the window."""
    code = "import sys, app.launch; print([m for m in ('reportlab', 'PySide6', 'pypdfium2') if m in sys.modules])"
    shown = subprocess.run([sys.executable, "-c", code], cwd=ROOT, capture_output=True, text=True, check=True)
    assert shown.stdout.strip() == "[]"


def test_graphs_stay_above_the_book() -> None:
    for folder in ("book", "catalogue", "quantities"):
        for path in (ROOT / "rigcore" / folder).rglob("*.py"):
            assert "networkx" not in path.read_text("utf-8"), path


def test_reportlab_stays_in_paper() -> None:
    for path in SOURCES:
        if path.is_relative_to(ROOT / "rigcore") and not path.is_relative_to(ROOT / "rigcore" / "paper"):
            assert not re.search(r"^\s*(from|import) reportlab", path.read_text("utf-8"), re.M), path


def test_rules_know_no_other_rule() -> None:
    for path in (ROOT / "rigcore" / "rules").glob("*/*.py"):
        for line in path.read_text("utf-8").splitlines():
            assert not re.match(rf"from rigcore\.rules\.({FAMILIES})(\.| import)", line), path


def test_the_vocabulary() -> None:
    for path in SOURCES:
        if path != Path(__file__).resolve():
            text = path.read_text("utf-8").lower()
            assert not [word for word in FORBIDDEN_WORDS if word in text], path


def test_import_contracts_hold() -> None:
    shown = subprocess.run(
        [str(Path(sys.executable).with_name("lint-imports")), "--no-cache"],
        cwd=ROOT, capture_output=True, text=True, check=False,
    )
    assert shown.returncode == 0, shown.stdout + shown.stderr
