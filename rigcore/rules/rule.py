"""The shapes of the rulebook: rule, finding, working, remedy and the things concerned.

No rule lives here and none is known here.
"""

from __future__ import annotations

from collections.abc import Callable, Iterable
from dataclasses import dataclass, field
from typing import Literal

from msgspec import Struct

from rigcore.book.book import Book
from rigcore.patch.build import Patch

Severity = Literal["fault", "risk", "note"]

SEVERITIES: tuple[Severity, ...] = ("fault", "risk", "note")


class Thing(Struct, frozen=True):
    """Something a finding is about: a unit, a link, a landing (by hand-off), a hand-off or a socket.

    ``port`` narrows a unit down to one of its ports. A loom is only ever shown: findings are about its links.
    """

    kind: Literal["unit", "link", "landing", "hand-off", "socket", "house unit", "gig", "loom"]
    id: str
    port: str = ""


class Remedy(Struct, frozen=True):
    """A change to the book that settles a finding; a pure edit, so it can be undone."""

    words: str
    apply: Callable[[Book], Book]


@dataclass(frozen=True)
class Finding:
    """One thing the rules say about a gig.

    ``working`` are the lines of the sum: formula, numbers with units, result.
    ``assumed`` are the facts of the house the finding rests on without their being known.
    """

    rule: str
    severity: Severity
    sentence: str
    things: tuple[Thing, ...]
    working: tuple[str, ...] = ()
    remedies: tuple[Remedy, ...] = field(default=(), compare=False)
    assumed: tuple[str, ...] = ()


class Rule(Struct, frozen=True):
    """One rule of the trade.

    Parameters
    ----------
    id
        ``family.name``; never reused for another rule.
    sentence
        What the rule watches for, in one sentence.
    why
        What goes wrong on stage if it is broken.
    severity
        The severity of its findings, or the worst of them.
    basis
        Published sources, or "common practice, no source".
    working
        The formula or procedure, in words or symbols.
    judge
        Pure function from the patch to findings.
    """

    id: str
    severity: Severity
    sentence: str
    why: str
    basis: tuple[str, ...]
    working: str
    judge: Callable[[Patch], Iterable[Finding]]

    @property
    def family(self) -> str:
        """The family: what stands before the dot."""
        return self.id.partition(".")[0]
