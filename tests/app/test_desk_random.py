"""Random edits of every kind through the desk: the views and the book never disagree, undo and redo lose nothing."""

from __future__ import annotations

import datetime as dt
from collections.abc import Callable

import pytest
from hypothesis import HealthCheck, Phase, settings
from hypothesis import strategies as st
from hypothesis.stateful import (
    RuleBasedStateMachine,
    initialize,
    invariant,
    precondition,
    rule,
    run_state_machine_as_test,
)
from PySide6.QtCore import QCoreApplication, QEvent
from PySide6.QtWidgets import QApplication

from app.desk import Desk
from rigcore.analysis import analyse
from rigcore.book.book import Book
from rigcore.book.edits import gear, gigs, houses, links, plans, replug, risks, stock, units
from rigcore.book.edits.hand_offs import change_hand_off, remove_hand_off
from rigcore.book.edits.reply import HouseReply, LineSaid, take_reply
from rigcore.book.file import to_bytes
from rigcore.book.gig import Placement
from rigcore.book.house import FACT_CHOICES, Fact
from rigcore.book.ids import PortRef
from rigcore.book.rig import PortSetting
from rigcore.book.stock import StockItem
from rigcore.catalogue.loader import shipped
from rigcore.catalogue.record import changed
from rigcore.rules.accepted import acceptance, can_accept
from rigcore.rules.rule import Thing
from tests.app.views_beside_book import Views, differences, wanted

GEAR = (
    "stage-piano-88", "dynamic-handheld", "condenser-handheld", "splitter-1x2", "mixer-in-ear", "di-passive-stereo",
    "line-isolator", "earphones", "powered-monitor", "adapter-trs6m-trs3f", "strip-6",
)  # fmt: skip
STOCK = ("di-passive", "line-isolator", "adapter-xlr3f-trs6m")
EXAMPLES, STEPS = 8, 26

ON_STAGE = st.floats(-4, 4).map(lambda number: round(number, 2))


