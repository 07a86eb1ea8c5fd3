"""Reads what a house answers, out of a sheet or a mail: questions, lines, mains, into one reply.

Says what was understood and what was not, with row, column and the nearest names. Nothing is
guessed: an answer that can be read two ways is left open. The sheet to be filled is written elsewhere.
"""

from __future__ import annotations

import datetime as dt
import difflib
import re
from collections.abc import Iterable, Sequence
from typing import get_args

from msgspec import Struct, field
from pydantic import ValidationError

from rigcore.book.edits.rebuild import sentence_of
from rigcore.book.edits.reply import HouseReply
from rigcore.book.house import FACT_CHOICES, FACT_WORDS, Fact, FactKey, House
from rigcore.book.questions import PEOPLE, PEOPLE_WORDS, every_question
from rigcore.book.sheets.cells import number
from rigcore.book.sheets.pasted import TextRow, text_rows
from rigcore.book.sheets.reply_tables import LINES, POWER, QUESTIONS, Drops, Lines, columns_of
from rigcore.book.sheets.table import Columns, Problems, decoded, squeezed, three_nearest
from rigcore.catalogue.catalogue import Catalogue

KEYS: tuple[str, ...] = (*get_args(FactKey), *PEOPLE)

_OTHER_WORDS: dict[str, tuple[str, ...]] = {
    "pa": ("loudspeakers", "house loudspeakers", "main loudspeakers", "foh", "mono or stereo"),
    "phantom": ("48 v", "48v", "phantom power", "p48"),
    "input level": ("level", "line level", "inputs take"),
    "di boxes": ("di", "dis", "di box", "number of di boxes"),
    "outlets": ("number of outlets", "mains outlets", "power outlets"),
    "circuit": ("breaker", "circuit rating"),
    "monitor mixes": ("monitors", "mixes", "number of mixes", "number of monitor mixes"),
    "monitor layout": ("mixes mono or stereo", "monitors mono or stereo"),
    "splitter clip dbu": ("splitter clip", "splitter clip level", "splitter"),
    "residual current device": ("rcd", "gfci", "rcbo", "residual-current device"),
    "sound limiter": ("limiter", "level limiter", "sound level limiter"),
    "channels": ("number of channels", "inputs", "input channels"),
    "contact": ("technical contact", "contact on the day"),
    "load in": ("load-in time", "arrival", "get-in", "access"),
    "crew": ("engineer", "house engineer", "staff"),
    "changeover": ("changeover time", "changeover minutes"),
}

_SPOKEN: dict[str, str] = {key: key for key in KEYS} | PEOPLE_WORDS | {str(key): one for key, one in FACT_WORDS.items()}
"""How what is asked is called where people read it."""

_ANY_WORDS = {word: key for key in KEYS for word in (key, _SPOKEN[key], *_OTHER_WORDS.get(key, ()))}
_KNOWN = {squeezed(word): key for word, key in _ANY_WORDS.items()}
_OPEN = re.compile(r"[?\-–—./\s]*|(?:don'?t know|do not know|unknown|not known|not sure|tb[cad]|n/?a|ask .*)\??", re.I)
"""Answers that leave a question open."""

_CHOICE_WORDS: dict[str, tuple[str, ...]] = {
    "per channel": ("per channel", "each channel", "per line", "individually", "channel by channel"),
    "global": ("global", "globally", "all at once", "all together", "one switch"),
    "always on": ("always on", "permanently on"),
    "none": ("none", "no phantom", "no 48 v", "there is none"),
    "mono": ("mono",),
    "stereo": ("stereo",),
}
_CLOSING = re.compile(
    r"(many |kind |best |warm )?(thanks?|thank you|regards|wishes|cheers|best|yours|sincerely|greetings|see you|bye"
    r"|hi|hello|dear|sent from|on .* wrote:|--|_{3,})\b|--|_{3,}", re.I,
)  # fmt: skip
"""How a mail begins and ends: such a line is no answer."""

_NEARLY = 0.8
"""So much alike, as difflib has it, a word is a key misspelt and is asked about."""

_SHORTEST_QUESTION = 16
"""A beginning of a question shorter than this (letters and figures) could be anything."""


class ReplyRead(Struct):
    """What was read: the reply as one edit takes it, what was understood, what was not, and rows that say nothing."""

    reply: HouseReply = field(default_factory=HouseReply)
    understood: list[str] = field(default_factory=list)
    problems: list[str] = field(default_factory=list)
    left_out: int = 0


def read_reply(
    data: bytes, file: str, house: House, catalogue: Catalogue, *,
    said_by: str = "", said_on: dt.date | None = None,
) -> ReplyRead:
    """Return what a house answers in some bytes.

    Parameters
    ----------
    file
        Name of the file, for the words of the problems.
    catalogue
        The book's own gear types included.
    said_by, said_on
        Who said it and when: kept with each fact.
    """
    problems = Problems()
    text = decoded(data, file, problems)
    reader = _Reader(file, house, catalogue, (said_by, said_on, problems))
    if text is not None:
        reader.read(text_rows(text, lambda cells: columns_of(cells) is not None))
    return reader.result()


