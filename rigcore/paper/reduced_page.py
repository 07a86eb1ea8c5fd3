"""The page that says what is left on fewer lines than asked for: on one line of the house, on two, and so on."""

from __future__ import annotations

from rigcore.lists.budget_list import BudgetRow, budget_rows
from rigcore.paper.grid import Head, Section, grid_leaves
from rigcore.paper.leaf import Job, Leaf


def reduced_leaves(job: Job) -> tuple[Leaf, ...]:
    """Return the rig reduced to n lines: what is heard, on which sockets, and what falls away."""
    heads = (
        Head("lines", 38, strong=True, align="right"), Head("", 8), Head("what is heard", 130, 1.0, strong=True),
        Head("into your", 130, 1.2), Head("falls away", 90, 0.8),
    )
    rows = tuple(
        (str(row.lines), "", ", ".join(row.survives) or "nothing", _sockets(row), ", ".join(row.lost) or "nothing")
        for row in budget_rows(job.analysis.patch)
    )
    section = Section("", heads, rows, "No line to the house is asked for.")
    return grid_leaves(job, "Reduced to fewer lines", (section,), "the vocal and mono keys survive longest")


def _sockets(row: BudgetRow) -> str:
    found = [f"{one.socket} {one.name}" for one in row.landings if one.number is not None and one.how != "no line"]
    return ", ".join(found)