class Hands(RuleBasedStateMachine):
    """A player who does everything there is to do, in any order, impossible things included."""

    @initialize()
    def start(self) -> None:
        self.desk = Desk(shipped())
        self.views = Views(self.desk)
        self.before = to_bytes(self.desk.book)
        for name in GEAR[:4]:
            self.add(name)

    # -- helps -------------------------------------------------------------------------------

    @property
    def book(self) -> Book:
        return self.desk.book

    @property
    def rig_id(self) -> str:
        return self.desk.rig_id

    def edit(self, words: str, change: Callable[[Book], Book]) -> None:
        self.desk.edit(words, change)

    def pick(self, data: st.DataObject, names: list[str]) -> str:
        return data.draw(st.sampled_from(names or ["nobody"]))

    def unit(self, data: st.DataObject) -> str:
        return self.pick(data, [one.id for one in self.book.rig(self.rig_id).units])

    def link(self, data: st.DataObject) -> str:
        return self.pick(data, [one.id for one in self.book.rig(self.rig_id).links])

    def hand_off(self, data: st.DataObject) -> str:
        return self.pick(data, [one.id for one in self.book.rig(self.rig_id).hand_offs])

    def socket(self, data: st.DataObject) -> str:
        house = self.book.house(self.book.gig(self.desk.gig_id).house)
        return self.pick(data, [one.id for one in house.sockets])

    def port(self, data: st.DataObject) -> PortRef:
        unit_id = self.unit(data)
        unit = self.book.rig(self.rig_id).unit(unit_id)
        ports = [one.id for one in self.desk.catalogue.gear_type(unit.gear).ports] if unit else []
        return PortRef(unit=unit_id, port=self.pick(data, ports))

    # -- units -------------------------------------------------------------------------------

    @rule(name=st.sampled_from(GEAR))
    def add(self, name: str) -> None:
        rig_id, whole = self.rig_id, self.desk.shipped
        self.edit("add", lambda b: units.add_unit(b, rig_id, units.unit_of(b, rig_id, name, whole), whole))

    @rule(data=st.data())
    def remove(self, data: st.DataObject) -> None:
        gone, rig_id = self.unit(data), self.rig_id
        self.edit("remove", lambda b: units.remove_units(b, rig_id, [gone]))

    @rule(data=st.data())
    def delete_what_is_selected(self, data: st.DataObject) -> None:
        self.views.patch.delete_selection()

    @rule(data=st.data(), name=st.text(max_size=12))
    def rename(self, data: st.DataObject, name: str) -> None:
        unit, rig_id = self.unit(data), self.rig_id
        self.edit("rename", lambda b: units.rename_unit(b, rig_id, unit, name))

    @rule(data=st.data(), x=st.integers(-60, 60), y=st.integers(-60, 60))
    def move_card(self, data: st.DataObject, x: int, y: int) -> None:
        unit, rig_id = self.unit(data), self.rig_id
        self.edit("move card", lambda b: units.move_cards(b, rig_id, {unit: (8.0 * x, 8.0 * y)}))

    @rule(data=st.data(), x=ON_STAGE, y=ON_STAGE, here=st.booleans())
    def move_on_stage(self, data: st.DataObject, x: float, y: float, here: bool) -> None:
        unit, rig_id, gig_id = self.unit(data), self.rig_id, self.desk.gig_id
        if here:
            place = Placement(unit=unit, x_m=x, y_m=y)
            self.edit("move here", lambda b: gigs.place_here(b, gig_id, place))
        else:
            self.edit("move", lambda b: units.move_on_stage(b, rig_id, unit, (x, y, 45.0)))

    @rule(data=st.data(), pad=st.booleans(), phantom=st.booleans())
    def set_port(self, data: st.DataObject, pad: bool, phantom: bool) -> None:
        at, rig_id = self.port(data), self.rig_id
        setting = PortSetting(port=at.port, pad=pad, phantom=phantom)
        self.edit("set", lambda b: units.set_port(b, rig_id, at.unit, setting, catalogue=shipped()))

    @rule(data=st.data())
    def own_gear_type(self, data: st.DataObject) -> None:
        unit, rig_id = self.book.rig(self.rig_id).unit(self.unit(data)), self.rig_id
        if unit is None:
            return
        old = self.desk.catalogue.gear_type(unit.gear)
        own = changed(old, id=f"own-{len(self.book.gear)}", name=f"Mine: {old.name[-30:]}", width_m=0.7)
        self.edit("own type", lambda b: gear.put_gear(b, own, shipped()))
        self.edit("exchange", lambda b: gear.exchange_gear(b, rig_id, unit.id, own.id, catalogue=shipped()))

    # -- cables and landings -----------------------------------------------------------------

    @rule(data=st.data())
    def plug(self, data: st.DataObject) -> None:
        ends, rig_id = (self.port(data), self.port(data)), self.rig_id
        self.edit("plug", lambda b: links.plug(b, rig_id, ends, shipped()))

    @rule(data=st.data())
    def replug(self, data: st.DataObject) -> None:
        link, ends, rig_id = self.link(data), (self.port(data), self.port(data)), self.rig_id
        self.edit("replug", lambda b: replug.move_link_end(b, rig_id, link, ends, catalogue=shipped()))

    @rule(data=st.data(), cable=st.sampled_from(["xlr", "ts", "trs", "none of it"]))
    def set_cable(self, data: st.DataObject, cable: str) -> None:
        link, rig_id, whole = self.link(data), self.rig_id, self.desk.catalogue
        self.edit("cable", lambda b: links.set_cable(b, rig_id, link, (cable, 3.0), catalogue=whole))

    @rule(data=st.data())
    def unplug(self, data: st.DataObject) -> None:
        link, rig_id = self.link(data), self.rig_id
        self.edit("unplug", lambda b: links.remove_links(b, rig_id, [link]))

    @rule(data=st.data())
    def land(self, data: st.DataObject) -> None:
        at, socket, gig_id = self.port(data), self.socket(data), self.desk.gig_id
        self.edit("land", lambda b: gigs.land_port(b, gig_id, at, socket, catalogue=shipped()))

    @rule(data=st.data())
    def land_the_voice(self, data: st.DataObject) -> None:
        outs = [one.id for one in self.book.rig(self.rig_id).units if one.gear.endswith("handheld")]
        at, socket, gig_id = PortRef(unit=self.pick(data, outs), port="out"), self.socket(data), self.desk.gig_id
        self.edit("land", lambda b: gigs.land_port(b, gig_id, at, socket, catalogue=shipped()))

    @rule(data=st.data())
    def move_landing(self, data: st.DataObject) -> None:
        hand_off, socket, gig_id = self.hand_off(data), self.socket(data), self.desk.gig_id
        self.edit("move", lambda b: replug.move_landing(b, gig_id, hand_off, socket, catalogue=shipped()))

    @rule(data=st.data())
    def lift(self, data: st.DataObject) -> None:
        hand_off, gig_id = self.hand_off(data), self.desk.gig_id
        self.edit("lift", lambda b: gigs.unbind_landing(b, gig_id, hand_off))

    @rule(data=st.data(), name=st.text(min_size=1, max_size=10))
    def name_hand_off(self, data: st.DataObject, name: str) -> None:
        hand_off, rig_id = self.hand_off(data), self.rig_id
        self.edit("name", lambda b: change_hand_off(b, rig_id, hand_off, name=name))

    @rule(data=st.data())
    def give_hand_off_up(self, data: st.DataObject) -> None:
        hand_off, rig_id = self.hand_off(data), self.rig_id
        self.edit("give up", lambda b: remove_hand_off(b, rig_id, hand_off))

    # -- findings ----------------------------------------------------------------------------

    @rule(data=st.data())
    def remedy(self, data: st.DataObject) -> None:
        found = [one for finding in self.desk.analysis().findings for one in finding.remedies]
        if found:
            chosen = data.draw(st.integers(0, len(found) - 1))
            self.edit(found[chosen].words, found[chosen].apply)

    @rule(data=st.data())
    def accept(self, data: st.DataObject) -> None:
        found = [one for one in self.desk.analysis().findings if can_accept(one)]
        if found:
            risk = acceptance(found[data.draw(st.integers(0, len(found) - 1))], self.desk.gig_id, "we know")
            self.edit("accept", lambda b: risks.accept_risk(b, risk))

    @precondition(lambda self: bool(self.book.accepted))
    @rule(data=st.data())
    def take_acceptance_back(self, data: st.DataObject) -> None:
        risk = self.book.accepted[data.draw(st.integers(0, len(self.book.accepted) - 1))]
        self.edit("take back", lambda b: risks.take_back(b, risk))

    # -- gigs, houses, stock -----------------------------------------------------------------

    @rule(data=st.data(), kind=st.sampled_from(plans.KINDS))
    def copy_plan(self, data: st.DataObject, kind: plans.Kind) -> None:
        chosen = self.pick(data, [one.id for one in plans.plans(self.book, kind)])
        self.edit("copy", lambda b: plans.copy(b, kind, chosen)[0])

    @rule(data=st.data(), kind=st.sampled_from(plans.KINDS), name=st.text(max_size=8))
    def rename_plan(self, data: st.DataObject, kind: plans.Kind, name: str) -> None:
        chosen = self.pick(data, [one.id for one in plans.plans(self.book, kind)])
        self.edit("rename", lambda b: plans.rename(b, kind, chosen, name))

    @rule(data=st.data(), kind=st.sampled_from(plans.KINDS))
    def remove_plan(self, data: st.DataObject, kind: plans.Kind) -> None:
        chosen = self.pick(data, [one.id for one in plans.plans(self.book, kind)])
        self.edit("remove", lambda b: plans.remove(b, kind, chosen))

    @rule(data=st.data())
    def look_at_another_gig(self, data: st.DataObject) -> None:
        self.desk.show_gig(self.pick(data, [one.id for one in self.book.gigs]))

    @rule(data=st.data(), number=st.integers(1, 9), label=st.text(max_size=6))
    def the_house_answers(self, data: st.DataObject, number: int, label: str) -> None:
        gig_id = self.desk.gig_id
        house_id = self.book.gig(gig_id).house
        key = data.draw(st.sampled_from(sorted(FACT_CHOICES)))
        fact = Fact(key=key, value=data.draw(st.sampled_from(FACT_CHOICES[key])), said_by="the house")
        reply = HouseReply(
            facts=(fact,), lines=(LineSaid(self.socket(data), number, label),), people={"crew": "two"},
            load_in=dt.time(16, 30),
        )  # fmt: skip
        self.edit("reply", lambda b: take_reply(b, house_id, reply, gig_id))

    @rule(width_m=st.sampled_from([4.0, 8.0]))
    def the_stage_is_another(self, width_m: float) -> None:
        house = self.book.house(self.book.gig(self.desk.gig_id).house)
        stage = changed(house.stage, width_m=width_m)
        self.edit("stage", lambda b: houses.change_house(b, house.id, stage=stage))

    @rule(name=st.sampled_from(STOCK))
    def own_a_box(self, name: str) -> None:
        self.edit("stock", lambda b: stock.add_to_stock(b, StockItem(kind="gear", type=name)))

    # -- looking, and going back and forth -----------------------------------------------------

    @rule(data=st.data())
    def select(self, data: st.DataObject) -> None:
        self.desk.select((Thing("unit", self.unit(data)),) if self.book.rig(self.rig_id).units else ())

    @rule()
    def undo(self) -> None:
        self.desk.undo()

    @rule()
    def redo(self) -> None:
        self.desk.redo()

    # -- what must hold ------------------------------------------------------------------------

    @invariant()
    def views_and_book_agree(self) -> None:
        if not hasattr(self, "views"):
            return
        for _ in range(4):
            QApplication.processEvents()
        found = differences(self.views.shown(), wanted(self.desk))
        assert not found, found
        # The desk checks upon its last check; from nothing it must come out the same.
        assert self.desk.analysis().findings == analyse(self.book, self.desk.gig_id, shipped()).findings

    def teardown(self) -> None:
        if not hasattr(self, "views"):
            return
        end, steps = to_bytes(self.book), len(self.desk.history.past)
        for _ in range(steps):
            self.desk.undo()
        self.views_and_book_agree()
        assert to_bytes(self.book) == self.before
        for _ in range(steps):
            self.desk.redo()
        self.views_and_book_agree()
        assert to_bytes(self.book) == end
        self.views.close()
        self.desk.deleteLater()
        QCoreApplication.sendPostedEvents(None, QEvent.Type.DeferredDelete)


@pytest.mark.usefixtures("qapp")
def test_views_and_book_never_disagree_and_nothing_is_lost_on_the_way_back() -> None:
    run_state_machine_as_test(
        Hands,
        settings=settings(
            max_examples=EXAMPLES, stateful_step_count=STEPS, deadline=None, derandomize=True, phases=[Phase.generate],
            report_multiple_bugs=False,
            suppress_health_check=[HealthCheck.too_slow, HealthCheck.data_too_large],
        ),
    )  # fmt: skip
