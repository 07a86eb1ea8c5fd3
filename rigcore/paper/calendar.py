"""The day of a gig as an iCalendar file (RFC 5545): load-in, line check and set, or the whole day.

Times hang on the clock of the house: without a time zone they float, with one its
rules for that day are written beside them. Where no time is known the whole day is taken.
"""

from __future__ import annotations

import datetime as dt
import hashlib
import zoneinfo
from collections.abc import Iterator
from typing import TYPE_CHECKING

from rigcore.book.gig import Phase
from rigcore.errors import EditRefused, UnknownThing
from rigcore.paper.style import clean

if TYPE_CHECKING:
    from rigcore.analysis import Analysis

FOLD_OCTETS = 75
"""RFC 5545 section 3.1: no line is longer, its end left out."""

LOOK_BACK_DAYS = 400
"""Within so many days before a gig the last change of its clocks is looked for."""

Change = tuple[dt.datetime, dt.datetime]
"""The last moment before the clocks change and the first one after, both in the zone."""

_TITLES: dict[Phase, str] = {"load_in": "Load-in", "line_check": "Line check", "set_start": "Set"}


def calendar_bytes(analysis: Analysis, issued: dt.date) -> bytes:
    """Return the calendar entries of a gig; the same gig keeps its entries whatever changes in it.

    Parameters
    ----------
    issued
        Stands as the date the entries were made.

    Raises
    ------
    EditRefused
        If the gig has no date.
    UnknownThing
        If its time zone is in no database here.

    Source
    ------
    RFC 5545 sections 3.1, 3.3.5, 3.3.11, 3.6.1, 3.6.5.
    """
    gig = analysis.gig
    if gig.date is None:
        raise EditRefused(f"gig '{gig.name}' has no date yet; give it one and ask again", [gig.id])
    lines = ["BEGIN:VCALENDAR", "VERSION:2.0", "PRODID:-//Loomwright//Loomwright//EN", "CALSCALE:GREGORIAN"]
    call = gig.call()
    if gig.timezone and call:
        midnight = dt.datetime.combine(gig.date, dt.time(), _zone(analysis))
        span = [midnight + dt.timedelta(minutes=minutes) for _, minutes in call]
        lines += _time_zone(gig.timezone, span[0], span[-1])
    for number, (phase, minutes) in enumerate(call):
        if phase != "set_end":
            end = call[number + 1][1] if number + 1 < len(call) else minutes
            lines += _event(analysis, issued, _TITLES[phase], _when(analysis, minutes, end))
    if not call:
        after = gig.date + dt.timedelta(days=1)
        whole = [f"DTSTART;VALUE=DATE:{gig.date:%Y%m%d}", f"DTEND;VALUE=DATE:{after:%Y%m%d}"]
        lines += _event(analysis, issued, "", whole)
    lines.append("END:VCALENDAR")
    return b"".join(folded(line) for line in lines)


def _zone(analysis: Analysis) -> zoneinfo.ZoneInfo:
    try:
        return zoneinfo.ZoneInfo(analysis.gig.timezone)
    except (zoneinfo.ZoneInfoNotFoundError, ValueError, OSError):
        raise UnknownThing(
            f"gig '{analysis.gig.name}' names the time zone '{analysis.gig.timezone}', which is not known here; "
            "write it as in 'Europe/Lisbon', or leave it empty for the clock of the house",
            [analysis.gig.id],
        ) from None


def _when(analysis: Analysis, minutes: int, end: int) -> list[str]:
    """Return beginning and end in minutes from midnight; without an end where it is not later (section 3.8.2.2)."""
    gig = analysis.gig
    assert gig.date is not None  # the caller saw to it
    midnight = dt.datetime.combine(gig.date, dt.time())
    zone = f";TZID={gig.timezone}" if gig.timezone else ""
    found = [("DTSTART", minutes)] + ([("DTEND", end)] if end > minutes else [])
    return [f"{name}{zone}:{midnight + dt.timedelta(minutes=at):%Y%m%dT%H%M%S}" for name, at in found]


