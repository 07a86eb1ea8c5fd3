"""The fit of a gig: what is kept, what falls back, what is short, the budget, open answers and the tour kit.

Chains come from a small finder of this file, so that each case says what there is to build with.
"""

from __future__ import annotations

from collections.abc import Sequence

import pytest
from msgspec.structs import replace

from rigcore.analysis import analyse
from rigcore.book.book import Book
from rigcore.book.edits.fits import apply_fit
from rigcore.book.edits.gigs import add_gig, bind_landing, unbind_landing
from rigcore.book.edits.hand_offs import add_hand_off
from rigcore.book.edits.houses import add_house, learn, new_plan
from rigcore.book.edits.rebuild import checked, put_house
from rigcore.book.edits.units import add_unit
from rigcore.book.file import from_bytes, to_bytes
from rigcore.book.gig import CablePiece, GearPiece, Gig, Join, Landing, Piece
from rigcore.book.house import Fact, House, Socket
from rigcore.book.rig import HandOff, Unit
from rigcore.book.stock import StockItem
from rigcore.catalogue.catalogue import Catalogue
from rigcore.catalogue.loader import shipped
from rigcore.errors import EditRefused
from rigcore.lists.budget_list import budget_rows
from rigcore.lists.fit_list import fit_rows, fit_sentences, proof_words, question_rows, take_rows
from rigcore.lists.tour_list import gig_rows, kit_rows, tour_words
from rigcore.patch.build import Node, Patch, build_patch
from rigcore.patch.channels import channels
from rigcore.patch.stages import levels
from rigcore.solve.budget import budget
from rigcore.solve.chain import Chain, Cost
from rigcore.solve.fit import Fit, fit
from rigcore.solve.fit_question import Asked
from rigcore.solve.fit_reasons import reasons
from rigcore.solve.stockroom import Item, Supply
from rigcore.solve.tour import tour_kit

XLR = Item("cable", "xlr", 5.0, "rig")
TS = Item("cable", "ts", 3.0, "rig")
DI = Item("gear", "di-passive", 0.0, "rig")


@pytest.fixture(scope="module")
def catalogue() -> Catalogue:
    return shipped()


def find(
    patch: Patch, hand_off: HandOff, socket: Socket, stock: Supply, *, length_m: float | None, buy: bool
) -> Sequence[Chain]:
    """A microphone by one cable, an instrument through a DI, a feed by one cable; bought where not owned."""
    port = patch.end(Node("rig", hand_off.unit, hand_off.port)).port
    direct = port.connector.startswith("xlr") or hand_off.direction == "from house"
    wanted: list[tuple[Item, Piece]] = [(XLR, CablePiece(kind="cable", cable="xlr", length_m=5.0))]
    if not direct:
        wanted.insert(0, (TS, CablePiece(kind="cable", cable="ts", length_m=3.0)))
        wanted.insert(1, (DI, GearPiece(kind="gear", gear="di-passive", enter="in-1", leave=("out-1",))))
    items = tuple(item if stock.get(item) else item._replace(comes_from="buy") for item, _ in wanted)
    price = float(sum(item.comes_from == "buy" for item in items))
    if price and not buy:
        return ()
    return (Chain(tuple(piece for _, piece in wanted), items, Cost(0, price, 0.5 * len(items), len(items), 0.0)),)


def owned_only(
    patch: Patch, hand_off: HandOff, socket: Socket, stock: Supply, *, length_m: float | None, buy: bool
) -> Sequence[Chain]:
    """As ``find``, with no shop."""
    return list(find(patch, hand_off, socket, stock, length_m=length_m, buy=False))


ASKED = Asked(found=find)
OWNED = Asked(found=owned_only)


def house(name: str, inputs: int, *, outputs: int = 1, drop: str = "stage-box-8") -> House:
    """Return a house with a stage box of which some sockets are ours."""
    lines = [Socket(id=f"in-{n}", unit="box", ports=(f"in-{n}",), direction="in", number=n, label=f"L{n}")
             for n in range(1, inputs + 1)]  # fmt: skip
    lines += [Socket(id=f"out-{n}", unit="box", ports=(f"out-{n}",), direction="out", number=n, label=f"M{n}")
              for n in range(1, outputs + 1)]  # fmt: skip
    box = Unit(id="box", name="Stage box", gear=drop, owner="house")
    return House(id=name, name=name.title(), units=(box,), sockets=tuple(lines))


