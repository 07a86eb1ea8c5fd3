"""What is laid over the stage plan: the sentence where something is missing for it."""

from __future__ import annotations

import pytest

from rigcore import resources
from rigcore.book.file import load
from rigcore.catalogue.loader import shipped
from rigcore.lists.overlays import overlay
from rigcore.patch.build import build_patch


@pytest.mark.parametrize(
    ("sample", "hint"),
    [
        ("piper", "1 run is not shown: the house gave no place for Ceiling speakers"),
        ("tandem", ""),
        ("ferry", "2 runs are not shown: place both ends on the stage"),
    ],
)
def test_what_would_bring_a_run_onto_the_plan(sample: str, hint: str) -> None:
    book, _ = load(resources.samples() / f"{sample}.loom", shipped())
    assert overlay(build_patch(book, book.gigs[0].id, shipped()), "runs").hint == hint
