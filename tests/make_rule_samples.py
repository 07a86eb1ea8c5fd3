"""Writes the sample books of the rules: ``samples/rules/<rule id>/{bad,good,near_miss}.loom``.

Run it from anywhere after a rule or the format of a book has changed:
``python tests/make_rule_samples.py``. The cases themselves lie in
``tests/rule_samples``, one module for each family.
"""

from __future__ import annotations

import sys
from pathlib import Path

sys.path.insert(0, str(Path(__file__).resolve().parent.parent))

from rigcore.book.file import to_bytes
from tests.rule_samples import cable, carry, channels, control, fit, ground, level, load, packet, phantom, power, stage
from tests.rule_samples.plan import KINDS, Sample

FAMILIES = (fit, level, load, phantom, power, ground, control, cable, channels, stage, carry, packet)

FOLDER = Path(__file__).resolve().parent.parent / "samples" / "rules"


def every_sample() -> dict[str, Sample]:
    """Return the samples of all rules by rule id."""
    return {rule: sample for family in FAMILIES for rule, sample in family.SAMPLES.items()}


def made() -> dict[Path, bytes]:
    """Return every file as it should lie on disk."""
    return {
        FOLDER / rule / f"{kind}.loom": to_bytes(sample.book(kind))
        for rule, sample in every_sample().items()
        for kind in KINDS
    }


def write() -> None:
    """Write every file, and take away those of rules that are gone."""
    files = made()
    for path, data in files.items():
        path.parent.mkdir(parents=True, exist_ok=True)
        path.write_bytes(data)
    for path in FOLDER.rglob("*.loom"):
        if path not in files:
            path.unlink()


if __name__ == "__main__":
    write()
