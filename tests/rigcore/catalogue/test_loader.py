"""Reading the tables: every fault is named with file, row and field, all of them together."""

from __future__ import annotations

import shutil
from pathlib import Path

import pytest

from rigcore import resources
from rigcore.catalogue.loader import load_catalogue, own_gear, shipped
from rigcore.errors import CatalogueDamaged, UnknownThing

LAMP = """
[[gear]]
id = "lamp-new"
name = "Lamp"
category = "other"
width_m = 0.1
depth_m = 0.1
height_m = 0.2
mass_kg = 0.3
"""
PORT = 'ports = [{{ id = "p", name = "P", direction = "in", connector = "xlr3.f", carrier = "mic-in"{more} }}]\n'


@pytest.fixture
def tables(tmp_path: Path) -> Path:
    folder = tmp_path / "catalogue"
    shutil.copytree(resources.assets() / "catalogue", folder)
    return folder


def _break(path: Path, good: str, bad: str) -> None:
    text = path.read_text(encoding="utf-8")
    assert good in text, f"{path.name} no longer says {good}"
    path.write_text(text.replace(good, bad, 1), encoding="utf-8")


def _problems(folder: Path) -> tuple[str, ...]:
    with pytest.raises(CatalogueDamaged) as refused:
        load_catalogue(folder)
    return refused.value.problems


@pytest.mark.parametrize(
    ("file", "good", "bad", "said"),
    [
        ("connectors.toml", 'side = "male", contacts = 3', 'side = "left", contacts = 3',
         "connectors.toml, connector 1 (xlr3.m), field side:"),
        ("connectors.toml", "contacts = 3,", 'contacts = "three",',
         "connectors.toml, connector 1 (xlr3.m), field contacts:"),
        ("connectors.toml", 'group = "signal", ', "", "connectors.toml, connector 1 (xlr3.m), field group:"),
        ("mating.toml", 'consequence = "fits"', 'consequence = "perhaps"',
         "mating.toml, mating 1 (xlr3.m into xlr3.f), field consequence:"),
        ("mating.toml", 'socket = "xlr3.f"', 'socket = "xlr9.f"', "there is no connector 'xlr9.f'"),
        ("mating.toml", 'socket = "xlr3.f"', 'socket = "xlr4.m"', "both are male"),
        ("cables.toml", "longest_m = 100", "longest_m = -1", "cables.toml, cable 1 (xlr), field longest_m:"),
        ("cables.toml", "stock_lengths_m = [1.5, 3, 5, 10, 20]", "stock_lengths_m = []",
         "cables.toml, cable 1 (xlr), field stock_lengths_m:"),
        ("cables.toml", 'end_a = "xlr3.f"', 'end_a = "xlr9.f"', "cables.toml, xlr: there is no connector 'xlr9.f'"),
        ("cables.toml", 'id = "ts",', 'id = "xlr",', "cables.toml: id 'xlr' appears twice"),
        ("carriers.toml", 'id = "keyboard-out-unbalanced", ', "", "carriers.toml, carrier 1, field id: is missing"),
        ("gear/keys.toml", "mass_kg = 12\n", "mass_kg = -12\n", "keys.toml, gear 1 (stage-piano-88), field mass_kg:"),
        ("gear/keys.toml", 'category = "keys"', 'category = "organs"',
         "keys.toml, gear 1 (stage-piano-88), field category:"),
        ("gear/keys.toml", "width_m = 1.32\n", "width_m = nan\n", "keys.toml, gear 1 (stage-piano-88), field width_m:"),
        ("gear/keys.toml", "width_m = 1.32\n", "width_m = 1.32\ncolour = 3\n",
         "keys.toml, gear 1 (stage-piano-88), field colour:"),
        ("gear/keys.toml", 'carrier = "keyboard-out-unbalanced"', 'carrier = "no-such"',
         "keys.toml, gear 1 (stage-piano-88), field ports.1.carrier: there is no preset 'no-such'"),
        ("gear/keys.toml", 'connector = "ts6.f"', 'connector = "ts9.f"',
         "keys.toml, stage-piano-88, port out-l, field connector: there is no connector 'ts9.f'"),
        ("gear/keys.toml", 'id = "out-r"', 'id = "out-l"', "port 'out-l' appears twice"),
        ("gear/between.toml", 'target = "thru-1"', 'target = "thru-9"', "there is no port 'thru-9'"),
        ("gear/keys.toml", 'id = "synth-61"', 'id = "tablet"', "gear tables: id 'tablet' appears twice"),
        ("gear/keys.toml", "[[gear]]", "[[gear", "keys.toml: is not TOML"),
        ("gear/mixers.toml", "repeat = 2, id", "repeat = 0, id",
         "mixers.toml, gear 1 (mixer-small), field ports.1.repeat: must be a number"),
    ],
)
def test_a_bad_row_is_named(tables: Path, file: str, good: str, *, bad: str, said: str) -> None:
    _break(tables / file, good, bad)
    problems = _problems(tables)
    assert any(said in problem for problem in problems), problems


