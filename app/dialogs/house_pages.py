"""The pages of the house form that are lists: risers, power drops, boxes and sockets. They edit plain tables."""

from __future__ import annotations

from collections.abc import Callable
from typing import Any

from PySide6.QtCore import QCoreApplication
from PySide6.QtWidgets import QHBoxLayout, QPushButton, QSpinBox, QVBoxLayout, QWidget

from app.dialogs.gear_rows import Row, RowsEditor
from app.panes.forms.fields import Form, plain
from app.panes.marks import Chooser
from rigcore.book.edits.house_parts import house_from_draft, renumbered, sockets_for
from rigcore.book.edits.rebuild import checked
from rigcore.book.house import House
from rigcore.book.ids import new_id
from rigcore.catalogue.catalogue import Catalogue
from rigcore.errors import LoomwrightError

Done = Callable[[], object]
Draft = dict[str, Any]
FIRST_BOX = "stage box"
FEW = 8
NEEDED = ("name", "label")
"""Texts without which a row does not hold."""


def _tr(text: str) -> str:
    return QCoreApplication.translate("house", text)


class Fields:
    """The fields of one row: each change goes into it, an emptied field out of it, then ``done`` is called."""

    def __init__(self, form: Form, row: Row, done: Done) -> None:
        self.form, self.row, self._done = form, row, done

    def put(self, key: str, value: Any) -> None:
        """Take a value."""
        if value is None:
            self.row.pop(key, None)
        else:
            self.row[key] = value
        self._done()

    def text(self, label: str, key: str, hint: str = "") -> None:
        """Add a line of text."""
        now = str(self.row.get(key, ""))
        needed = key in NEEDED
        self.form.text(label, now, lambda text: self.put(key, text.strip()), hint=hint, most=120, needed=needed)

    def number(
        self, label: str, key: str, span: tuple[float, float], *, unit: str = "m", step: float = 0.25,
        empty: str = "", default: float | None = None, tip: str = "",
    ) -> None:
        """Add a number with its unit; with ``empty`` words it may stay open."""
        now = self.row.get(key, default)
        box = self.form.number(
            label, now, lambda new: self.put(key, new), unit=unit, span=span, step=step, empty=empty,
        )
        box.setToolTip(tip)

    def whole(self, label: str, key: str, span: tuple[int, int], default: int = 0) -> None:
        """Add a whole number."""
        self.form.whole(label, int(self.row.get(key, default)), lambda new: self.put(key, new), span=span)

    def choice(self, label: str, key: str, options: list[tuple[str, Any]], default: Any = None) -> None:
        """Add a chooser."""
        self.form.choice(label, options, self.row.get(key, default), lambda new: self.put(key, new))

    def place(self, *, may_be_open: bool = False) -> None:
        """Add the two numbers of a place on the stage."""
        empty = _tr("not placed") if may_be_open else ""
        self.number(
            _tr("Across"), "x_m", (-100.0, 100.0), empty=empty, tip=_tr("From the centre line; stage left counts up"),
        )
        self.number(_tr("Upstage"), "y_m", (-50.0, 100.0), empty=empty, tip=_tr("From the downstage edge"))


def _new(rows: list[Row], name: str, **fields: Any) -> Row:
    """Return a row named and numbered after what it is."""
    names = {row.get("name") for row in rows}
    whole, number = name, 1
    while whole in names:
        number += 1
        whole = f"{name} {number}"
    return {"id": new_id(whole, {row.get("id") for row in rows}), "name": whole, **fields}


def _few(names: list[str]) -> str:
    """Return some names in one line; beyond a few they are only counted."""
    shown = ", ".join(names[:FEW])
    return shown if len(names) <= FEW else _tr("{} and {} more").format(shown, len(names) - FEW)


def risers_page(draft: Draft, done: Done) -> RowsEditor:
    """Return the page of the risers."""
    stage = draft.setdefault("stage", {})
    rows: list[Row] = stage.setdefault("risers", [])

    def fill(form: Form, row: Row, _again: Done) -> None:
        fields = Fields(form, row, lambda: editor.retitle())
        fields.text(_tr("Name"), "name")
        fields.place()
        fields.number(_tr("Width"), "width_m", (0.1, 60.0))
        fields.number(_tr("Depth"), "depth_m", (0.1, 60.0))
        fields.number(_tr("Height"), "height_m", (0.0, 10.0), step=0.1, default=0.4)

    def words(row: Row) -> str:
        return f"{row.get('name', '')} · {row.get('width_m', 0):g} × {row.get('depth_m', 0):g} m"

    def new() -> Row:
        return _new(rows, _tr("Riser"), x_m=0.0, y_m=round(stage.get("depth_m", 4.0) - 1.0, 2), width_m=2.0,
                    depth_m=2.0, height_m=0.4)  # fmt: skip

    editor = RowsEditor(rows, new=new, words=words, fill=fill, done=done)
    return editor


