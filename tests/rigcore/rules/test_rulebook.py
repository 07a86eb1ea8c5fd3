"""The rulebook as a whole: ids, families, and that it prints itself in full."""

from __future__ import annotations

import itertools
import re
from pathlib import Path

import rigcore.rules
from rigcore import resources
from rigcore.rules.rule import SEVERITIES
from rigcore.rules.rulebook import RULES, markdown, printed, rule

FOLDER = Path(rigcore.rules.__file__).parent


def test_ids_are_unique_and_have_a_family() -> None:
    ids = [one.id for one in RULES]
    assert len(set(ids)) == len(ids)
    for name in ids:
        assert re.fullmatch(r"[a-z]+\.[a-z]+(-[a-z]+)*", name)
    assert all(one.severity in SEVERITIES for one in RULES)


def test_a_rule_lies_in_the_folder_of_its_family_under_its_own_name() -> None:
    for one in RULES:
        family, _, name = one.id.partition(".")
        path = FOLDER / family / f"{name.replace('-', '_')}.py"
        assert path.is_file()
        assert one.judge.__module__ == f"rigcore.rules.{family}.{path.stem}"
        assert one.family == family


def test_the_shipped_page_is_the_rulebook() -> None:
    assert (resources.assets() / "rulebook.md").read_text(encoding="utf-8") == markdown() + "\n"


def test_no_rule_file_is_left_out() -> None:
    files = {path for path in FOLDER.glob("*/*.py") if path.name != "__init__.py"}
    assert len(files) == len(RULES)


def test_families_stand_together() -> None:
    families = [one.family for one in RULES]
    changes = sum(before != after for before, after in itertools.pairwise(families))
    assert changes == len(set(families)) - 1


def test_it_prints_itself_in_full() -> None:
    for text in (printed(), markdown()):
        for one in RULES:
            assert one.id in text
            assert one.sentence in text
            assert one.why in text
            assert one.working in text
            assert all(source in text for source in one.basis)


def test_every_rule_is_complete() -> None:
    for one in RULES:
        for part in (one.sentence, one.why, one.working, *one.basis):
            assert part.strip() == part
            assert part
        assert one.sentence.endswith(".")
        assert one.basis


def test_a_rule_is_found_by_its_id() -> None:
    assert rule("fit.gender") is not None
    assert rule("fit.nothing-of-the-kind") is None