class _Reader:
    """Takes one row after another; knows under which heading it stands."""

    def __init__(
        self, file: str, house: House, catalogue: Catalogue, about: tuple[str, dt.date | None, Problems]
    ) -> None:
        self.file = file
        self.said_by, self.said_on, self.problems = about
        self.house = house
        self.facts: dict[str, Fact] = {}
        self.people: dict[str, str | int] = {}
        self.load_in: dt.time | None = None
        self.understood: list[str] = []
        self.left_out = 0
        self.lines = Lines(house, catalogue, self.problems)
        self.drops = Drops(house, catalogue, self.problems)
        self.asked = {key: squeezed(one.text) for key, one in every_question().items()}
        self.plain = {key: squeezed(one.words) for key, one in every_question().items()}
        self.pending = ""
        self.heard = ""

    def result(self) -> ReplyRead:
        """Return what was read."""
        level = self.lines.level()
        if level and "input level" not in self.facts:
            self._answer("input level", level, f"{self.file}, column level")
        reply = HouseReply(
            tuple(self.facts.values()), self.lines.said(), self.drops.said(), self.people or None, self.load_in,
        )  # fmt: skip
        understood = [*self.understood, *self.lines.words(), *self.drops.words()]
        return ReplyRead(reply, understood, self.problems.sentences, self.left_out)

    def read(self, rows: Iterable[TextRow]) -> None:
        """Take in every row."""
        table: Columns | None = None
        heads: tuple[str, ...] = ()
        for row in rows:
            found = columns_of(row.cells)
            if not any(row.cells):
                table = None
            elif found is not None:
                table, heads = found, row.cells
                self._unknown_heads(row, table)
            elif table is not None and len(row.cells) > 1:
                self._under(table, heads, row)
            else:
                self._loose(row)

    def _unknown_heads(self, row: TextRow, table: Columns) -> None:
        for head in row.cells:
            if head and squeezed(head) not in table.known():
                near = self.problems.nearest(head, table.words)
                where = f"{self.file}, row {row.number}, column {head[:60]}"
                self.problems.add(where, f"this column is not known{near}")

    def _under(self, table: Columns, heads: Sequence[str], row: TextRow) -> None:
        known = table.known()
        cells = {known[squeezed(head)]: cell for head, cell in zip(heads, row.cells, strict=False)
                 if squeezed(head) in known and cell}
        where = f"{self.file}, row {row.number}"
        if table is QUESTIONS:
            if cells.get("answer"):
                asked = cells.get("our key") or cells.get("question", "")
                self._question(asked, cells.get("question", ""), cells["answer"], where)
        elif table is LINES:
            self.lines.take(cells, where)
        elif table is POWER:
            self.drops.take(cells, where)

    def _loose(self, row: TextRow) -> None:
        """Take a row under no heading: a question and its answer, or a line's number, label and type or level.

        Two cells with a number first are neither: it may be the number of a question.
        """
        cells = tuple(cell for cell in row.cells if cell)
        where = f"{self.file}, line {row.number}"
        whole = " ".join(cells)
        if self._still_asking(whole) or (row.quoted and self._asks(whole)):
            return
        if len(cells) > 2 and re.fullmatch(r"#?\d{1,4}", cells[0]):
            column = "level" if re.match(r"(?i)(mic|line)\b", cells[2]) else "type"
            self.lines.take({"number": cells[0], "label": cells[1], column: cells[2]}, where)
        elif len(cells) == 2:
            self._question(cells[0], "", cells[1], where, in_table=False)
        elif self._asks(whole):
            return
        elif self.pending and not row.quoted and not _CLOSING.match(whole):
            key, self.pending = self.pending, ""
            self._answer(key, whole, where)
        elif row.quoted or not self._told(whole, where):
            self.pending = self.pending if row.quoted else ""
            self.left_out += 1

    def _told(self, whole: str, where: str) -> bool:
        """Take a line such as 'PA: stereo' and return whether it was one, or nearly."""
        head, _, answer = whole.partition(":")
        like = difflib.get_close_matches(squeezed(head), _KNOWN, 1, _NEARLY)
        if not answer.strip() or not like:
            return False
        self._question(head, "", answer.strip(), where, in_table=False)
        return True

    def _asks(self, line: str) -> bool:
        """Return whether a line begins one of our questions, which then waits for its answer."""
        plain = squeezed(_unnumbered(line))
        for key, asked in self.asked.items():
            begins = len(plain) >= _SHORTEST_QUESTION and asked.startswith(plain)
            if begins or (plain.startswith(self.plain[key]) and asked.startswith(plain)):
                self.pending, self.heard = key, plain
                return True
        return False

    def _still_asking(self, line: str) -> bool:
        """Return whether a line goes on with the question before it, broken by a mail program."""
        heard = self.heard + squeezed(line)
        if self.pending and heard != self.heard and self.asked[self.pending].startswith(heard):
            self.heard = heard
            return True
        return False

    def _key(self, text: str) -> str:
        """Return the key a text stands for: a key, another word for it, or a question as we ask it; else nothing."""
        plain = squeezed(_unnumbered(text))
        if plain in _KNOWN:
            return _KNOWN[plain]
        return next((key for key, asked in self.asked.items() if plain in (asked, self.plain[key])), "")

    def _question(self, asked: str, words: str, answer: str, where: str, *, in_table: bool = True) -> None:
        key = self._key(asked) or self._key(words)
        if key:
            self._answer(key, answer, f"{where}, column answer" if in_table else where)
            return
        near = ", ".join(_nearest_asked(asked))
        place = f"{where}, column question" if in_table else where
        self.problems.add(place, f"'{asked[:60]}' is nothing we asked; nearest: {near}")

    def _answer(self, key: str, answer: str, where: str) -> None:
        line = " ".join(answer.split())
        if _OPEN.fullmatch(line):
            return
        try:
            said = self._taken(key, line)
        except ValidationError as error:
            self.problems.add(where, sentence_of(error))
        except ValueError as error:
            self.problems.add(where, str(error))
        else:
            self.understood.append(f"{_SPOKEN[key]}: {said}")

    def _taken(self, key: str, line: str) -> str:
        """Keep an answer and return it as kept."""
        if key == "load in":
            self.load_in = clock_time(line)
            return f"{self.load_in:%H:%M}"
        if key == "changeover":
            minutes = re.search(r"\d{1,4}", line)
            if minutes is None or not 1 <= int(minutes.group()) <= 1440:
                raise ValueError(f"'{line[:60]}' is no number of minutes")
            self.people["changeover_min"] = int(minutes.group())
            return f"{minutes.group()} min"
        if key in PEOPLE:
            self.people[key] = line[:2000]
            return line
        fact_key: FactKey = next(one for one in get_args(FactKey) if one == key)
        value = one_choice(fact_key, line)
        if key == "splitter clip dbu":
            value = f"{number(re.sub(r'(?i)dbu', '', value.replace('−', '-'))):g}"
        self.facts[key] = Fact(key=fact_key, value=value, said_by=self.said_by, said_on=self.said_on)
        return value


