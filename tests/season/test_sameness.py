"""When two values of plain data are the same: equal, of the same types, and written out alike."""

from __future__ import annotations

from datetime import UTC, date, datetime, time, timedelta, timezone
from itertools import combinations

import pytest

from calendar_tui.season.sameness import same

NAN = float("nan")
EAST = timezone(timedelta(hours=1))
# No two of these are the same, though some are equal.
DIFFERENT = (
    *(0, 0.0, -0.0, False, 1, 1.0, True, -1.5, NAN, float("inf"), "", "1", [], {}, [1], [1.0], {"a": 1}, {"a": True}),
    *(date(2026, 11, 9), datetime(2026, 11, 9), time(0), datetime(2026, 11, 9, 1, tzinfo=EAST)),
    *(datetime(2026, 11, 9, tzinfo=UTC), {"a": [{"b": 0.0}]}, {"a": [{"b": -0.0}]}, {"a": 1, "b": 2}, {"b": 1}),
)  # fmt: skip


def test_values_of_other_types_or_other_writing_differ_wherever_they_stand():
    for one, other in combinations(DIFFERENT, 2):
        assert not same(one, other)
        assert not same({"x": one}, {"x": other})
        assert not same([{"x": [one]}], [{"x": [other]}])


@pytest.mark.parametrize("value", DIFFERENT, ids=str)
def test_a_value_read_twice_is_the_same(value):
    again = float(str(value)) if isinstance(value, float) else value
    assert same(value, again)
    assert same({"x": value, "y": [again]}, {"y": [value], "x": again})
