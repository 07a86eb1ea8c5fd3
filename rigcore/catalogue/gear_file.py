"""Gear types written as TOML, the way the loader reads them: one ``[[gear]]`` table each, figures in full."""

from __future__ import annotations

import json
from collections.abc import Iterable
from typing import Any

from rigcore.catalogue.gear import GearType

NESTED = ("ports", "paths")


def to_toml(types: Iterable[GearType]) -> str:
    """Return gear types as the text of a TOML file.

    Fields at their defaults are left out. :func:`rigcore.catalogue.loader.own_gear` reads it back to equal types.

    Source
    ------
    TOML 1.0.0; a JSON string without escaped slashes is a TOML basic string.
    """
    return "\n".join(_table(gear) for gear in types)


def _table(gear: GearType) -> str:
    plain = gear.model_dump(mode="json", exclude_defaults=True)
    lines = ["[[gear]]"]
    lines += [f"{key} = {_value(value)}" for key, value in plain.items() if key not in NESTED]
    for key in NESTED:
        if plain.get(key):
            lines += [f"{key} = [", *(f"  {_value(row)}," for row in plain[key]), "]"]
    return "\n".join(lines) + "\n"


def _value(value: Any) -> str:
    if isinstance(value, bool):
        return "true" if value else "false"
    if isinstance(value, str):
        return json.dumps(value, ensure_ascii=False).replace("\x7f", "\\u007f")
    if isinstance(value, dict):
        return "{ " + ", ".join(f"{key} = {_value(part)}" for key, part in value.items() if part is not None) + " }"
    if isinstance(value, list):
        return "[" + ", ".join(_value(part) for part in value) + "]"
    return repr(value)
