"""The base of every record: frozen, strict, and closed to unknown fields.

Also the bounds that keep hostile files out: no text over 2,000 characters, no
infinities, no numbers that are not numbers. Modules of records do without
``from __future__ import annotations``: read back from text, each field costs twice.
"""

from collections.abc import Mapping
from typing import Annotated, TypeVar

from pydantic import AfterValidator, BaseModel, ConfigDict, Field
from pydantic_core import to_json


class Record(BaseModel):
    """A frozen value; changed only by making another one (see :func:`changed`).

    Its checker is built when first used. One that every start uses says ``defer_build=False``: built at once, it is
    taken over by the records that hold it instead of being built again in each.
    """

    model_config = ConfigDict(
        frozen=True, defer_build=True,
        strict=True,
        extra="forbid",
        allow_inf_nan=False,
        str_max_length=2000,
    )


def _visible(text: str) -> str:
    if not text.isprintable() and any(ord(char) < 32 and char not in "\n\t" for char in text):
        raise ValueError("holds a control character; remove it")
    return text


Id = Annotated[str, Field(pattern=r"^[a-z0-9][a-z0-9.+-]{0,79}$")]
"""A short name for the machine: lower case, figures, dots, plus signs and hyphens."""

Text = Annotated[str, AfterValidator(_visible)]
"""What a person typed: any script, no control characters."""

Name = Annotated[str, Field(min_length=1, max_length=120), AfterValidator(_visible)]
"""A text of one line that must not be empty."""

Metres = Annotated[float, Field(ge=-1000, le=1000)]
Length = Annotated[float, Field(gt=0, le=2000)]
Positive = Annotated[float, Field(gt=0)]
NotNegative = Annotated[float, Field(ge=0)]

AnyRecord = TypeVar("AnyRecord", bound=Record)


def from_row(kind: type[AnyRecord], row: Mapping[str, object]) -> AnyRecord:
    """Return a row of a table as a record: where the record wants a tuple, a list of the table will do.

    Raises
    ------
    pydantic.ValidationError
        If the row does not hold.
    """
    # What is no number travels as such, to be refused with its field's name.
    return kind.model_validate_json(to_json(row, inf_nan_mode="constants"))


def changed(record: AnyRecord, **fields: object) -> AnyRecord:
    """Return the record with some fields replaced, validated as if made anew.

    Raises
    ------
    pydantic.ValidationError
        If the new record would not hold.
    """
    now = {name: getattr(record, name) for name in type(record).model_fields}
    return type(record)(**{**now, **fields})
