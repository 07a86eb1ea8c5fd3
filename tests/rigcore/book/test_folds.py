"""What is folded on the Patch sheet: only the drawing changes, it is undone exactly, and it is kept in the file."""

from __future__ import annotations

import datetime as dt
from pathlib import Path

import pytest
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st

from rigcore import resources
from rigcore.analysis import analyse
from rigcore.book.book import Book
from rigcore.book.edits.cases import pack, pack_in_new_case, remove_case
from rigcore.book.edits.folds import fold_loom, fold_rack, move_racks, unfold_loom, unfold_rack
from rigcore.book.edits.links import bundle
from rigcore.book.edits.paste import cut_out, paste, renewed, scrap_in, scrap_text
from rigcore.book.file import from_bytes, load, to_bytes
from rigcore.book.history import History
from rigcore.catalogue.loader import shipped
from rigcore.errors import EditRefused, UnknownThing
from rigcore.paper.packet import MAKERS, write_packet

PLACES = st.tuples(st.floats(-9000, 9000), st.floats(-9000, 9000))


def _ferry() -> Book:
    return load(Path(resources.samples()) / "ferry.loom", shipped())[0]


def _packed(book: Book, units: list[str]) -> Book:
    book = pack_in_new_case(book, "ferry", units[0], "Rack")
    for unit in units[1:]:
        book = pack(book, "ferry", unit, "rack")
    return book


@pytest.fixture(scope="module")
def racked() -> Book:
    """The ferry sample with three units in a rack and the keys' cables in a loom."""
    book = _packed(_ferry(), ["di-6-way", "splitter", "in-ear-mixer"])
    links = [link.id for link in book.rig("ferry").links if link.source.unit.startswith("keys")]
    return bundle(book, "ferry", links, "Keys loom")


@settings(max_examples=15, deadline=None, suppress_health_check=[HealthCheck.too_slow])
@given(data=st.data())
def test_whatever_is_folded_nothing_but_the_drawing_changes(data: st.DataObject) -> None:
    plain = _ferry()
    rig = plain.rig("ferry")
    units = data.draw(st.lists(st.sampled_from([one.id for one in rig.units]), min_size=1, unique=True))
    links = data.draw(st.lists(st.sampled_from([one.id for one in rig.links]), min_size=2, unique=True))
    book = bundle(_packed(plain, units), "ferry", links, "Tails")
    history = History(book).after(fold_rack(book, "ferry", "rack", data.draw(PLACES)), "Fold Rack")
    history = history.after(fold_loom(history.present, "ferry", "tails"), "Fold Tails")
    folded = history.present
    assert unfold_loom(unfold_rack(folded, "ferry", "rack"), "ferry", "tails") == book
    assert history.undone().undone().present is book
    assert from_bytes(to_bytes(folded), "book", shipped()) == folded
    before, after = analyse(book, None, shipped()), analyse(folded, None, shipped())
    assert after.findings == before.findings
    assert after.inputs == before.inputs


def test_paper_does_not_know_of_folds(racked: Book, tmp_path: Path) -> None:
    folded = fold_loom(fold_rack(racked, "ferry", "rack", (0.0, 0.0)), "ferry", "keys-loom")
    printed = []
    for name, book in (("open", racked), ("folded", folded)):
        analysis = analyse(book, None, shipped())
        path = write_packet(analysis, tmp_path / name, pages=tuple(MAKERS), issued=dt.date(2027, 1, 2))
        printed.append(path.read_bytes())
    assert printed[0] == printed[1]


def test_a_book_without_folds_reads_and_writes_as_before(racked: Book) -> None:
    for path in sorted(Path(resources.samples()).glob("*.loom")):
        data = path.read_bytes()
        assert to_bytes(from_bytes(data, path.name, shipped())) == data
    assert b"fold" not in to_bytes(racked)


def test_a_folded_rack_is_moved_and_no_other(racked: Book) -> None:
    with pytest.raises(EditRefused, match="not folded"):
        move_racks(racked, "ferry", {"rack": (1.0, 2.0)})
    moved = move_racks(fold_rack(racked, "ferry", "rack", (0, 0)), "ferry", {"rack": (8.0, -16.0)})
    fold = moved.rig("ferry").cases[0].fold
    assert fold is not None
    assert (fold.card_x, fold.card_y) == (8.0, -16.0)
    assert moved.rig("ferry").units == racked.rig("ferry").units


def test_what_cannot_be_folded_is_refused_in_a_sentence(racked: Book) -> None:
    empty = racked
    for unit in ("di-6-way", "splitter", "in-ear-mixer"):
        empty = pack(empty, "ferry", unit, None)
    with pytest.raises(EditRefused, match="nothing is packed in Rack"):
        fold_rack(empty, "ferry", "rack", (0, 0))
    with pytest.raises(EditRefused):
        fold_rack(racked, "ferry", "rack", (1e9, 0))
    single = bundle(_ferry(), "ferry", [_ferry().rig("ferry").links[0].id], "Thin")
    with pytest.raises(EditRefused, match="one cable only"):
        fold_loom(single, "ferry", "thin")
    for edit in (unfold_rack, unfold_loom, fold_loom):
        with pytest.raises(UnknownThing):
            edit(racked, "ferry", "nobody")


def test_without_its_case_a_rack_lies_open(racked: Book) -> None:
    assert not remove_case(fold_rack(racked, "ferry", "rack", (0, 0)), "ferry", "rack").rig("ferry").cases


def test_a_folded_rack_copied_whole_is_another_folded_rack(racked: Book) -> None:
    folded = fold_loom(fold_rack(racked, "ferry", "rack", (40.0, 80.0)), "ferry", "keys-loom")
    units = ["di-6-way", "splitter", "in-ear-mixer", "keys-1", "keys-2"]
    scrap = scrap_in(scrap_text(cut_out(folded, "ferry", units, {})))
    rig = paste(folded, "ferry", renewed(folded, "ferry", scrap, (24.0, 24.0)), shipped()).rig("ferry")
    first, second = rig.cases
    assert (second.name, second.fold.card_x, second.fold.card_y) == ("Rack 2", 64.0, 104.0)
    assert sum(unit.case == second.id for unit in rig.units) == 3
    assert sum(unit.case == first.id for unit in rig.units) == 3
    assert [loom.folded for loom in rig.looms] == [True, True]


def test_a_part_of_a_folded_rack_comes_in_loose_and_of_an_open_one_packed(racked: Book) -> None:
    for book, case in ((racked, "rack"), (fold_rack(racked, "ferry", "rack", (0, 0)), None)):
        scrap = cut_out(book, "ferry", ["splitter"], {})
        assert not scrap.cases
        assert paste(book, "ferry", renewed(book, "ferry", scrap), shipped()).rig("ferry").units[-1].case == case
