"""The settings of one port of a unit; only those the gear type says the port has."""

from __future__ import annotations

from collections.abc import Callable
from typing import TYPE_CHECKING, Any

from rigcore.book.edits.rebuild import checked
from rigcore.book.edits.units import set_gain, set_port
from rigcore.book.ids import PortRef
from rigcore.book.rig import PortSetting, Unit
from rigcore.catalogue.gear import GearType, Port
from rigcore.lists.gain_list import GainRow, gain_at
from rigcore.patch.build import Node
from rigcore.rules.rule import Thing

if TYPE_CHECKING:
    from app.panes.forms.thing import ThingForm
    from app.panes.forms.unit_form import UnitForm


def port_choice(gear: GearType, unit: Unit, wanted: str) -> Port:
    """Return the port to show first: the wanted one, else one that is set, else the first."""
    port = gear.port(wanted)
    if port is not None:
        return port
    for setting in unit.settings:
        port = gear.port(setting.port)
        if port is not None:
            return port
    return gear.ports[0]


def gain_span(gear: GearType, port_id: str) -> tuple[float, float] | None:
    """Return the lowest and highest gain, in dB, that can be dialled at a port, or None."""
    spans = [
        (path.gain_min_db, path.gain_max_db)
        for path in gear.paths
        if path.source == port_id and path.gain_min_db is not None and path.gain_max_db is not None
    ]
    return min(spans) if spans else None


def has_lift(gear: GearType, port_id: str) -> bool:
    """Return whether the table says that a way to this port parts the two sides."""
    return any(path.target == port_id and path.isolates for path in gear.paths)


def setting_rows(
    form: ThingForm, gear: GearType, port: Port, setting: PortSetting, *, put: Callable[..., object]
) -> None:
    """Add a row for each thing that can be set at a port of a gear type; ``put`` takes the field that changes."""
    pad_db = getattr(port.carrier, "pad_db", 0.0)
    if pad_db > 0:
        form.tick(form.tr("Pad"), setting.pad, lambda on: put(pad=on), words=form.tr("in, {:g} dB").format(pad_db))
    if getattr(port.carrier, "phantom", "") == "switchable":
        form.tick(form.tr("48 V"), setting.phantom, lambda on: put(phantom=on), words=form.tr("on"))
    if has_lift(gear, port.id):
        form.tick(form.tr("Ground lift"), setting.lift, lambda on: put(lift=on), words=form.tr("open"))
    span = gain_span(gear, port.id)
    if span is not None:
        form.number(
            form.tr("Gain"), setting.gain_db, lambda gain: put(gain_db=gain),
            unit="dB", span=span, step=1.0, places=1, empty=form.tr("not dialled"),
        )


class PortRows:
    """Rows of a unit form for one port at a time."""

    def __init__(self, form: UnitForm, gear: GearType, port: Port) -> None:
        self._form = form
        self._gear = gear
        self._port = port

    def build(self) -> None:
        """Add the rows."""
        form, port = self._form, self._port
        setting = form.unit.setting(port.id)
        if len(self._gear.ports) > 1:
            options = [(one.name, one.id) for one in self._gear.ports]
            form.choice(form.tr("Port"), options, port.id, self._pick)
        form.text(
            form.tr("Signal"), setting.label, lambda text: self._set(label=text.strip()),
            hint=form.tr("name of the signal"),
        )
        setting_rows(form, self._gear, port, setting, put=self._set)
        advice = gain_at(form.desk.latest().patch, Node("rig", form.unit.id, port.id))
        if advice is not None:
            self._advice(advice)

    def _advice(self, advice: GainRow) -> None:
        """Say which gain to dial, with a button that dials it, or why it cannot be."""
        form = self._form
        words, act, dial = advice.gain_words, "", None
        if advice.is_dialled:
            words = form.tr("{}, as dialled").format(words)
        elif not advice.problem:
            act, dial = form.tr("Dial it"), lambda: self._dial(advice)
        form.told(form.tr("Gain to dial"), words, act=act, press=dial)
        if advice.problem:
            form.say(form.tr("Not possible: {}.").format(advice.problem))

    def _dial(self, advice: GainRow) -> None:
        form, at = self._form, PortRef(unit=self._form.unit.id, port=self._port.id)
        rig_id, catalogue = form.rig.id, form.desk.catalogue
        form.edit(
            f"dial {advice.gain_words} at {advice.input}",
            lambda book: set_gain(book, rig_id, at, advice.gain_db, catalogue=catalogue),
        )

    def _pick(self, port_id: str) -> None:
        self._form.desk.select((Thing("unit", self._form.unit.id, port_id),))

    def _set(self, **fields: Any) -> None:
        form, port_id = self._form, self._port.id
        rig_id, unit_id, catalogue = form.rig.id, form.unit.id, form.desk.catalogue
        now: PortSetting = checked(form.unit.setting(port_id), **fields)
        form.edit(
            f"set {form.unit.name} {self._port.name}",
            lambda book: set_port(book, rig_id, unit_id, now, catalogue=catalogue),
        )