def _event(analysis: Analysis, issued: dt.date, what: str, when: list[str]) -> Iterator[str]:
    gig, house, book = analysis.gig, analysis.patch.house, analysis.book
    act = gig.act or book.owner or analysis.patch.rig.name
    same = "\n".join((book.owner, book.title, gig.id, what))
    about = [f"on stage {gig.on_stage}" if gig.on_stage else "", f"house: {house.contact}" if house.contact else "",
             f"changeover {house.changeover_min} min" if house.changeover_min else "", gig.notes]
    yield "BEGIN:VEVENT"
    yield f"UID:{hashlib.sha256(same.encode()).hexdigest()[:32]}@loomwright.invalid"
    yield f"DTSTAMP:{issued:%Y%m%d}T120000Z"
    yield f"SEQUENCE:{len(gig.letters)}"
    yield from when
    yield f"SUMMARY:{text(f'{what}: ' * bool(what) + f'{act} at {house.name}')}"
    place = house.place if house.place not in house.name else ""
    yield f"LOCATION:{text(', '.join(part for part in (house.name, place) if part))}"
    lines = [line for part in about for line in part.splitlines() if clean(line)]
    if lines:
        yield "DESCRIPTION:" + r"\n".join(text(line) for line in lines)
    yield "END:VEVENT"


def _time_zone(name: str, start: dt.datetime, end: dt.datetime) -> Iterator[str]:
    """Yield what the clocks of a zone do: the change that holds at the start, and those until the end."""
    yield "BEGIN:VTIMEZONE"
    yield f"TZID:{name}"
    changes = list(_changes(start - dt.timedelta(days=LOOK_BACK_DAYS), end))
    held = [one for one in changes if one[1] <= start][-1:]
    later = [one for one in changes if one[1] > start]
    always = dt.datetime(1970, 1, 1, tzinfo=start.tzinfo)
    if not held:
        yield from _observance(always.replace(tzinfo=None), (start, start))
    for before, after in held + later:
        yield from _observance(after.replace(tzinfo=None) - _offset(after) + _offset(before), (before, after))
    yield "END:VTIMEZONE"


def _changes(start: dt.datetime, end: dt.datetime) -> Iterator[Change]:
    """Yield each change of the offset between two moments."""
    zone = start.tzinfo
    moment, last = start.astimezone(dt.UTC), end.astimezone(dt.UTC)
    while moment < last:
        after = min(moment + dt.timedelta(days=1), last)
        if _offset(moment.astimezone(zone)) != _offset(after.astimezone(zone)):
            low, high = moment, after
            while high - low > dt.timedelta(seconds=1):
                middle = low + dt.timedelta(seconds=(high - low).total_seconds() // 2)
                same = _offset(middle.astimezone(zone)) == _offset(low.astimezone(zone))
                low, high = (middle, high) if same else (low, middle)
            yield low.astimezone(zone), high.astimezone(zone)
        moment = after


def _observance(onset: dt.datetime, change: Change) -> Iterator[str]:
    """Yield one rule; its onset is told by the clock that held before it (section 3.6.5)."""
    before, after = change
    kind = "DAYLIGHT" if after.dst() else "STANDARD"
    yield f"BEGIN:{kind}"
    yield f"DTSTART:{onset:%Y%m%dT%H%M%S}"
    yield f"TZOFFSETFROM:{_offset_words(before)}"
    yield f"TZOFFSETTO:{_offset_words(after)}"
    yield f"TZNAME:{text(after.tzname() or 'local')}"
    yield f"END:{kind}"


def _offset(moment: dt.datetime) -> dt.timedelta:
    return moment.utcoffset() or dt.timedelta()


def _offset_words(moment: dt.datetime) -> str:
    seconds = int(_offset(moment).total_seconds())
    hours, rest = divmod(abs(seconds), 3600)
    return f"{'-' if seconds < 0 else '+'}{hours:02d}{rest // 60:02d}" + (f"{rest % 60:02d}" if rest % 60 else "")


def text(words: str) -> str:
    r"""Return a text on one line as RFC 5545 section 3.3.11 wants it.

    >>> print(text("Keys; voice, 2\\3"))
    Keys\; voice\, 2\\3
    """
    plain = clean(words)
    for char in "\\;,":
        plain = plain.replace(char, f"\\{char}")
    return plain


def folded(line: str) -> bytes:
    """Return a line with its end, broken where it is longer than 75 octets, never within a character."""
    rows: list[bytes] = []
    row = b""
    for char in line:
        octets = char.encode("utf-8")
        if len(row) + len(octets) > FOLD_OCTETS:
            rows.append(row)
            row = b" "
        row += octets
    return b"\r\n".join([*rows, row]) + b"\r\n"
