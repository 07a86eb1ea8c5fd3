"""Ids made from names: readable in a file, stable under later renaming."""

from __future__ import annotations

import re
import unicodedata
from collections.abc import Container

from rigcore.catalogue.record import Id, Record


class PortRef(Record):
    """A port of a unit, by ids."""

    unit: Id
    port: Id


def slug(name: str) -> str:
    """Return a name as an id: lower case, hyphens, ASCII only.

    >>> slug("Keys L / Mono"), slug("Ευρυδίκη")
    ('keys-l-mono', 'x')
    """
    plain = unicodedata.normalize("NFKD", name).encode("ascii", "ignore").decode().lower()
    return re.sub(r"[^a-z0-9]+", "-", plain).strip("-")[:60].strip("-") or "x"


def new_id(name: str, taken: Container[str]) -> str:
    """Return an id for a name that nothing else has.

    >>> new_id("DI", {"di"}), new_id("DI", {"di", "di-2"})
    ('di-2', 'di-3')
    """
    base = slug(name)
    if base not in taken:
        return base
    number = 2
    while f"{base}-{number}" in taken:
        number += 1
    return f"{base}-{number}"
