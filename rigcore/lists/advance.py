"""The advance: what is written to the house before the day, and what it is asked.

Only questions the book cannot answer and that matter at this gig; each says what is taken
for granted until it is answered. How a mail is built is not known here.
"""

from __future__ import annotations

from msgspec import Struct

from rigcore.book.questions import PEOPLE, Question, every_question
from rigcore.lists.counts import Counts, count
from rigcore.lists.supply import open_here
from rigcore.patch.build import Patch

MOST_WORDS = 150
"""The text without the list of questions is never longer: nobody reads more."""

FIELD_WORDS, STAGE_WORDS, WORD_CHARS = 8, 14, 8
"""So many words of a name, and of the times on stage, go into a sentence, at so many characters on average."""


class Advance(Struct, frozen=True):
    """What is written: the subject, paragraphs, numbered questions, and how it ends."""

    subject: str
    paragraphs: tuple[str, ...]
    questions: tuple[Question, ...]
    ending: tuple[str, ...]

    @property
    def text(self) -> str:
        """The whole as plain text."""
        asked = [f"{number}. {one.text}" for number, one in enumerate(self.questions, start=1)]
        parts = [*self.paragraphs, *(["\n".join(asked)] if asked else []), "\n".join(self.ending)]
        return "\n\n".join(parts) + "\n"


def questions(patch: Patch) -> tuple[Question, ...]:
    """Return what is to be asked of the house: whom and when first, then its lines and its mains."""
    gig, house = patch.gig, patch.house
    lines = bool(gig.landings)
    matters = {
        "contact": not house.contact,
        "load in": gig.load_in is None,
        "crew": lines and not house.crew,
        "changeover": house.kind == "festival" and house.changeover_min is None,
    }
    people = tuple(one for key, one in PEOPLE.items() if matters[key])
    every = every_question()
    return people + tuple(every[one.key] for one in open_here(patch))


def advance(patch: Patch, when: str) -> Advance:
    """Return the text of the mail to the house.

    Parameters
    ----------
    when
        The date, in the words of the sheets.
    """
    gig, book, house = patch.gig, patch.book, patch.house
    act = _short(gig.act or book.owner or patch.rig.name)
    asked = questions(patch)
    sent = "Our input list and stage plot are attached; they replace all earlier ones."
    stage = f", on stage {_short(gig.on_stage, STAGE_WORDS)}" if gig.on_stage else ""
    told = [
        f"Hello,\n\nwe play at {_short(house.name)}, {when}{stage}. {sent}", f"In short: {_totals(count(patch))}.",
    ]  # fmt: skip
    if len(asked) == 1:
        told.append("Could you answer one question?")
    elif asked:
        told.append(f"Could you answer these {len(asked)} questions? A word or a number is enough.")
    else:
        told.append("We have no open questions. If anything on the sheets does not suit you, please tell us.")
    contact = _short(gig.contact or book.contact)
    day = f" – {gig.date.isoformat()}" if gig.date else ""
    subject = f"{act} at {_short(house.name)}{day} – input list and stage plot"
    return Advance(subject, tuple(told), asked, ("Thank you,", act, *([contact] if contact else [])))


def _totals(counts: Counts) -> str:
    """Return what an engineer adds up, numbers first."""
    dis = counts.dis["house"]
    mixes = counts.mono_mixes + counts.stereo_mixes
    parts = [
        _many(counts.channels, "channel") + (f", {counts.phantom} with 48 V" if counts.phantom else ", none with 48 V"),
        f"{_many(dis, 'DI box', 'DI boxes')} from you" if dis else "no DI boxes from you",
        _many(mixes, "monitor mix", "monitor mixes") + (f", {_layout(counts)}" if mixes else ""),
        f"{_many(counts.wall_outlets, 'outlet')}, {counts.watts:.0f} W" if counts.watts else "no mains",
    ]
    return "; ".join(parts)


def _layout(counts: Counts) -> str:
    if counts.mono_mixes and counts.stereo_mixes:
        return f"{counts.stereo_mixes} of them stereo"
    return "stereo" if counts.stereo_mixes else "mono"


def _many(number: int, word: str, more: str = "") -> str:
    return f"{number or 'no'} {word if number == 1 else more or f'{word}s'}"


def _short(text: str, most: int = FIELD_WORDS) -> str:
    """Return the beginning of a text on one line.

    >>> _short("one two three four five six seven eight nine")
    'one two three four five six seven eight …'
    """
    words = text.split()
    line = " ".join(words[:most])
    room = most * WORD_CHARS
    return line if len(line) <= room and len(words) <= most else f"{line[:room].rstrip(' ,;')} …"
