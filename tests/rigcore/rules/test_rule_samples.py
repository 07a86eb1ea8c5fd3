"""Every rule against its three sample books: bad, good and near miss."""

from __future__ import annotations

import pytest

from rigcore.analysis import analyse
from rigcore.book.book import Book
from rigcore.book.file import load
from rigcore.catalogue.loader import shipped
from rigcore.rules.rule import Finding, Rule, Thing
from rigcore.rules.rulebook import RULES
from tests.make_rule_samples import FOLDER, every_sample, made
from tests.rule_samples.plan import KINDS

OTHER_FAULTS: dict[str, str] = {"cable.longer-than-stock": "fit.no-cable"}
"""Bad books that cannot avoid the fault of another rule, and which."""

every_rule = pytest.mark.parametrize("rule", RULES, ids=lambda rule: rule.id)


def _shipped_book(rule: Rule, kind: str) -> Book:
    book, _ = load(FOLDER / rule.id / f"{kind}.loom", shipped())
    return book


def _findings(book: Book) -> tuple[Finding, ...]:
    return analyse(book, None, shipped()).findings


def _of(rule: Rule, book: Book) -> list[Finding]:
    return [one for one in _findings(book) if one.rule == rule.id]


def _faults(book: Book) -> set[tuple[str, tuple[Thing, ...]]]:
    return {(one.rule, one.things) for one in _findings(book) if one.severity == "fault"}


def test_every_rule_has_samples_and_nothing_else_has() -> None:
    assert set(every_sample()) == {rule.id for rule in RULES}
    assert {path.name for path in FOLDER.iterdir()} == {rule.id for rule in RULES}


def test_shipped_files_are_what_the_maker_writes() -> None:
    on_disk = {path: path.read_bytes() for path in FOLDER.rglob("*") if path.is_file()}
    assert on_disk == made(), "run python tests/make_rule_samples.py"


def test_titles_speak_and_differ() -> None:
    titles = [sample.book(kind).title for sample in every_sample().values() for kind in KINDS]
    assert all(len(title) > 15 for title in titles)
    assert len(set(titles)) == len(titles)


@every_rule
def test_the_bad_book_trips_the_rule_and_no_other_fault(rule: Rule) -> None:
    book = _shipped_book(rule, "bad")
    assert _of(rule, book)
    strangers = {one for one, _ in _faults(book)} - {rule.id}
    assert strangers <= {OTHER_FAULTS.get(rule.id)}


@every_rule
@pytest.mark.parametrize("kind", ["good", "near_miss"])
def test_good_and_near_miss_are_quiet(rule: Rule, kind: str) -> None:
    book = _shipped_book(rule, kind)
    assert not _of(rule, book)
    assert not _faults(book)


@every_rule
@pytest.mark.parametrize("kind", KINDS)
def test_findings_name_what_exists(rule: Rule, kind: str) -> None:
    book = _shipped_book(rule, kind)
    for finding in _findings(book):
        assert finding.things
        for thing in finding.things:
            assert _exists(book, thing), thing


@every_rule
def test_findings_speak_and_show_their_working(rule: Rule) -> None:
    book = _shipped_book(rule, "bad")
    for finding in _of(rule, book):
        names = {name for thing in finding.things for name in _names(book, thing)}
        assert any(name in finding.sentence for name in names), (finding.sentence, names)
        assert finding.sentence.endswith(".")
        assert finding.working
        assert all(finding.working)
        assert finding.severity == rule.severity or rule.severity != "note"
    assert rule.basis
    assert all(rule.basis)


@every_rule
def test_remedies_settle_their_finding_and_break_nothing(rule: Rule) -> None:
    book = _shipped_book(rule, "bad")
    before = _faults(book)
    for finding in _of(rule, book):
        for remedy in finding.remedies:
            mended = remedy.apply(book)
            left = [(one.things, one.sentence) for one in _of(rule, mended)]
            assert (finding.things, finding.sentence) not in left, remedy.words
            assert _faults(mended) <= before, remedy.words


def test_a_finding_is_reported_once() -> None:
    for rule in RULES:
        for kind in KINDS:
            said = [one.sentence for one in _findings(_shipped_book(rule, kind))]
            assert len(said) == len(set(said)), (rule.id, kind)


def _exists(book: Book, thing: Thing) -> bool:
    gig, rig, house = book.gig(), book.rigs[0], book.houses[0]
    unit = rig.unit(thing.id) if thing.kind == "unit" else house.unit(thing.id)
    if thing.kind in ("unit", "house unit"):
        catalogue = book.with_catalogue(shipped())
        return unit is not None and (not thing.port or catalogue.gear_type(unit.gear).port(thing.port) is not None)
    found = {
        "link": rig.link(thing.id),
        "landing": gig.landing(thing.id),
        "hand-off": rig.hand_off(thing.id),
        "socket": house.socket(thing.id),
        "gig": gig if gig.id == thing.id else None,
    }[thing.kind]
    return found is not None and not thing.port


def _names(book: Book, thing: Thing) -> list[str]:
    """Return the names a sentence about a thing may speak: its own, or those of what it joins."""
    rig, house = book.rigs[0], book.houses[0]
    if thing.kind in ("unit", "house unit"):
        unit = rig.unit(thing.id) if thing.kind == "unit" else house.unit(thing.id)
        return [unit.name] if unit else []
    if thing.kind == "link":
        link = rig.link(thing.id)
        ends = [rig.unit(end.unit) for end in (link.source, link.target)] if link else []
        return [unit.name for unit in ends if unit]
    if thing.kind in ("landing", "hand-off"):
        hand_off = rig.hand_off(thing.id)
        return [hand_off.name, hand_off.name.removesuffix(" L"), house.name] if hand_off else []
    if thing.kind == "socket":
        socket = house.socket(thing.id)
        return [name for name in (socket.block, house.name) if name] if socket else []
    return [house.name]
