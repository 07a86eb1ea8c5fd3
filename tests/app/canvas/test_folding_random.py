"""Racks and looms folded and unfolded among random edits of every kind: the views and the book never disagree."""

from __future__ import annotations

from collections.abc import Callable

import pytest
from hypothesis import HealthCheck, Phase, settings
from hypothesis import strategies as st
from hypothesis.stateful import initialize, rule, run_state_machine_as_test

from rigcore.book.book import Book
from rigcore.book.edits import cases, links
from rigcore.book.ids import PortRef
from rigcore.rules.rule import Thing
from tests.app.test_desk_random import Hands

EXAMPLES, STEPS = 6, 20
TURNS = ("fold_rack", "fold_loom", "", "unfold", "fold_loom", "fold_rack", "unfold", "unfold")
"""What is done to everything chosen after one edit and the next, over and over."""


class Folders(Hands):
    """The player who does everything, and between two things folds or unfolds something."""

    @initialize()
    def start(self) -> None:
        self.turn = 0
        self.is_folding = False
        super().start()
        self.add("mixer-in-ear")
        rig_id, units = self.rig_id, [one.id for one in self.book.rig(self.rig_id).units]
        for number, side in enumerate("lr", start=1):
            ends = (PortRef(unit=units[0], port=f"out-{side}"), PortRef(unit=units[-1], port=f"line-{number}"))
            self.edit("plug", lambda b, ends=ends: links.plug(b, rig_id, ends, self.desk.shipped))
        tied = [link.id for link in self.book.rig(rig_id).links]
        self.edit("bundle", lambda b: links.bundle(b, rig_id, tied, "Tails"))
        self.edit("pack", lambda b: cases.pack_in_new_case(b, rig_id, units[-1], "Rack"))
        self.is_folding = True

    def edit(self, words: str, change: Callable[[Book], Book]) -> None:
        super().edit(words, change)
        what = TURNS[self.turn % len(TURNS)]
        self.turn += 1
        if self.is_folding and what:
            before = self.desk.selection
            self.desk.select(Thing("unit", one.id) for one in self.book.rig(self.rig_id).units)
            getattr(self.views.patch.folding, what)()
            self.desk.select(one for one in before if one in self.desk.selection)

    @rule(data=st.data(), name=st.sampled_from(("Rack", "Bag")))
    def pack(self, data: st.DataObject, name: str) -> None:
        unit, rig_id = self.unit(data), self.rig_id
        known = [one.id for one in self.book.rig(rig_id).cases]
        if known and data.draw(st.booleans()):
            case = data.draw(st.sampled_from([*known, None]))
            self.edit("pack", lambda b: cases.pack(b, rig_id, unit, case))
        else:
            self.edit("pack", lambda b: cases.pack_in_new_case(b, rig_id, unit, name))

    @rule(data=st.data())
    def tie(self, data: st.DataObject) -> None:
        some, rig_id = {self.link(data), self.link(data)}, self.rig_id
        self.edit("bundle", lambda b: links.bundle(b, rig_id, some, "Loom"))

    @rule(what=st.sampled_from(("tidy", "duplicate")))
    def lay(self, what: str) -> None:
        if len(self.book.rig(self.rig_id).units) < 12:
            getattr(self.views.patch.commands, what)()
            self.views.patch.end_glide()


@pytest.mark.usefixtures("qapp")
def test_views_and_book_never_disagree_whatever_is_folded() -> None:
    run_state_machine_as_test(
        Folders,
        settings=settings(
            max_examples=EXAMPLES, stateful_step_count=STEPS, deadline=None, derandomize=True, phases=[Phase.generate],
            report_multiple_bugs=False,
            suppress_health_check=[HealthCheck.too_slow, HealthCheck.data_too_large],
        ),
    )  # fmt: skip
