"""What an answer of the house would change: the fit again, for each answer a house could give to an open question."""

from __future__ import annotations

from collections.abc import Iterator

from msgspec import Struct

from rigcore.book.assumptions import fact_value, open_questions
from rigcore.book.edits.houses import learn
from rigcore.book.house import FACT_CHOICES, Fact, FactKey
from rigcore.patch.build import Patch, build_patch
from rigcore.solve.fit import Fit, fit


class IfSaid(Struct, frozen=True, eq=False):
    """An answer that would change the fit: which question, which answer, and the lines that differ (hand-off ids)."""

    key: FactKey
    question: str
    answer: str
    assumed: str
    fit: Fit
    differs: tuple[str, ...]


def what_if(fitted: Fit) -> tuple[IfSaid, ...]:
    """Return the answers that would change a fit, in the order of the table of assumptions.

    Only questions with a fixed choice of answers; the one assumed already is compared too, because a house
    that is known to be mono is treated otherwise than one that may be.
    """
    return tuple(_answers(fitted))


def _answers(fitted: Fit) -> Iterator[IfSaid]:
    patch = fitted.patch
    now = _as_lines(fitted)
    for one in open_questions(patch.house):
        for answer in FACT_CHOICES.get(one.key, ()):
            again = fit(_told(patch, one.key, answer), fitted.posed.asked)
            then = _as_lines(again)
            differs = tuple(name for name in dict.fromkeys([*now, *then]) if now.get(name) != then.get(name))
            if differs:
                assumed = fact_value(patch.house, one.key)[0]
                yield IfSaid(one.key, one.question, answer, assumed, again, differs)


def _told(patch: Patch, key: FactKey, answer: str) -> Patch:
    book = learn(patch.book, patch.house.id, Fact(key=key, value=answer))
    return build_patch(book, patch.gig.id, patch.catalogue)


def _as_lines(fitted: Fit) -> dict[str, object]:
    return {one.hand_off: (one.settles, one.socket, one.chain.pieces if one.chain else None) for one in fitted.lines}
