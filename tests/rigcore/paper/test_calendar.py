"""Calendar entries read by hand after RFC 5545, and by a library that knows time zones."""

from __future__ import annotations

import datetime as dt
from collections.abc import Callable

import icalendar
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from rigcore.analysis import Analysis
from rigcore.book.edits.gigs import change_gig
from rigcore.errors import EditRefused, UnknownThing
from rigcore.paper.calendar import calendar_bytes, folded, text
from rigcore.paper.style import clean
from tests.rigcore.paper.conftest import analysis_of
from tests.rigcore.paper.hostile import ISSUED, hostile, texts

DAY = {"load_in": dt.time(17), "line_check": dt.time(18, 30), "set_start": dt.time(23), "set_end": dt.time(0, 30)}


def lines_of(data: bytes) -> list[str]:
    """Return the content lines, unfolded, after checking what sections 3.1 and 3.4 ask of them."""
    assert data.endswith(b"\r\n")
    rows = data.split(b"\r\n")[:-1]
    for row in rows:
        assert 0 < len(row) <= 75
        assert not any(octet < 32 for octet in row)
        row.decode("utf-8")  # no character is broken
    lines = data.replace(b"\r\n ", b"").decode("utf-8").split("\r\n")[:-1]
    assert (lines[0], lines[-1]) == ("BEGIN:VCALENDAR", "END:VCALENDAR")
    return lines


def parts_of(lines: list[str], name: str) -> list[dict[str, str]]:
    """Return the properties of each component of a name, with their parameters in the name."""
    parts: list[dict[str, str]] = []
    inside = False
    for line in lines:
        if line == f"BEGIN:{name}":
            parts.append({})
            inside = True
        elif line == f"END:{name}":
            inside = False
        elif inside:
            key, _, value = line.partition(":")
            assert key not in parts[-1], "a property stands twice"
            parts[-1][key] = value
    return parts


def test_each_time_is_an_entry_that_lasts_to_the_next(ferry: Analysis, with_gig: Callable[..., Analysis]) -> None:
    events = parts_of(lines_of(calendar_bytes(with_gig(ferry, **DAY), ISSUED)), "VEVENT")
    assert [(one["SUMMARY"].split(":")[0], one["DTSTART"], one["DTEND"]) for one in events] == [
        ("Load-in", "20260814T170000", "20260814T183000"),
        ("Line check", "20260814T183000", "20260814T230000"),
        ("Set", "20260814T230000", "20260815T003000"),
    ]
    for one in events:
        assert one["DTSTAMP"] == "20260731T120000Z"
        assert one["LOCATION"] == r"Longmarsh Green\, stage 2"
    assert len({one["UID"] for one in events}) == 3


def test_without_times_the_whole_day_is_taken(ferry: Analysis) -> None:
    (event,) = parts_of(lines_of(calendar_bytes(ferry, ISSUED)), "VEVENT")
    assert (event["DTSTART;VALUE=DATE"], event["DTEND;VALUE=DATE"]) == ("20260814", "20260815")
    assert "on stage 18:40" in event["DESCRIPTION"]


def test_an_entry_without_an_end_has_none(ferry: Analysis, with_gig: Callable[..., Analysis]) -> None:
    (event,) = parts_of(lines_of(calendar_bytes(with_gig(ferry, set_start=dt.time(20)), ISSUED)), "VEVENT")
    assert event["DTSTART"] == "20260814T200000"
    assert not [key for key in event if key.startswith("DTEND")]


@pytest.mark.parametrize(
    ("day", "zone", "times"),
    [
        (dt.date(2026, 8, 14), "Europe/Lisbon", ("2026-08-14T23:00:00+01:00", "2026-08-15T00:30:00+01:00")),
        (dt.date(2026, 1, 14), "Europe/Lisbon", ("2026-01-14T23:00:00+00:00", "2026-01-15T00:30:00+00:00")),
        (dt.date(2026, 1, 14), "Asia/Kolkata", ("2026-01-14T23:00:00+05:30", "2026-01-15T00:30:00+05:30")),
        (dt.date(2026, 1, 14), "Australia/Lord_Howe", ("2026-01-14T23:00:00+11:00", "2026-01-15T00:30:00+11:00")),
        (dt.date(2026, 7, 4), "America/New_York", ("2026-07-04T23:00:00-04:00", "2026-07-05T00:30:00-04:00")),
    ],
)
def test_a_time_zone_is_written_beside_its_times(
    request: pytest.FixtureRequest, day: dt.date, zone: str, times: tuple[str, str]
) -> None:
    """Section 3.6.5: each TZID has its rules, which give the offsets without any database."""
    ferry, with_gig = request.getfixturevalue("ferry"), request.getfixturevalue("with_gig")
    data = calendar_bytes(with_gig(ferry, **DAY, date=day, timezone=zone), ISSUED)
    lines = lines_of(data)
    (rules,) = [icalendar.Calendar.from_ical(data).walk("VTIMEZONE")]
    assert [str(one["TZID"]) for one in rules] == [zone]
    known = rules[0].to_tz(lookup_tzid=False)
    event = parts_of(lines, "VEVENT")[-1]
    for key, wanted in zip(("DTSTART", "DTEND"), times, strict=True):
        local = dt.datetime.strptime(event[f"{key};TZID={zone}"], "%Y%m%dT%H%M%S")
        assert local.replace(tzinfo=known).isoformat() == wanted


