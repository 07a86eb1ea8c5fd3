"""The command line: exit codes, one sentence for each refusal, nothing half-written."""

from __future__ import annotations

import json
from pathlib import Path

import click
import pytest

from rigcore import resources
from rigcore.cli import run
from rigcore.cli.main import COMMANDS, cli
from rigcore.rules.rulebook import RULES

SAMPLES = resources.samples()


def test_check_exits_1_on_faults_and_0_without(capsys: pytest.CaptureFixture[str]) -> None:
    assert run(None, ["check", str(SAMPLES / "tandem.loom")]) == 1
    assert "no way from" in capsys.readouterr().out
    assert run(None, ["check", str(SAMPLES / "ferry.loom")]) == 0


def test_check_as_json(capsys: pytest.CaptureFixture[str]) -> None:
    run(None, ["check", str(SAMPLES / "tandem.loom"), "--json"])
    plain = json.loads(capsys.readouterr().out)
    assert plain["totals"]["channels"] == len(plain["channels"]) == 8
    assert {one["severity"] for one in plain["findings"]} == {"fault", "risk", "note"}


@pytest.mark.parametrize(
    ("arguments", "words"),
    [
        (["check", "nowhere.loom"], "cannot be read"),
        (["check", str(SAMPLES / "tandem.loom"), "--gig", "nowhere-1"], "no gig 'nowhere-1'"),
        (["check", str(SAMPLES / "ferry" / "units.csv")], "not a Loomwright book"),
        (["packet", str(SAMPLES / "tandem.loom")], "Missing option '--out'"),
        (["open", str(SAMPLES / "tandem.loom")], "no screen"),
        (["fly"], "No such command"),
        (["import", "--units", "a.csv", "--patch", "b.csv", "--out", "c.loom"], "a.csv"),
    ],
)
def test_refusals_are_one_sentence_and_exit_2(
    arguments: list[str], words: str, capsys: pytest.CaptureFixture[str]
) -> None:
    assert run(None, arguments) == 2
    shown = capsys.readouterr()
    assert words in shown.err
    assert "Traceback" not in shown.err


def test_import_check_packet_from_the_spreadsheets_alone(tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    folder, book = SAMPLES / "ferry", tmp_path / "my.loom"
    files = [
        "--units", folder / "units.csv", "--patch", folder / "patch.csv",
        "--gear", folder / "gear.toml", "--house", folder / "house.toml",
    ]  # fmt: skip
    assert run(None, ["import", *map(str, files), "--out", str(book)]) == 0
    assert run(None, ["check", str(book)]) == 0
    assert run(None, ["packet", str(book), "--out", str(tmp_path / "out")]) == 0
    path = Path(capsys.readouterr().out.splitlines()[-1])
    assert path.read_bytes().startswith(b"%PDF")


def test_a_refused_import_writes_nothing(tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    units = tmp_path / "units.csv"
    units.write_text("name,gear\nPiano,stage-pianno-88\n", encoding="utf-8")
    patch = tmp_path / "patch.csv"
    patch.write_text("from,from port,to,to port\nPiano,out-l,Ghost,in\n", encoding="utf-8")
    out = tmp_path / "my.loom"
    assert run(None, ["import", "--units", str(units), "--patch", str(patch), "--out", str(out)]) == 2
    shown = capsys.readouterr().err
    assert "stage-piano-88" in shown
    assert "Ghost" in shown
    assert not out.exists()


def test_rules_print_themselves(capsys: pytest.CaptureFixture[str]) -> None:
    assert run(None, ["rules"]) == 0
    text = capsys.readouterr().out
    assert run(None, ["rules", "--markdown"]) == 0
    marked = capsys.readouterr().out
    for rule in RULES:
        assert rule.id in text
        assert f"`{rule.id}`" in marked


def test_version(capsys: pytest.CaptureFixture[str]) -> None:
    assert run(None, ["--version"]) == 0
    assert "loomwright" in capsys.readouterr().out


def test_demo_without_a_screen(tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    assert run(None, ["demo", "--out", str(tmp_path)]) == 0
    assert list(tmp_path.glob("*.pdf"))
    assert "No screen here" in capsys.readouterr().out


def test_demo_with_a_screen_opens_the_sample(tmp_path: Path) -> None:
    opened = []
    assert run(lambda path, sample: opened.append((path, sample)) or 0, ["demo", "--out", str(tmp_path)]) == 0
    assert opened == [(None, True)]


def test_without_a_command_the_window_opens_or_help_is_printed(capsys: pytest.CaptureFixture[str]) -> None:
    opened = []
    assert run(lambda path, sample: opened.append((path, sample)) or 0, []) == 0
    assert opened == [(None, False)]
    assert run(None, []) == 0
    assert "Commands:" in capsys.readouterr().out


def test_every_command_of_the_table_is_there_under_its_name() -> None:
    for name in COMMANDS:
        command = cli.get_command(click.Context(cli), name)
        assert command is not None
        assert command.name == name