def book_at(*houses: House, stock: tuple[StockItem, ...] = ()) -> Book:
    """Return piano in stereo, voice and a feed for the ears, at some houses."""
    catalogue = shipped()
    book = checked(new_plan(catalogue), stock=stock)
    book = checked(book, gigs=(), houses=())
    for unit in (
        Unit(id="piano", name="Piano", gear="stage-piano-88", family="keys"),
        Unit(id="vocal", name="Vocal", gear="dynamic-handheld", family="vocals"),
        Unit(id="mixer", name="In-ear mixer", gear="mixer-in-ear"),
    ):
        book = add_unit(book, "rig", unit, catalogue)
    for hand_off in (
        HandOff(id="vox", name="Vox", unit="vocal", port="out", direction="to house", order=1),
        HandOff(id="l", name="Keys L", unit="piano", port="out-l", direction="to house", group="k", side="L", order=2),
        HandOff(id="r", name="Keys R", unit="piano", port="out-r", direction="to house", group="k", side="R", order=3),
        HandOff(id="ears", name="Ears", unit="mixer", port="mic-2", direction="from house", order=4),
    ):
        book = add_hand_off(book, "rig", hand_off, catalogue)
    for one in houses:
        book = add_house(book, one, catalogue)
        book = add_gig(book, Gig(id=one.id, name=one.name, rig="rig", house=one.id))
    return book


def stock_of(xlr: int, ts: int, di: int) -> tuple[StockItem, ...]:
    return (
        StockItem(kind="cable", type="xlr", length_m=5.0, count=xlr),
        StockItem(kind="cable", type="ts", length_m=3.0, count=ts),
        StockItem(kind="gear", type="di-passive", count=di),
    )


def fitted(book: Book, gig: str, asked: Asked = ASKED) -> Fit:
    return fit(build_patch(book, gig, shipped()), asked)


def where(done: Fit) -> dict[str, str]:
    return {row.hand_off: row.socket for row in fit_rows(done)}


def test_everything_lands_in_the_order_of_the_trade_with_the_pair_on_odd_and_even() -> None:
    done = fitted(book_at(house("club", 8), stock=stock_of(4, 2, 2)), "club")
    assert where(done) == {"l": "L1", "r": "L2", "vox": "L3", "ears": "M1"}
    assert done.answer.proven
    assert not done.to_buy
    assert [(row.count, row.whose) for row in take_rows(done)] == [(2, "ours"), (2, "ours"), (4, "ours")]
    assert done.taken == {XLR: 4, TS: 2, DI: 2}
    assert proof_words(done).startswith("Proven best in all 13 aims")


def test_a_fit_goes_into_the_gig_in_one_edit_and_comes_back_from_the_file(catalogue: Catalogue) -> None:
    book = book_at(house("club", 8), stock=stock_of(4, 2, 2))
    done = fitted(book, "club")
    after = apply_fit(book, "club", done.landings, catalogue)
    assert {one.hand_off: one.socket for one in after.gig("club").landings} == {
        "l": "in-1", "r": "in-2", "vox": "in-3", "ears": "out-1",
    }  # fmt: skip
    assert from_bytes(to_bytes(after), "a.loom", catalogue) == after
    again = fitted(after, "club")
    assert again.landings == done.landings, "what is landed is kept"
    assert {line.how for line in again.lines} == {"kept"}


def test_what_the_player_chose_is_kept_and_the_pair_stays_together_around_it(catalogue: Catalogue) -> None:
    book = book_at(house("club", 8), stock=stock_of(4, 2, 2))
    chain = (CablePiece(kind="cable", cable="xlr", length_m=5.0),)
    book = bind_landing(book, "club", Landing(hand_off="vox", socket="in-1", chain=chain), catalogue)
    book = bind_landing(book, "club", Landing(hand_off="l", socket="in-5"), catalogue)
    done = fitted(book, "club")
    assert where(done) == {"vox": "L1", "l": "L5", "r": "L6", "ears": "M1"}
    assert done.taken[XLR] == 3, "the kept cable is not taken twice"
    assert where(fitted(book, "club", replace(ASKED, fresh=True)))["vox"] == "L3"


def test_the_left_output_alone_stands_for_both_where_lines_are_short(catalogue: Catalogue) -> None:
    book = book_at(house("bar", 2), stock=stock_of(4, 2, 2))
    done = fitted(book, "bar")
    rows = {row.hand_off: row for row in fit_rows(done)}
    assert (rows["l"].socket, rows["r"].how, rows["vox"].socket) == ("L1", "stays unplugged", "L2")
    assert any("6.0 dB" in note for note in rows["l"].notes)
    assert not done.unsettled
    after = analyse(apply_fit(book, "bar", done.landings, catalogue), "bar", catalogue)
    assert not [one for one in after.findings if one.rule in ("channels.unbound", "channels.too-many")]


