"""Random sequences of edits keep every invariant: nothing dangles, files come back byte for byte."""

from __future__ import annotations

import contextlib
from collections.abc import Callable

from hypothesis import HealthCheck, settings
from hypothesis import strategies as st
from hypothesis.stateful import RuleBasedStateMachine, initialize, invariant, rule

from rigcore.analysis import analyse
from rigcore.book.book import Book
from rigcore.book.edits import cases, folds, gigs, hand_offs, houses, links, units
from rigcore.book.file import check_gear, from_bytes, to_bytes
from rigcore.book.history import History
from rigcore.book.ids import PortRef
from rigcore.book.rig import PortSetting
from rigcore.catalogue.loader import shipped
from rigcore.errors import EditRefused

GEAR = (
    "stage-piano-88", "synth-61", "laptop-interface-4", "dynamic-handheld", "condenser-handheld", "splitter-1x2",
    "mixer-in-ear", "mixer-small", "di-passive-stereo", "di-active", "line-isolator", "earphones", "powered-monitor",
    "adapter-xlr3f-trs6m", "strip-6",
)


class Edits(RuleBasedStateMachine):
    """Drives a book through edits as a player in a hurry would, wrong ones included."""

    @initialize()
    def start(self) -> None:
        self.history = History(houses.new_plan(shipped()))

    @property
    def book(self) -> Book:
        return self.history.present

    def _try(self, words: str, edit: Callable[[Book], Book]) -> None:
        with contextlib.suppress(EditRefused):
            self.history = self.history.after(edit(self.book), words)

    def _unit(self, data: st.DataObject) -> str:
        return data.draw(st.sampled_from([unit.id for unit in self.book.rig("rig").units] or ["nobody"]))

    def _port(self, data: st.DataObject) -> PortRef:
        unit_id = self._unit(data)
        unit = self.book.rig("rig").unit(unit_id)
        ports = [port.id for port in shipped().gear_type(unit.gear).ports] if unit else ["none"]
        return PortRef(unit=unit_id, port=data.draw(st.sampled_from(ports)))

    @rule(gear=st.sampled_from(GEAR))
    def add(self, gear: str) -> None:
        self._try("add", lambda b: units.add_unit(b, "rig", units.unit_of(b, "rig", gear, shipped()), shipped()))

    @rule(data=st.data())
    def remove(self, data: st.DataObject) -> None:
        gone = self._unit(data)
        self._try("remove", lambda b: units.remove_units(b, "rig", [gone]))

    @rule(data=st.data(), name=st.sampled_from(("Rack", "Bag")))
    def pack(self, data: st.DataObject, name: str) -> None:
        unit = self._unit(data)
        self._try("pack", lambda b: cases.pack_in_new_case(b, "rig", unit, name))

    @rule(data=st.data(), at=st.tuples(st.floats(-2e5, 2e5), st.floats(-2e5, 2e5)))
    def fold(self, data: st.DataObject, at: tuple[float, float]) -> None:
        case = data.draw(st.sampled_from([one.id for one in self.book.rig("rig").cases] or ["nobody"]))
        self._try("fold", lambda b: folds.fold_rack(b, "rig", case, at))

    @rule(data=st.data(), name=st.text(max_size=20))
    def rename(self, data: st.DataObject, name: str) -> None:
        unit = self._unit(data)
        self._try("rename", lambda b: units.rename_unit(b, "rig", unit, name))

    @rule(data=st.data(), x=st.floats(-20, 20), y=st.floats(-20, 20), turn=st.floats(-720, 720))
    def move(self, data: st.DataObject, x: float, y: float, turn: float) -> None:
        unit = self._unit(data)
        self._try("move", lambda b: units.move_on_stage(b, "rig", unit, (x, y, turn)))

    @rule(data=st.data())
    def plug(self, data: st.DataObject) -> None:
        ends = (self._port(data), self._port(data))
        self._try("cable", lambda b: links.plug(b, "rig", ends, shipped()))

    @rule(data=st.data())
    def unplug(self, data: st.DataObject) -> None:
        link = data.draw(st.sampled_from([one.id for one in self.book.rig("rig").links] or ["none"]))
        self._try("unplug", lambda b: links.remove_links(b, "rig", [link]))

    @rule(data=st.data())
    def loom(self, data: st.DataObject) -> None:
        every = [one.id for one in self.book.rig("rig").links]
        chosen = data.draw(st.lists(st.sampled_from(every or ["none"]), max_size=4, unique=True))
        self._try("dress", lambda b: links.bundle(b, "rig", chosen, "Loom"))

    @rule(data=st.data(), socket=st.sampled_from([f"in-{n}" for n in range(1, 9)] + ["mix-1", "mix-2", "none"]))
    def land(self, data: st.DataObject, socket: str) -> None:
        port = self._port(data)
        self._try("land", lambda b: gigs.land_port(b, "gig", port, socket, catalogue=shipped()))

    @rule(data=st.data())
    def give_up(self, data: st.DataObject) -> None:
        every = [one.id for one in self.book.rig("rig").hand_offs]
        chosen = data.draw(st.sampled_from(every or ["none"]))
        self._try("give up", lambda b: hand_offs.remove_hand_off(b, "rig", chosen))

    @rule(data=st.data(), pad=st.booleans(), phantom=st.booleans())
    def set_port(self, data: st.DataObject, pad: bool, phantom: bool) -> None:
        port = self._port(data)
        setting = PortSetting(port=port.port, pad=pad, phantom=phantom)
        self._try("set", lambda b: units.set_port(b, "rig", port.unit, setting, catalogue=shipped()))

    @rule()
    def undo(self) -> None:
        self.history = self.history.undone()

    @rule()
    def redo(self) -> None:
        self.history = self.history.redone()

    @invariant()
    def comes_back_byte_for_byte(self) -> None:
        if not hasattr(self, "history"):
            return
        data = to_bytes(self.book)
        again = from_bytes(data, "book", shipped())
        assert again == self.book
        assert to_bytes(again) == data
        check_gear(self.book, shipped())

    @invariant()
    def can_be_analysed(self) -> None:
        if not hasattr(self, "history"):
            return
        analysis = analyse(self.book, None, shipped())
        assert len(analysis.inputs) <= len(self.book.gig("gig").landings)

    def teardown(self) -> None:
        if not hasattr(self, "history"):
            return
        end = to_bytes(self.book)
        back = self.history
        steps = len(back.past)
        for _ in range(steps):
            back = back.undone()
        assert to_bytes(back.present) == to_bytes(houses.new_plan(shipped()))
        for _ in range(steps):
            back = back.redone()
        assert to_bytes(back.present) == end


TestEdits = Edits.TestCase
TestEdits.settings = settings(
    max_examples=25, stateful_step_count=25, deadline=None, suppress_health_check=[HealthCheck.too_slow]
)
