"""What a house can be asked: each question with the key its answer is filed under.

Whether a question matters at a gig is decided elsewhere.
"""

from __future__ import annotations

from msgspec import Struct

from rigcore.book.assumptions import assumptions


class Question(Struct, frozen=True):
    """One question: its key, its words, and what is assumed until it is answered."""

    key: str
    words: str
    assumed: str = ""

    @property
    def text(self) -> str:
        """The question as written to the house."""
        return f"{self.words} (Until then we assume: {self.assumed}.)" if self.assumed else self.words


PEOPLE: dict[str, Question] = {
    one.key: one
    for one in (
        Question("contact", "Who is the technical contact on the day (name, mobile)?"),
        Question("load in", "When may we load in, and by which door; are there stairs?"),
        Question("crew", "Is there an engineer, also for monitors, and from when?"),
        Question("changeover", "How many minutes is the changeover?"),
    )
}
"""Questions whose answers are no facts the rules decide by: whom to meet, and when."""


PEOPLE_WORDS = {"load in": "load-in"}
"""People's keys that are not how one says them."""


def every_question() -> dict[str, Question]:
    """Return every question there is, by its key."""
    return PEOPLE | {one.key: Question(one.key, one.question, one.words) for one in assumptions()}
