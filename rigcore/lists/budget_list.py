"""The line budget as a page: the rig on one line of the house, two, … with what survives and what the rules say."""

from __future__ import annotations

from msgspec import Struct

from rigcore.lists.fit_list import FitRow, fit_rows
from rigcore.patch.build import Patch
from rigcore.rules.rule import Finding
from rigcore.rules.run import run_rules
from rigcore.solve.budget import MOST, Reduced, budget
from rigcore.solve.fit_question import Asked


class BudgetRow(Struct, frozen=True):
    """A rig on at most so many lines: what is heard, what falls away, the lines, what it costs, and its findings.

    Only faults of the reduced gig are kept in ``faults``; a must that has no line there is meant to have none.
    """

    lines: int
    used: int
    survives: tuple[str, ...]
    lost: tuple[str, ...]
    landings: tuple[FitRow, ...]
    notes: tuple[str, ...]
    faults: tuple[Finding, ...]


def budget_rows(patch: Patch, most: int = MOST, asked: Asked | None = None) -> tuple[BudgetRow, ...]:
    """Return the rig on 1 to ``most`` lines to the house; no more rows once a further line changes nothing."""
    rows: list[BudgetRow] = []
    for lines in range(1, most + 1):
        row = _row(budget(patch, lines, asked))
        if row.used < lines and rows:
            break
        rows.append(row)
        if not row.lost and not row.notes:
            break
    return tuple(rows)


def _row(reduced: Reduced) -> BudgetRow:
    fit = reduced.fit
    expected = set(fit.unsettled)
    faults = tuple(
        one for one in run_rules(reduced.patch)
        if one.severity == "fault"
        and not (one.rule == "channels.unbound" and {thing.id for thing in one.things} <= expected)
        and one.rule != "channels.too-many"
    )  # fmt: skip
    notes = tuple(note for line in fit.lines for note in line.consequences)
    used = sum(placed.bid.counts for placed in fit.answer.placed)
    return BudgetRow(reduced.lines, used, reduced.survives, reduced.lost, fit_rows(fit), notes, faults)
