"""The house's pages that are tables: monitors, power, supply.

Each is a few lines: heads, and rows out of the lists.
"""

from __future__ import annotations

from collections.abc import Callable, Mapping

from msgspec.structs import replace

from rigcore.lists.input_list import OWNER_WORDS
from rigcore.lists.monitor_list import monitor_list
from rigcore.lists.plot import place_words
from rigcore.lists.power_list import CAUTIOUS_POWER_FACTOR, PowerRow, power_list
from rigcore.lists.supply import assumed, please_supply, we_bring
from rigcore.paper.grid import Head, Section, grid_leaves
from rigcore.paper.leaf import Job, Leaf
from rigcore.patch.build import Patch

SUPPLY = "Please supply (equal or better is welcome)"
NO_MIX = "No mix asked for: we make our own."
NO_POWER = "Nothing of ours needs mains."


def table_leaves(job: Job) -> tuple[Leaf, ...]:
    """Return the monitor list, the power request and the supply, as far as they are asked for, one under the other."""
    parts = [(page, _TABLES[page]) for page in _TABLES if page in job.chosen]
    alone = len(parts) == 1
    sections = [
        replace(section, title="" if alone and not number else section.title)
        for _, (_, make) in parts
        for number, section in enumerate(make(job))
    ]
    if alone and parts[0][0] == "supply":
        sections[0] = replace(sections[0], title=SUPPLY)
    title = " · ".join(name if not number else name.lower() for number, (_, (name, _)) in enumerate(parts))
    return grid_leaves(job, title, sections, "left and right as on stage") if parts else ()


def _monitors(job: Job) -> list[Section]:
    heads = (
        Head("mix", 38, strong=True), Head("socket", 52, 0.4), Head("goes to", 78, 0.8, strong=True),
        Head("where", 74, 0.5), Head("how", 66), Head("whose", 40), Head("wanted in it", 110, 2.0),
    )
    rows = tuple(
        (
            " + ".join(str(number) for number in row.numbers), ", ".join(row.sockets), row.goes_to, row.place or "–",
            f"{row.kind}, {row.layout}", OWNER_WORDS[row.supplier], row.wanted,
        )
        for row in monitor_list(job.analysis.patch)
    )
    return [Section("Monitor mixes and outputs, by your numbers", heads, rows, NO_MIX)]


def _power(job: Job) -> list[Section]:
    """Return the power request: outlets, W and A at each place, and what is known of the circuit there."""
    patch = job.analysis.patch
    heads = (
        Head("where", 84, 0.7, strong=True), Head("outlets", 44, align="right", strong=True),
        Head("plugs", 38, align="right"), Head("W", 42, align="right"), Head("A", 66, align="right"),
        Head("", 8), Head("on", 104, 0.6), Head("feeds", 110, 2.0),
    )
    rows = [
        (
            _power_place(patch, row), str(row.wall_outlets), str(row.outlets), f"{row.watts:.0f}",
            f"{row.amps:.2f}–{row.cautious_amps:.2f}", "", _circuit(patch, row), ", ".join(row.units),
        )
        for row in power_list(patch)
    ]
    if len(rows) > 1:
        counts = job.analysis.counts
        rows.append((
            "altogether", str(counts.wall_outlets), str(counts.outlets), f"{counts.watts:.0f}",
            f"{counts.amps:.2f}–{counts.cautious_amps:.2f}", "", "", "",
        ))  # fmt: skip
    note = (
        f"A at {patch.house.mains_v:g} V and power factor 1 to {CAUTIOUS_POWER_FACTOR:g}. All sound gear on one phase, "
        "please. Plugs beyond the outlets sit on our own strips."
    )
    return [Section("Power request", heads, tuple(rows), NO_POWER, note if rows else "")]


def _supply(job: Job) -> list[Section]:
    """Return what the house is asked for (equal or better is welcome), what the act brings, and what is assumed."""
    patch = job.analysis.patch
    heads = (Head("", 180, 1.0, strong=True), Head("", 180, 1.4))
    sections = [
        Section(title, heads, tuple((line.words, line.detail) for line in lines))
        for title, lines in ((SUPPLY, please_supply(patch)), ("We bring", we_bring(patch)))
    ]
    open_questions = tuple((words,) for words in assumed(patch))
    if open_questions:
        sections.append(Section("Assumed until you tell us otherwise", (Head("", 400, 1.0),), open_questions))
    return sections


_TABLES: Mapping[str, tuple[str, Callable[[Job], list[Section]]]] = {
    "monitors": ("Monitor mixes and outputs", _monitors), "power": ("Power request", _power),
    "supply": ("Supply", _supply),
}


def _power_place(patch: Patch, row: PowerRow) -> str:
    drop = next((one for one in patch.house.stage.power if one.name == row.place), None)
    spot = place_words((drop.x_m, drop.y_m), patch.house.stage) if drop is not None else ""
    return f"{row.place}, {spot}" if spot and spot != row.place else row.place


def _named(circuit: str) -> str:
    return circuit if "circuit" in circuit.casefold() else f"circuit {circuit}"


def _circuit(patch: Patch, row: PowerRow) -> str:
    """Return what the house has said of the outlets at a place."""
    drop = next((one for one in patch.house.stage.power if one.name == row.place), None)
    if drop is None:
        return "place and circuit not told yet"
    known = [
        f"{drop.outlets} outlet{'s' * (drop.outlets != 1)} there",
        _named(drop.circuit) if drop.circuit else "circuit not told",
        f"{drop.circuit_a:g} A" if drop.circuit_a is not None else "",
        f"{drop.rcd_ma:g} mA RCD" if drop.rcd_ma is not None else "",
        "behind a sound limiter" if drop.limiter else "",
        f"shared with {drop.shared_with}" if drop.shared_with else "",
    ]
    return ", ".join(part for part in known if part)
