"""Which edition of its packet a gig is at, and what changed since the one the house holds.

What was sent is kept in the book; here it is compared and put into words.
"""

from __future__ import annotations

import datetime as dt
import math
from collections.abc import Iterator

from msgspec import Struct

from rigcore.book.gig import Letter, Sent, SentPlace, SentRow
from rigcore.lists.input_list import OWNER_WORDS, InputRow, input_list
from rigcore.lists.plot import number_range, place_words
from rigcore.patch.build import Patch
from rigcore.patch.edition import content, held_letter, letter_before
from rigcore.quantities.geometry import length_words

MOVED_M, TURNED_DEG = 0.05, 1.0
"""Less than this nobody sees on a plot."""


class Change(Struct, frozen=True):
    """One thing that differs: a sentence, and for a row of the list its hand-off and a word for the note column."""

    words: str
    hand_off: str = ""
    tag: str = ""


class Edition(Struct, frozen=True):
    """The edition a packet printed now would be: its letter (none for a draft), and what it changes since when."""

    letter: str
    sent: dt.date | None
    since: str
    changes: tuple[Change, ...]

    @property
    def mark(self) -> str:
        """The words in the title block."""
        if self.letter:
            return f"LETTER {self.letter}"
        return f"DRAFT after {self.since}" if self.since else "DRAFT"

    def tags(self) -> dict[str, str]:
        """Return what stands in the note column of changed rows, by hand-off."""
        found: dict[str, list[str]] = {}
        for change in self.changes:
            if change.hand_off:
                found.setdefault(change.hand_off, []).append(change.tag)
        return {name: f"{', '.join(dict.fromkeys(tags))} since {self.since}" for name, tags in found.items()}


def edition(patch: Patch, *, feet: bool = False) -> Edition:
    """Return the edition of a gig's packet as the book stands; lengths in its words in m or feet."""
    held, before = held_letter(patch), letter_before(patch)
    changes = tuple(_changes(patch, before, feet)) if before is not None else ()
    return Edition(
        held.letter if held is not None else "", held.sent if held is not None else None,
        before.letter if before is not None else "", changes,
    )


def _changes(patch: Patch, before: Letter, feet: bool) -> Iterator[Change]:
    old, new = before.content, content(patch)
    if old is None:
        yield Change("everything may differ: that letter was sent before the book kept what it said")
        return
    yield from _row_changes(old, new, {row.hand_off: row for row in input_list(patch)})
    yield from _place_changes(patch, old, new, feet)
    parts = {part.name: part.digest for part in old.parts}
    for part in new.parts:
        if parts.get(part.name, part.digest) != part.digest:
            yield Change(f"{part.name} changed")


def _row_changes(old: Sent, new: Sent, rows: dict[str, InputRow]) -> Iterator[Change]:
    was, now = ({row.hand_off: row for row in one.rows} for one in (old, new))
    for name, row in was.items():
        if name not in now:
            yield Change(f"{row.name} (your {row.house}, {row.socket}) is gone")
    shifted: list[tuple[SentRow, SentRow]] = []
    for name, row in now.items():
        if name not in was:
            yield Change(f"{row.house} {row.name} is new, on {row.socket}", name, "new")
            continue
        if row.act != was[name].act:
            shifted.append((was[name], row))
        yield from _one_row(was[name], row, rows[name])
    if shifted:
        olds, news = number_range([one.act for one, _ in shifted]), number_range([one.act for _, one in shifted])
        yield Change(f"our own numbers {news} were {olds}")


def _one_row(was: SentRow, now: SentRow, row: InputRow) -> Iterator[Change]:
    name = f"{now.house} {now.name}"
    if (was.house, was.socket) != (now.house, now.socket):
        yield Change(
            f"{name} moves from {was.socket} (your {was.house}) to {now.socket}", now.hand_off, "moved"
        )
    if was.name != now.name:
        yield Change(f"{name} was called {was.name}", now.hand_off, "renamed")
    if was.phantom != now.phantom:
        yield Change(f"{name} {'needs 48 V now' if now.phantom else 'needs no 48 V any more'}", now.hand_off, "48 V")
    if was.via != now.via:
        yield Change(f"{name} now comes by {row.via}{', pad in' * ('pad' in now.via)}", now.hand_off, "changed")
    if was.stand != now.stand:
        kind, _, owner = now.stand.partition(", ")
        stand = f"{kind}, {OWNER_WORDS['rig' if owner == 'rig' else 'house']}" if kind else "none needed"
        yield Change(f"{name}: stand is now {stand}", now.hand_off, "stand")
    if was.note != now.note:
        yield Change(f"{name}: note changed", now.hand_off, "note")


def _place_changes(patch: Patch, old: Sent, new: Sent, feet: bool) -> Iterator[Change]:
    was, now = ({place.unit: place for place in one.places} for one in (old, new))
    for unit, place in now.items():
        if unit not in was:
            yield Change(f"{place.name} is new on the plot, {_spot(patch, place)}")
            continue
        before = was[unit]
        away = math.hypot(place.x_m - before.x_m, place.y_m - before.y_m)
        turned = abs((place.rotation_deg - before.rotation_deg + 180) % 360 - 180)
        if away > MOVED_M:
            yield Change(f"{place.name} moves {length_words(round(away, 1), feet=feet)}, now {_spot(patch, place)}")
        elif turned > TURNED_DEG:
            yield Change(f"{place.name} is turned by {turned:.0f}°")
    for unit, place in was.items():
        if unit not in now:
            yield Change(f"{place.name} is gone from the plot")


def _spot(patch: Patch, place: SentPlace) -> str:
    return place_words((place.x_m, place.y_m), patch.house.stage)
