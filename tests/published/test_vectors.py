"""Every vector is computed: no id of vectors.json is left out, none is computed twice, none has no source."""

from __future__ import annotations

import re
from collections import Counter

import pytest

from tests.published import test_vectors_levels, test_vectors_lines, test_vectors_mains, test_vectors_pads
from tests.published.test_vectors_common import TABLE, VECTORS, Values

FAMILIES = (test_vectors_levels, test_vectors_pads, test_vectors_mains, test_vectors_lines)


def test_every_vector_is_computed_once() -> None:
    computed = Counter(name for family in FAMILIES for name in family.ADAPTERS)
    assert set(computed) == set(VECTORS)
    assert set(computed.values()) == {1}


def test_the_counts() -> None:
    """89 numeric vectors; of 18 verdicts three are decided by a quantity, the others by catalogue and rules."""
    assert len(TABLE["numeric"]) == 89
    assert len({row["id"] for row in TABLE["numeric"]}) == 89
    verdicts = [row["id"] for row in TABLE["verdicts"]] + TABLE["decided_by_catalogue_or_rules"]
    assert sorted(verdicts) == [f"BX-{number:02}" for number in range(1, 19)]


@pytest.mark.parametrize("vector", VECTORS.values(), ids=VECTORS)
def test_every_vector_names_its_source(vector: Values) -> None:
    assert len(vector["basis"]) > 5
    assert not re.search(r"\[|\bS\d\d|https?:|www\.", vector["basis"])
    assert vector.get("memory", False) == ("from memory" in vector["basis"])
    assert set(vector.get("printed", {})) <= set(vector["expected"])