def joinable(book: Book) -> Book:
    """Return the book with a synth in place of the piano whose outputs cannot stand for each other."""
    rig = book.rig("rig")
    units = tuple(checked(one, gear="laptop-interface-4") if one.id == "piano" else one for one in rig.units)
    ports = {"l": "out-1", "r": "out-2"}
    hand_offs = tuple(checked(one, port=ports[one.id]) if one.id in ports else one for one in rig.hand_offs)
    return checked(book, rigs=(checked(rig, units=units, hand_offs=hand_offs),))


def test_a_box_of_resistors_joins_two_outputs_that_cannot_stand_for_each_other(catalogue: Catalogue) -> None:
    box = StockItem(kind="gear", type="summing-box", count=1)
    book = joinable(book_at(house("bar", 2), stock=(*stock_of(4, 4, 2), box)))
    done = fitted(book, "bar")
    assert not done.unsettled
    left, right = (next(one for one in done.landings if one.hand_off == name) for name in "lr")
    assert left.chain[1].gear == "summing-box"  # type: ignore[union-attr]
    assert right.joins == Join(hand_off="l", piece=2, port="in-2")
    assert done.taken[Item("gear", "summing-box", 0.0, "rig")] == 1
    after = apply_fit(book, "bar", done.landings, catalogue)
    patch = build_patch(after, "bar", catalogue)
    assert len(channels(patch)) == 2, "the joined half is no channel of its own"
    sources = {hop.source.node.port for hop in patch.hops if hop.target.gear.id == "summing-box"}
    assert sources == {"out-1", "out-2"}
    assert not [one for one in analyse(after, "bar", catalogue).findings if one.rule == "channels.two-on-one"]
    told = next(row for row in fit_rows(done) if row.hand_off == "l").notes
    loss = next(path.gain_db for path in catalogue.gear_type("summing-box").paths)
    assert any(f"loses {-loss:.1f} dB" in words for words in told)


def test_the_joined_pair_arrives_as_much_lower_as_the_words_say(catalogue: Catalogue) -> None:
    """Each side through the box against the same source on a line of its own, by the levels of the whole patch."""
    box = StockItem(kind="gear", type="summing-box", count=1)
    book = joinable(book_at(house("bar", 2), stock=(*stock_of(4, 4, 2), box)))
    after = apply_fit(book, "bar", fitted(book, "bar").landings, catalogue)
    patch = build_patch(after, "bar", catalogue)
    joined = levels(patch).at[Node("chain", "l/2", "out")].nominal_dbu
    source = levels(patch).at[Node("rig", "piano", "out-1")].nominal_dbu
    assert joined is not None
    assert source is not None
    # Two unlike sides of -6 dB each add up in power to -3 dB; the loads take a little more.
    assert -3.5 < joined - source < -2.5


def test_a_join_needs_its_host_and_goes_with_it(catalogue: Catalogue) -> None:
    book = joinable(book_at(house("bar", 2)))
    chain = (
        CablePiece(kind="cable", cable="ts", length_m=3.0),
        GearPiece(kind="gear", gear="summing-box", enter="in-1", leave=("out",)),
    )
    join = Join(hand_off="l", piece=2, port="in-2")
    right = Landing(hand_off="r", socket="in-1", joins=join)
    with pytest.raises(EditRefused, match="does not land on the same socket"):
        bind_landing(book, "bar", right, catalogue)
    book = bind_landing(book, "bar", Landing(hand_off="l", socket="in-1", chain=chain), catalogue)
    with pytest.raises(EditRefused, match="not free"):
        bind_landing(book, "bar", checked(right, joins=checked(join, port="in-1")), catalogue)
    book = bind_landing(book, "bar", right, catalogue)
    assert from_bytes(to_bytes(book), "a.loom", catalogue) == book
    assert unbind_landing(book, "bar", "l").gig("bar").landings == ()


def test_a_stand_in_lands_for_all_or_none() -> None:
    book = book_at(house("club", 2), stock=stock_of(4, 2, 2))
    rig = book.rig("rig")
    hand_offs = tuple(checked(one, falls_back_to="mono") if one.id in "lr" else one for one in rig.hand_offs)
    mono = HandOff(id="mono", name="Keys mono", unit="mixer", port="main-l", direction="to house", order=9)
    book = checked(joinable(book), rigs=(checked(rig, hand_offs=(*hand_offs, mono)),))
    done = fitted(book, "club")
    assert {line.hand_off: line.settles for line in done.lines if line.hand_off != "ears"} in (
        {"vox": ("vox",), "mono": ("l", "r")}, {"vox": ("vox",), "l": ("l", "r")},
    )  # fmt: skip
    wide = fitted(put_house(book, checked(house("club", 8))), "club")
    assert {line.hand_off for line in wide.lines} == {"vox", "l", "r", "ears"}