def _nearest_asked(text: str) -> list[str]:
    """Return the three questions whose key, or another word for it, is most like a text, as they are called."""
    ranked = [_SPOKEN[_ANY_WORDS[word]] for word in three_nearest(text, _ANY_WORDS, most=len(_ANY_WORDS))]
    return list(dict.fromkeys(ranked))[:3]


def one_choice(key: FactKey, line: str) -> str:
    """Return the answer as the rules know it, where a question has fixed answers; else the line itself.

    Raises
    ------
    ValueError
        If it names none of them, or several, or denies one.

    >>> one_choice("pa", "Stereo, L and R"), one_choice("circuit", "16 A, ours alone")
    ('stereo', '16 A, ours alone')
    """
    choices = FACT_CHOICES.get(key)
    if not choices:
        return line
    plain = f" {' '.join(re.findall(r'[a-z0-9]+', line.casefold()))} "
    found = [one for one in choices if any(f" {word} " in plain for word in _CHOICE_WORDS[one])]
    denied = re.search(r" (not|no|never|isn t|aren t|don t|without) ", plain)
    if len(found) == 1 and (not denied or found[0] == "none"):
        return found[0]
    told = ", ".join(f"'{one}'" for one in choices)
    raise ValueError(f"'{line[:60]}' can be read in more than one way or not at all; the answers are {told}")


def clock_time(line: str) -> dt.time:
    """Return the only time of day in a line.

    Raises
    ------
    ValueError
        If there is none, or more than one.

    >>> clock_time("18.30, back door"), clock_time("from 5 pm")
    (datetime.time(18, 30), datetime.time(17, 0))
    """
    found = re.findall(r"(?<![\d.:])([01]?\d|2[0-3])(?:[:.h]([0-5]\d))?\s*(am|pm|a\.m\.|p\.m\.)?(?![\d:])", line, re.I)
    times = set()
    for hour, minute, half in found:
        if not minute and not half:
            continue
        at = int(hour) % 12 + 12 * (half[0] in "pP") if half else int(hour)
        times.add(dt.time(at, int(minute or 0)))
    if len(times) != 1:
        raise ValueError(f"'{line[:60]}' names no time or more than one; write it as 18:30")
    return times.pop()


def _unnumbered(text: str) -> str:
    return re.sub(r"^\s*(?:\d{1,2}[.)]|[-*•])\s*", "", text)
