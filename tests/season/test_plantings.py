"""When the lamps of a planting go off, as it is typed and as it is written."""

from __future__ import annotations

from datetime import date, datetime
from typing import Any

import pytest

from calendar_tui.season.plantings import lights_off, lights_off_text
from calendar_tui.season.readers import Unreadable


@pytest.mark.parametrize(
    ("typed", "read", "written"),
    [
        ("natural", None, "natural"),
        (" natural ", None, "natural"),
        ("+28", 28, "28 d"),
        ("+28d", 28, "28 d"),
        ("+4w", 28, "28 d"),
        ("+4 weeks", 28, "28 d"),
        ("+1", 1, "1 d"),
        ("+366d", 366, "366 d"),
        ("2026-12-08", date(2026, 12, 8), "2026-12-08"),
        (date(2026, 12, 8), date(2026, 12, 8), "2026-12-08"),
    ],
)
def test_lights_off_is_a_date_or_days_after_planting_or_natural_days(
    typed: Any, read: Any, written: str
) -> None:
    assert lights_off(typed) == read
    assert lights_off_text(read) == written


@pytest.mark.parametrize(
    "typed",
    ["+0", "+367d", "+53w", "28", "28d", "-4w", "+4m", "+٢", "", "8 dec", "2026-02-30", 28, None, True],
)
def test_what_is_neither_is_refused_with_the_forms(typed: Any) -> None:
    with pytest.raises(Unreadable, match=r"write \+28d or \+4w after planting, up to \+366d, or a date"):
        lights_off(typed)


@pytest.mark.parametrize("typed", [date(1800, 1, 1), datetime(2026, 12, 8, 7, 0)])
def test_a_date_far_off_and_one_with_a_time_are_refused(typed: Any) -> None:
    with pytest.raises(Unreadable):
        lights_off(typed)