def test_several_faults_are_reported_together(tables: Path) -> None:
    _break(tables / "cables.toml", "longest_m = 100", "longest_m = -1")
    _break(tables / "gear" / "keys.toml", "mass_kg = 12\n", "mass_kg = -12\n")
    _break(tables / "gear" / "voice.toml", 'pattern = "cardioid"', 'pattern = "heart"')
    problems = _problems(tables)
    for file in ("cables.toml", "keys.toml", "voice.toml"):
        assert any(problem.startswith(file) for problem in problems), problems


def test_a_missing_table_is_named(tables: Path) -> None:
    (tables / "mating.toml").unlink()
    assert any(problem.startswith("mating.toml: cannot be read") for problem in _problems(tables))


def test_one_more_row_is_one_more_type(tables: Path) -> None:
    path = tables / "gear" / "furniture.toml"
    path.write_text(path.read_text(encoding="utf-8") + LAMP, encoding="utf-8")
    assert load_catalogue(tables).gear_type("lamp-new").name == "Lamp"
    assert len(load_catalogue(tables).gear) == len(shipped().gear) + 1


def test_one_more_file_is_read_too(tables: Path) -> None:
    (tables / "gear" / "lamps.toml").write_text(LAMP, encoding="utf-8")
    assert "lamp-new" in load_catalogue(tables).gear


def test_a_series_is_numbered_everywhere(tmp_path: Path) -> None:
    path = tmp_path / "own.toml"
    path.write_text(LAMP + PORT.replace('"p"', '"in-#"').replace('"P"', '"In #"').format(more=", repeat = 3"))
    (gear,) = own_gear(path, shipped())
    assert [(port.id, port.name) for port in gear.ports] == [("in-1", "In 1"), ("in-2", "In 2"), ("in-3", "In 3")]


def test_a_preset_can_be_taken_with_differences(tmp_path: Path) -> None:
    path = tmp_path / "own.toml"
    path.write_text(LAMP + PORT.format(more="").replace('"mic-in"', '{ like = "mic-in", max_dbu = 4 }'))
    (gear,) = own_gear(path, shipped())
    carrier, preset = gear.ports[0].carrier, shipped().port("stage-box-8", "in-1").carrier
    assert carrier == preset.model_copy(update={"max_dbu": 4.0})


@pytest.mark.parametrize(
    ("more", "said"),
    [
        ('ports = "x"\n', "field ports: must be a list of tables"),
        ("ports = 3\n", "field ports: must be a list of tables"),
        ("ports = [1]\n", "field ports: must be a list of tables"),
        ("paths = 1\n", "field paths: must be a list of tables"),
        (PORT.format(more=', repeat = "x"'), "field ports.1.repeat: must be a number"),
        (PORT.format(more=", repeat = true"), "field ports.1.repeat: must be a number"),
        (PORT.format(more=", repeat = 999999999"), "field ports.1.repeat: must be a number"),
        (PORT.format(more="").replace('"mic-in"', '{ like = ["mic-in"] }'), "field ports.1.carrier: there is no"),
        (PORT.format(more="").replace('"mic-in"', "7"), "field ports.1.carrier"),
        (PORT.format(more="").replace('"P"', '"P\\u0007"'), "field ports.1.name"),
        (PORT.format(more="").replace('"xlr3.f"', '"xlr9.f"'), "there is no connector 'xlr9.f'"),
        ("rack_u = 2020-01-01\n", "own.toml, gear 1 (lamp-new)"),
        (LAMP, "id 'lamp-new' appears twice"),
    ],
)
def test_a_players_file_is_refused_in_sentences(tmp_path: Path, more: str, said: str) -> None:
    path = tmp_path / "own.toml"
    path.write_text(LAMP + more, encoding="utf-8")
    with pytest.raises(CatalogueDamaged) as refused:
        own_gear(path, shipped())
    assert any(said in problem for problem in refused.value.problems), refused.value.problems


def test_what_is_not_there_is_refused_by_name() -> None:
    for ask in (
        lambda: shipped().gear_type("no-such"),
        lambda: shipped().cable_type("no-such"),
        lambda: shipped().port("tablet", "no-such"),
    ):
        with pytest.raises(UnknownThing) as refused:
            ask()
        assert "no-such" in refused.value.sentence