def test_clocks_that_change_during_the_night(ferry: Analysis, with_gig: Callable[..., Analysis]) -> None:
    """In Lisbon clocks went from 02:00 back to 01:00 on 25 October 2026 (European Union's summer-time rule)."""
    night = {"set_start": dt.time(23), "set_end": dt.time(4)}
    data = calendar_bytes(with_gig(ferry, **night, date=dt.date(2026, 10, 24), timezone="Europe/Lisbon"), ISSUED)
    rules = [*parts_of(lines_of(data), "DAYLIGHT"), *parts_of(lines_of(data), "STANDARD")]
    assert [(one["DTSTART"], one["TZOFFSETFROM"], one["TZOFFSETTO"]) for one in rules] == [
        ("20260329T010000", "+0000", "+0100"), ("20261025T020000", "+0100", "+0000"),
    ]  # fmt: skip


def test_floating_times_name_no_zone(ferry: Analysis, with_gig: Callable[..., Analysis]) -> None:
    data = calendar_bytes(with_gig(ferry, **DAY), ISSUED)
    assert b"TZ" not in data
    events = icalendar.Calendar.from_ical(data).walk("VEVENT")
    assert all(one.decoded("DTSTART").tzinfo is None for one in events)


def test_entries_keep_their_ids_when_the_gig_changes(ferry: Analysis, with_gig: Callable[..., Analysis]) -> None:
    def ids(analysis: Analysis) -> list[str]:
        return [one["UID"] for one in parts_of(lines_of(calendar_bytes(analysis, ISSUED)), "VEVENT")]

    moved = with_gig(ferry, **{**DAY, "date": dt.date(2026, 9, 1), "load_in": dt.time(16), "name": "Moved"})
    assert ids(with_gig(ferry, **DAY)) == ids(moved)


def test_refusals_are_sentences(ferry: Analysis, with_gig: Callable[..., Analysis]) -> None:
    with pytest.raises(EditRefused, match="has no date yet"):
        calendar_bytes(with_gig(ferry, date=None), ISSUED)
    with pytest.raises(UnknownThing, match="'Europe/Atlantis', which is not known here"):
        calendar_bytes(with_gig(ferry, **DAY, timezone="Europe/Atlantis"), ISSUED)


@given(st.text(max_size=400))
def test_lines_are_folded_at_75_octets_and_unfold_to_themselves(words: str) -> None:
    line = "SUMMARY:" + "".join(char for char in words if char.isprintable())
    data = folded(line)
    assert all(len(row) <= 75 for row in data.split(b"\r\n"))
    assert data.replace(b"\r\n ", b"").decode("utf-8") == line + "\r\n"


@given(texts)
def test_escaped_text_reads_back(words: str) -> None:
    """Section 3.3.11: backslash, semicolon and comma are escaped, and nothing else."""
    plain, place, made = [], 0, text(words)
    while place < len(made):
        if made[place] == "\\":
            place += 1
            assert made[place] in "\\;,"
        else:
            assert made[place] not in ";,"
        plain.append(made[place])
        place += 1
    assert "".join(plain) == clean(words)


@settings(max_examples=40, deadline=None)
@given(texts)
def test_hostile_text_makes_no_other_entry(words: str) -> None:
    analysis = hostile(words)
    full = analysis_of(change_gig(analysis.book, "gig", **DAY, timezone="Europe/Lisbon"))
    data = calendar_bytes(full, ISSUED)
    assert sum(line.startswith("BEGIN:") for line in lines_of(data)) == 6
    read = icalendar.Calendar.from_ical(data)
    for event in read.walk("VEVENT"):
        assert not event.errors
        act = full.gig.act or full.book.owner or full.patch.rig.name
        assert str(event["SUMMARY"]).endswith(clean(f"{act} at {full.patch.house.name}"))
