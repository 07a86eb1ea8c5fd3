"""The stage plot as shapes in metres."""

from __future__ import annotations

import pytest

from rigcore.book.book import Book, empty_book
from rigcore.book.edits.houses import add_house, add_rig
from rigcore.book.gig import Gig, Landing
from rigcore.book.house import House, PowerDrop, Riser, Socket, Stage
from rigcore.book.rig import HandOff, Rig, Unit
from rigcore.catalogue.loader import shipped
from rigcore.lists.plot import label_range, number_range, place_words, stage_plot
from rigcore.patch.build import Patch, build_patch

STAGE = Stage(
    width_m=6.0, depth_m=4.0,
    risers=(Riser(id="r", name="riser", x_m=1.0, y_m=3.0, width_m=2.0, depth_m=1.5, height_m=0.3),),
    power=(PowerDrop(id="p", name="left", x_m=2.0, y_m=3.5, outlets=4),),
)


def patch_of(*units: Unit, stage: Stage = STAGE, socket: int = 21) -> Patch:
    """Return the patch of a rig whose first unit, a microphone, has a line."""
    line = HandOff(id="h", name="Lead vox", unit=units[0].id, port="out", direction="to house")
    rig = Rig(id="rig", name="Rig", units=units, hand_offs=(line,))
    box = Unit(id="box", name="Box", gear="stage-box-8", owner="house", x_m=-2.0, y_m=3.6)
    sockets = tuple(
        Socket(id=f"b{n}", unit="box", ports=(f"in-{n}",), direction="in", number=socket + n - 1, label=f"B{n}")
        for n in range(1, 9)
    )
    book: Book = add_rig(empty_book(), rig)
    book = add_house(book, House(id="h", name="Hall", stage=stage, units=(box,), sockets=sockets), shipped())
    gig = Gig(id="g", name="Gig", rig="rig", house="h", landings=(Landing(hand_off="h", socket="b1"),))
    return build_patch(Book(**{**dict(book), "gigs": (gig,)}), "g", shipped())


MIC = Unit(id="mic", name="Lead mic", gear="dynamic-handheld", x_m=0.5, y_m=1.0)


def test_everything_is_there_in_metres() -> None:
    piano = Unit(id="k", name="Keys", gear="stage-piano-88", x_m=1.0, y_m=3.0)
    wedge = Unit(id="w", name="Wedge", gear="wedge-powered", x_m=0.5, y_m=0.4, rotation_deg=180.0, owner="house")
    plot = stage_plot(patch_of(MIC, piano, wedge))
    kinds = [outline.kind for outline in plot.outlines]
    assert kinds == ["stage", "riser", "gear", "wedge"]
    assert plot.outlines[0].corners == ((-3.0, 0.0), (3.0, 0.0), (3.0, 4.0), (-3.0, 4.0))
    gear = shipped().gear_type("stage-piano-88")
    xs = [x for x, _ in plot.outlines[2].corners]
    assert max(xs) - min(xs) == pytest.approx(gear.width_m)
    assert [mark.kind for mark in plot.marks] == ["power", "mic"]
    words = {label.words: label for label in plot.labels}
    assert {"B1–B8", "21 Lead vox", "Keys", "riser", "4 outlets"} <= set(words)
    assert words["riser"].detail == "2 m × 1.5 m, 0.3 m high"
    assert words["4 outlets"].detail == "we need 1"
    (arrow,) = plot.arrows
    assert arrow.end[1] > arrow.start[1] > 0.4, "turned half round, the wedge faces upstage"
    assert plot.house_numbers
    assert plot.missing == ()


def test_numbers_alike_need_no_word() -> None:
    assert not stage_plot(patch_of(MIC, socket=1)).house_numbers


def test_off_the_stage_is_still_drawn() -> None:
    off = Unit(id="k", name="Keys", gear="synth-61", x_m=5.5, y_m=-1.0)
    plot = stage_plot(patch_of(MIC, off))
    assert any(outline.unit == "k" for outline in plot.outlines)
    assert plot.extent[2] > 5.5
    assert plot.extent[1] < -1.0


def test_far_away_is_named_at_the_edge() -> None:
    far = Unit(id="k", name="Desk", gear="mixer-small", x_m=0.0, y_m=-25.0)
    plot = stage_plot(patch_of(MIC, far))
    assert plot.extent[1] == -0.5
    label = next(one for one in plot.labels if one.words == "Desk")
    assert (label.mark, label.detail) == ("far", "24.5 m away")


def test_without_a_place_it_is_named_as_missing() -> None:
    plot = stage_plot(patch_of(Unit(id="mic", name="Lead mic", gear="dynamic-handheld")))
    assert plot.missing == ("Lead mic",)


def test_power_is_asked_for_where_no_drop_is_known() -> None:
    piano = Unit(id="k", name="Keys", gear="stage-piano-88", x_m=1.0, y_m=3.0)
    plot = stage_plot(patch_of(MIC, piano, stage=Stage(width_m=6.0, depth_m=4.0)))
    assert ("power wanted", (1.0, 3.0)) in [(mark.kind, mark.at) for mark in plot.marks]
    assert "1 outlet needed" in [label.words for label in plot.labels]


def test_feet_are_words_only() -> None:
    metres, feet = stage_plot(patch_of(MIC)), stage_plot(patch_of(MIC), feet=True)
    assert metres.outlines[0] == feet.outlines[0]
    assert next(one.detail for one in feet.labels if one.words == "riser") == "6.6 ft × 4.9 ft, 1 ft high"


@pytest.mark.parametrize(
    ("at", "words"),
    [
        ((0.0, 3.9), "upstage centre"), ((-2.9, 0.1), "downstage right"), ((2.9, 2.0), "stage left"),
        ((0.0, 2.0), "centre stage"), ((4.0, 2.0), "off stage left"), ((0.0, -1.0), "in front of the stage"),
        ((0.0, 5.0), "behind the stage"), ((None, None), ""),
    ],
)
def test_places_in_words(at: tuple[float | None, float | None], words: str) -> None:
    assert place_words(at, STAGE) == words


def test_ranges() -> None:
    assert label_range(["B1", "B2", "C1", "C2", "C3", "Mix 1", "Talk"]) == "B1, B2, C1–C3, Mix 1, Talk"
    assert label_range(["Talk", "Talk", "Talk"]) == "Talk, Talk, Talk"
    assert number_range([]) == ""
    assert number_range([5]) == "5"