def test_what_is_short_is_said_with_what_would_settle_it(catalogue: Catalogue) -> None:
    few = fitted(book_at(house("club", 8), stock=stock_of(2, 2, 2)), "club", OWNED)
    assert len(few.unsettled) == 1
    (said,) = reasons(few)
    assert "what its chain needs is used up" in said
    assert f"one more {catalogue.cable_type('xlr').name}, 5 m" in said
    narrow = joinable(book_at(house("bar", 1), stock=stock_of(4, 2, 2)))
    sentences = fit_sentences(fitted(narrow, "bar", OWNED))
    assert len(sentences) == 2
    assert all("one more 6.35 mm TS lead, 3 m or one more line like L1 would settle it" in one for one in sentences)
    none = fitted(book_at(house("bar", 2, outputs=0), stock=stock_of(4, 2, 2)), "bar")
    assert reasons(none) == ("Ears gets no line at Bar: the house has no output; ask for one.",)


def test_the_cure_that_is_named_does_settle_it() -> None:
    short = fitted(book_at(house("club", 8), stock=stock_of(2, 2, 2)), "club", OWNED)
    more = fitted(book_at(house("club", 8), stock=stock_of(4, 2, 2)), "club", OWNED)
    assert short.unsettled
    assert not more.unsettled


def test_what_has_to_be_bought_is_named_and_counted(catalogue: Catalogue) -> None:
    done = fitted(book_at(house("club", 8), stock=stock_of(4, 2, 0)), "club")
    assert [(item.type, count) for item, count in done.to_buy.items()] == [("di-passive", 2)]
    assert f"Not owned yet: 2 × {catalogue.gear_type('di-passive').name}." in fit_sentences(done)


@pytest.mark.parametrize("lines", range(1, 9))
def test_on_n_lines_the_voice_and_mono_keys_survive_longest(lines: int) -> None:
    patch = build_patch(book_at(house("club", 8), stock=stock_of(4, 2, 2)), "club", shipped())
    reduced = budget(patch, lines, ASKED)
    assert len(channels(reduced.patch)) <= lines
    assert "Vox" in reduced.survives
    assert reduced.lost == (() if lines > 1 else ("Keys L", "Keys R"))
    assert any(line.how == "left output alone" for line in reduced.fit.lines) == (lines == 2)


def test_the_budget_page_stops_where_nothing_is_lost_and_has_no_fault_of_its_own() -> None:
    patch = build_patch(book_at(house("club", 8), stock=stock_of(4, 2, 2)), "club", shipped())
    rows = budget_rows(patch, 8, ASKED)
    assert [(row.lines, row.used) for row in rows] == [(1, 1), (2, 2), (3, 3)]
    assert not [one for row in rows for one in row.faults if one.rule.startswith("channels")]


def test_an_answer_that_changes_the_fit_is_named_and_others_are_not() -> None:
    book = book_at(house("club", 8), stock=stock_of(4, 2, 2))
    rows = question_rows(fitted(book, "club"))
    assert [(row.answer, "Keys L: L1" in row.changes) for row in rows] == [("mono (as assumed, but known)", True)]
    told = learn(book, "club", Fact(key="pa", value="stereo"))
    assert question_rows(fitted(told, "club")) == ()


def test_the_tour_kit_is_the_smallest_and_every_part_of_it_is_needed() -> None:
    book = book_at(house("bar", 2), house("club", 8), stock=stock_of(9, 9, 9))
    tour = tour_kit(book, shipped(), asked=ASKED)
    assert tour.proven
    assert tour.kit == {XLR: 4, TS: 2, DI: 2}
    assert [(row.count, row.owned) for row in kit_rows(tour)] == [(2, 9), (2, 9), (4, 9)]
    assert all("Club: " in words for row in kit_rows(tour) for words in row.needed)
    for item in tour.kit:
        assert tour.without(item), f"the kit does without one {item}"
    assert {name: sum(row.count for row in rows) for name, rows in gig_rows(tour)} == {"Bar": 5, "Club": 8}
    assert tour_words(tour) == "8 of 27 things do for 2 gigs, beside the rig's own leads; no smaller one does."


def test_a_kit_holds_what_is_kept(catalogue: Catalogue) -> None:
    book = book_at(house("bar", 2), stock=stock_of(9, 9, 9))
    chain = (CablePiece(kind="cable", cable="xlr", length_m=5.0),) * 3
    book = bind_landing(book, "bar", Landing(hand_off="vox", socket="in-1", chain=chain), catalogue)
    tour = tour_kit(book, catalogue, asked=ASKED)
    assert tour.kit[XLR] == 5
    assert tour.without(XLR)
