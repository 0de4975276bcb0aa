"""The kinds of record as people type them, one and several."""

from __future__ import annotations

import pytest

from calendar_tui.season.kind_words import ALL, find_kind, kinds_text


@pytest.mark.parametrize(
    ("kind", "several"),
    [
        ("cohort", "cohorts"),
        ("variety", "varieties"),
        ("stay", "stays"),
        ("capacity", "capacities"),
        ("supplies", "supplies"),
        ("spray", "sprays"),
        ("pass", "passes"),
        ("batch", "batches"),
        ("laboratory", "laboratories"),
    ],
)
def test_several_of_a_kind_are_named_as_people_do(kind: str, several: str) -> None:
    assert kinds_text(kind, 1) == kind
    assert (kinds_text(kind), kinds_text(kind, 0)) == (several, several)


@pytest.mark.parametrize("kind", ALL)
def test_a_kind_is_found_by_its_name_of_one_and_of_several(kind: str) -> None:
    assert find_kind(kind) == find_kind(kinds_text(kind).upper()) == kind
