"""Gear types written as TOML and read back: the whole shipped catalogue, and texts that try to break out."""

from __future__ import annotations

import tomllib
from pathlib import Path

import pytest
from hypothesis import given
from hypothesis import strategies as st

from rigcore import resources
from rigcore.book import file as book_file
from rigcore.book.edits.gear import put_gear, remove_gear, users
from rigcore.catalogue.gear_file import to_toml
from rigcore.catalogue.loader import own_gear, shipped
from rigcore.catalogue.record import changed
from rigcore.errors import EditRefused


def test_the_whole_catalogue_comes_back(tmp_path: Path) -> None:
    types = tuple(shipped().gear.values())
    path = tmp_path / "all.toml"
    path.write_text(to_toml(types), encoding="utf-8")
    assert own_gear(path, shipped()) == types


@given(st.text(st.characters(exclude_categories=["Cs"], min_codepoint=32), max_size=60))
def test_any_text_comes_back_as_typed(text: str) -> None:
    gear = changed(shipped().gear["di-passive"], about=text)
    assert tomllib.loads(to_toml([gear]))["gear"][0].get("about", "") == text


def test_own_gear_goes_into_the_book_and_out_again() -> None:
    book = book_file.load(resources.samples() / "piper.loom", shipped())[0]
    own = changed(shipped().gear["di-passive"], id="my-di", name="My DI")
    with_own = put_gear(book, own, shipped())
    assert with_own.with_catalogue(shipped()).gear["my-di"] == own
    again = changed(own, name="My better DI")
    assert put_gear(with_own, again, shipped()).gear == (*book.gear, again)
    assert remove_gear(with_own, "my-di", shipped()) == book
    with pytest.raises(EditRefused, match="no gear type"):
        remove_gear(book, "my-di", shipped())


def test_a_port_in_use_cannot_be_changed_away() -> None:
    book = book_file.load(resources.samples() / "piper.loom", shipped())[0]
    piano = shipped().gear["stage-piano-88"]
    assert users(book, piano.id) == ("Piano",)
    less = changed(piano, ports=tuple(port for port in piano.ports if port.id != "out-l"), paths=())
    with pytest.raises(EditRefused, match="out-l"):
        put_gear(book, less, shipped())
