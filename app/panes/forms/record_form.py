"""A form made from the fields of a record: a chooser for words to choose from, a number for a number, a tick for a yes.

It edits a plain table of values, as a record is written in a file; whether they hold together is asked elsewhere.
"""

from __future__ import annotations

from collections.abc import Callable, Collection
from types import UnionType
from typing import Any, Literal, Union, get_args, get_origin

from msgspec import Struct
from PySide6.QtCore import QCoreApplication

from app.panes.forms.fields import Form
from rigcore.catalogue.record import Record

UNITS = {
    "dbu": "dBu", "db": "dB", "ohm": "ohm", "ma": "mA", "v": "V", "m": "m", "kg": "kg", "u": "U", "a": "A", "va": "VA",
}
STEPS = {"m": 0.01, "dBu": 1.0, "dB": 1.0, "ohm": 10.0, "mA": 10.0, "V": 1.0}
MOST = 1_000_000.0


class FieldShape(Struct, frozen=True):
    """What one field of a record takes: ``choices`` if it is one of some words; ``is_number``, ``is_tick`` or text."""

    name: str
    choices: tuple[Any, ...]
    is_number: bool
    is_tick: bool
    may_be_nothing: bool
    default: Any

    @property
    def unit(self) -> str:
        """The unit its name ends in, or nothing."""
        return UNITS.get(self.name.rpartition("_")[2], "") if "_" in self.name else UNITS.get(self.name, "")

    @property
    def label(self) -> str:
        """Its name as a label, without the unit."""
        stem = self.name.rpartition("_")[0] if self.unit and "_" in self.name else self.name
        words = stem.replace("_", " ")
        return QCoreApplication.translate("fields", words[:1].upper() + words[1:])


def shape_of(kind: type[Record], name: str) -> FieldShape:
    """Return what a field of a record takes."""
    info = kind.model_fields[name]
    default = None if info.is_required() else info.get_default(call_default_factory=True)
    plain, may_be_nothing = info.annotation, False
    while get_origin(plain) is not Literal and get_args(plain):
        parts = [part for part in get_args(plain) if part is not type(None)]
        if get_origin(plain) in (Union, UnionType):
            may_be_nothing = may_be_nothing or len(parts) < len(get_args(plain))
        plain = parts[0]
    choices = get_args(plain) if get_origin(plain) is Literal else ()
    return FieldShape(name, choices, plain in (float, int), plain is bool, may_be_nothing, default)


def add_fields(
    form: Form, kind: type[Record], values: dict[str, Any], done: Callable[[], object], *, names: Collection[str] = (),
    but: Collection[str] = (),
) -> None:
    """Add a row for each field, or for those named; a change goes into ``values``, then ``done`` is called."""
    for name in names or [one for one in kind.model_fields if one not in but]:
        _add(form, shape_of(kind, name), values, done)


def _add(form: Form, shape: FieldShape, values: dict[str, Any], done: Callable[[], object]) -> None:
    def take(value: Any) -> None:
        if value is None or (value == "" and shape.default in ("", None)):
            values.pop(shape.name, None)
        else:
            values[shape.name] = value
        done()

    now = values.get(shape.name, shape.default)
    if shape.choices:
        options = [(str(word) or "–", word) for word in shape.choices]
        form.choice(shape.label, [("–", None), *options] if shape.may_be_nothing else options, now, take)
    elif shape.is_tick:
        form.tick(shape.label, bool(now), take)
    elif shape.is_number:
        nothing = shape.may_be_nothing or shape.default is None
        lowest = -200.0 if shape.unit in ("dBu", "dB") else 0.0
        form.number(
            shape.label, now, take, unit=shape.unit, span=(lowest, MOST), step=STEPS.get(shape.unit, 0.1),
            places=3 if shape.unit == "m" else 2, empty="–" if nothing else "",
        )
    else:
        needed = shape.default is None and not shape.may_be_nothing
        form.text(shape.label, str(now or ""), lambda text: take(text.strip()), needed=needed)
