"""The player's own table pages: set-up card, lifeline card and carry list, with boxes to tick.

Each is a few lines: heads, and rows out of the lists.
"""

from __future__ import annotations

from collections.abc import Iterable

from rigcore.lists.budget_list import BudgetRow, budget_rows
from rigcore.lists.carry_list import CarryList, CountRow, carry_list
from rigcore.lists.lifeline_card import LifelineRow, lifeline_card
from rigcore.lists.set_up_card import set_up_card
from rigcore.paper.grid import Head, Section, grid_leaves
from rigcore.paper.leaf import Job, Leaf

TICK = Head("", 18, tick=True)
PACKED = {"yes": "packed", "no": "not packed", "?": "look"}


def set_up_leaves(job: Job) -> tuple[Leaf, ...]:
    """Return the card for the player: in which order to plug and switch on."""
    heads = (Head("", 92, strong=True), TICK, Head("", 180, 1.3), Head("", 120, 1.0))
    steps = set_up_card(job.analysis.patch)
    rows = tuple((_first_up(step.phase), "", step.words, step.mind) for step in steps)
    section = Section("", heads, rows, "There is nothing to set up yet.", leading=True)
    return grid_leaves(job, "Set-up card", (section,), "from the top; loudspeakers last on, first off")


def lifeline_leaves(job: Job) -> tuple[Leaf, ...]:
    """Return the lifeline card: what to do when one thing fails, gear first, then cables."""
    rows = lifeline_card(job.analysis.patch)
    heads = (
        Head("if this fails", 90, 1.0, strong=True), Head("silent", 70, 0.7), Head("do this", 120, 1.6),
        Head("spare", 46),
    )
    gear = tuple(_lifeline(row) for row in rows if row.item.kind != "cable")
    cables = tuple(_lifeline(row) for row in rows if row.item.kind == "cable")
    sections = [Section("Gear", heads, gear, "Nothing that would silence a line.")]
    sections += [Section("Cables", heads, cables)] if cables else []
    return grid_leaves(job, "Lifeline card", sections, "mute before you unplug; what silences most stands first")


def carry_leaves(job: Job) -> tuple[Leaf, ...]:
    """Return the carry list: cases and loose gear, what is counted, what is lacking, and spares."""
    listed = carry_list(job.analysis.patch)
    cases = (TICK, Head("case", 90, 0.6, strong=True), Head("holds", 150, 1.6), Head("kg", 40, align="right"),
             Head("", 8), Head("lifting", 90, 0.6))
    counts = (TICK, Head("", 34, strong=True, align="right"), Head("", 200, 1.0), Head("", 120, 0.5))
    spares = (TICK, Head("", 150, 1.0, strong=True), Head("", 62), Head("", 150, 1.0))
    lacking = (TICK, Head("", 120, 0.7, strong=True), Head("", 200, 1.3))
    sections = [Section("Gear", cases, _cases(listed), note=listed.caution)]
    stands = (_stand(words) for words in listed.stands)
    counted: tuple[tuple[str, ...], ...] = (*_counts(listed.cables), *_counts(listed.boxes), *stands)
    sections.append(Section("Cables, boxes and stands", counts, counted))
    if listed.wanted:
        rows = tuple(
            ("", one.line, ", ".join(gear.name for gear in one.adapters) or "nothing known that makes it fit")
            for one in listed.wanted
        )
        sections.append(Section("Still lacking", lacking, rows))
    twice = tuple(("", one.what, PACKED[one.packed], one.because) for one in listed.spares)
    sections.append(Section("Spares", spares, twice, "none needed"))
    return grid_leaves(job, "Carry list", sections)


def _lifeline(row: LifelineRow) -> tuple[str, ...]:
    words = _first_up(row.do)
    if row.brings_back == "part":
        words += " (brings back part of it)"
    if row.caution:
        words += f". Mind: {' '.join(row.caution)}"
    return row.dies, row.silent, words, row.spare


def _cases(listed: CarryList) -> tuple[tuple[str, ...], ...]:
    return tuple(
        (
            "", f"{row.name} ({row.number} of {row.of})" if row.number else row.name, ", ".join(row.units),
            f"{row.mass_kg:.1f}" if row.mass_kg >= 0.1 else f"{row.mass_kg:.2f}", "", row.caution,
        )
        for row in listed.cases
    )


def _counts(rows: Iterable[CountRow]) -> Iterable[tuple[str, ...]]:
    for row in rows:
        owned = "" if row.owned is None else f"{row.owned} owned"
        yield "", f"{row.needed} ×", row.what, f"{owned}, {row.short} short" if row.short else owned


def _stand(words: str) -> tuple[str, ...]:
    count, _, kind = words.partition(" × ")
    return "", f"{count} ×", kind, ""


def _first_up(words: str) -> str:
    return words[:1].upper() + words[1:]


def reduced_leaves(job: Job) -> tuple[Leaf, ...]:
    """Return the rig reduced to n lines: what is heard, on which sockets, what falls away and what it costs."""
    heads = (
        Head("lines", 38, strong=True, align="right"), Head("what is heard", 130, 1.0, strong=True),
        Head("into your", 90, 0.8), Head("falls away", 70, 0.6), Head("mind", 150, 2.2),
    )
    rows = tuple(
        (
            str(row.lines), ", ".join(row.survives) or "nothing", _sockets(row), ", ".join(row.lost) or "nothing",
            " ".join(_sentence(one) for one in (*_short(row), *(one.sentence for one in row.faults))),
        )
        for row in budget_rows(job.analysis.patch)
    )
    section = Section("", heads, rows, "No line to the house is asked for.")
    return grid_leaves(job, "Reduced to fewer lines", (section,), "the vocal and mono keys survive longest")


def _sentence(words: str) -> str:
    return f"{_first_up(words).removesuffix('.')}."


def _short(row: BudgetRow) -> list[str]:
    """Return what a row costs in level; the rest of the advice is on the screen."""
    return [note for note in dict.fromkeys(row.notes) if " dB" in note]


def _sockets(row: BudgetRow) -> str:
    found = [f"{one.socket}: {one.name}" for one in row.landings if one.number is not None and one.how != "no line"]
    return "; ".join(found)