def drops_page(draft: Draft, catalogue: Catalogue, done: Done) -> RowsEditor:
    """Return the page of the power drops."""
    stage = draft.setdefault("stage", {})
    rows: list[Row] = stage.setdefault("power", [])
    outlets = sorted(
        (one.name, one.id) for one in catalogue.connectors.values() if one.group == "mains" and one.side == "female"
    )

    def fill(form: Form, row: Row, _again: Done) -> None:
        fields = Fields(form, row, lambda: editor.retitle())
        fields.text(_tr("Name"), "name")
        fields.place()
        fields.whole(_tr("Outlets"), "outlets", (0, 200), 1)
        fields.choice(_tr("Connector"), "connector", [(_tr("not said"), None), *outlets])
        fields.text(_tr("Circuit"), "circuit", _tr("as the house calls it; one name, one breaker"))
        not_said = _tr("not said")
        fields.number(_tr("Breaker"), "circuit_a", (1.0, 400.0), unit="A", step=1.0, empty=not_said)
        fields.number(
            _tr("RCD"), "rcd_ma", (1.0, 1000.0), unit="mA", step=1.0, empty=not_said,
            tip=_tr("The residual-current device before these outlets"),
        )
        cuts = [(not_said, None), (_tr("cuts these outlets"), True), (_tr("does not cut them"), False)]
        fields.choice(_tr("Sound limiter"), "limiter", cuts)
        fields.text(_tr("Shared with"), "shared_with", _tr("what else hangs on the circuit"))
        form.say(_tr("Local codes and the house's licensed electrician decide."), "soft")

    def words(row: Row) -> str:
        count = row.get("outlets", 1)
        return f"{row.get('name', '')} · " + (_tr("1 outlet") if count == 1 else _tr("{} outlets").format(count))

    def new() -> Row:
        return _new(rows, _tr("Drop"), x_m=0.0, y_m=round(stage.get("depth_m", 4.0) - 0.4, 2), outlets=2)

    editor = RowsEditor(rows, new=new, words=words, fill=fill, done=done)
    return editor


def boxes_page(draft: Draft, catalogue: Catalogue, done: Done) -> RowsEditor:
    """Return the page of the house's boxes and desks."""
    rows: list[Row] = draft.setdefault("units", [])
    by_category: dict[str, list[tuple[str, str]]] = {}
    for gear in catalogue.gear.values():
        by_category.setdefault(gear.category, []).append((gear.name, gear.id))

    def used(row: Row) -> list[str]:
        return [one.get("label", "") for one in draft.get("sockets", []) if one.get("unit") == row.get("id")]

    def fill(form: Form, row: Row, again: Done) -> None:
        fields = Fields(form, row, lambda: editor.retitle())
        fields.text(_tr("Name"), "name")
        labels = used(row)
        gear = catalogue.gear.get(row.get("gear", ""))
        if labels:
            form.fact(_tr("Type"), gear.name if gear else row.get("gear", ""))
            form.say(_tr("Its sockets: {}. Take them out before it can go or be another type.").format(
                _few(labels)), "soft")  # fmt: skip
        else:
            now = gear.category if gear else FIRST_BOX

            def take(category: str) -> None:
                row["gear"] = by_category[category][0][1]
                again()

            kinds = [(_tr(one[:1].upper() + one[1:]), one) for one in by_category]
            form.choice(_tr("Category"), kinds, now, take)
            fields.choice(_tr("Type"), "gear", sorted(by_category[now]))
        fields.place(may_be_open=True)
        fields.number(
            _tr("Turned"), "rotation_deg", (0.0, 359.0), unit="°", step=15.0, default=0.0,
            tip=_tr("Clockwise, seen from above; 0 faces the audience"),
        )
        fields.text(_tr("Note"), "note")

    def words(row: Row) -> str:
        gear = catalogue.gear.get(row.get("gear", ""))
        return f"{row.get('name', '')} · {gear.name if gear else row.get('gear', '')}"

    def new() -> Row:
        return _new(rows, _tr("Stage box"), gear=by_category[FIRST_BOX][0][1], owner="house")

    def stays(row: Row) -> str:
        labels = used(row)
        if not labels:
            return ""
        return _tr("{} carries the sockets {}; take those out first.").format(row.get("name", ""), _few(labels))

    editor = RowsEditor(rows, new=new, words=words, fill=fill, done=done, stays=stays)
    return editor


class SocketsPage(QWidget):
    """The page of the sockets: rows, and above them what makes or numbers many at once.

    ``say`` shows why something cannot be done.
    """

    def __init__(self, draft: Draft, catalogue: Catalogue, done: Done, say: Callable[[str], object]) -> None:
        super().__init__()
        self._draft, self._catalogue, self._say = draft, catalogue, say
        self._sockets: list[Row] = draft.setdefault("sockets", [])
        self._units: list[Row] = draft.setdefault("units", [])
        column = QVBoxLayout(self)
        column.setContentsMargins(0, 0, 0, 0)
        if not self._units:
            column.addWidget(plain(_tr("A socket sits at a box: add a box first."), "soft"))
            column.addStretch(1)
            return
        self.box = Chooser()
        for row in self._units:
            self.box.addItem(row.get("name", ""))
        self.box.setAccessibleName(_tr("Box"))
        self.each = self._button(_tr("One for each port of this box"), self._each_port)
        self.start = QSpinBox()
        self.start.setRange(0, 9999)
        self.start.setValue(1)
        self.start.setAccessibleName(_tr("First number"))
        self.number = self._button(_tr("Renumber it from"), self._renumber)
        bar = QHBoxLayout()
        bar.setContentsMargins(9, 4, 9, 0)
        bar.addWidget(self.box, 1)
        for widget in (self.each, self.number, self.start):
            bar.addWidget(widget)
        column.addLayout(bar)
        self.rows = RowsEditor(
            self._sockets, new=self._new, words=self._words, fill=self._fill, done=done,
        )
        column.addWidget(self.rows, 1)

    def _button(self, words: str, press: Callable[[], object]) -> QPushButton:
        button = QPushButton(words)
        button.setAutoDefault(False)
        button.clicked.connect(lambda: press())
        return button

    def _new(self) -> Row:
        unit = self._units[max(self.box.currentIndex(), 0)]
        ports = self._ports(unit["id"])
        taken = {(one.get("unit"), port) for one in self._sockets for port in one.get("ports", [])}
        free = next((one for one in ports if (unit["id"], one[1]) not in taken), ports[0] if ports else ("", "in", ""))
        number = 1 + max((one["number"] for one in self._sockets if one.get("direction") == free[2]), default=0)
        name = new_id(f"{free[2] or 'in'}-{number}", {one.get("id") for one in self._sockets})
        label = f"{number}" if free[2] == "in" else f"Mix {number}"
        return {
            "id": name, "unit": unit["id"], "ports": [free[1]], "direction": free[2] or "in", "number": number,
            "label": label,
        }

    def _ports(self, unit_id: str) -> list[tuple[str, str, str]]:
        """Return name, id and direction of the ports of a box that can be a socket."""
        row = next((one for one in self._units if one.get("id") == unit_id), {})
        gear = self._catalogue.gear.get(row.get("gear", ""))
        return [(port.name, port.id, port.direction) for port in (gear.ports if gear else ())
                if port.direction != "both"]  # fmt: skip

    def _words(self, row: Row) -> str:
        way = _tr("in") if row.get("direction") == "in" else _tr("out")
        unit = next((one.get("name", "") for one in self._units if one.get("id") == row.get("unit")), "")
        label = row.get("label", "")
        shown = label if label == str(row.get("number")) else f"{row.get('number')} · {label}"
        return f"{shown} · {way} · {unit}"

    def _fill(self, form: Form, row: Row, again: Done) -> None:
        fields = Fields(form, row, lambda: self.rows.retitle())
        fields.whole(_tr("Number"), "number", (0, 9999))
        fields.text(_tr("Label"), "label")
        fields.text(_tr("Block"), "block", _tr("the group of lines it belongs to"))
        ports = self._ports(row.get("unit", ""))

        def sit(unit_id: str) -> None:
            row["unit"] = unit_id
            first = next(iter(self._ports(unit_id)), None)
            row["ports"] = [first[1]] if first else row.get("ports", [])
            row["direction"] = first[2] if first else "in"
            again()

        def plug(port_id: str) -> None:
            row["ports"] = [port_id]
            row["direction"] = next(way for _name, name, way in ports if name == port_id)
            again()

        def double(port_id: str | None) -> None:
            row["ports"] = [row["ports"][0], *([port_id] if port_id else [])]
            self.rows.retitle()

        form.choice(_tr("Box"), [(one.get("name", ""), one.get("id")) for one in self._units], row.get("unit"), sit)
        now = row.get("ports", [])
        ways = {"in": _tr("in"), "out": _tr("out")}
        form.choice(_tr("Port"), [(f"{name} · {ways[way]}", one) for name, one, way in ports], (now or [None])[0], plug)
        others = [(name, one) for name, one, way in ports if way == row.get("direction") and one not in now[:1]]
        form.choice(_tr("And port"), [(_tr("no other"), None), *others], now[1] if len(now) > 1 else None, double)
        form.say(_tr("Two ports make one line where a Y-lead feeds both."), "soft")

    def _house(self) -> House | None:
        house, wrong = house_from_draft(self._draft)
        self._say(wrong)
        return house

    def _take(self, change: Callable[[House], House]) -> None:
        house = self._house()
        if house is None:
            return
        try:
            changed = change(house)
        except LoomwrightError as refusal:
            self._say(refusal.sentence)
            return
        self._sockets[:] = changed.model_dump(mode="json")["sockets"]
        self.rows.refill()

    def _each_port(self) -> None:
        unit_id = self._units[max(self.box.currentIndex(), 0)]["id"]

        def more(house: House) -> House:
            made = sockets_for(house, unit_id, self._catalogue)
            return checked(house, sockets=(*house.sockets, *made))

        self._take(more)

    def _renumber(self) -> None:
        unit_id = self._units[max(self.box.currentIndex(), 0)]["id"]
        self._take(lambda house: renumbered(house, unit_id, self.start.value()))
