"""Covers and night breaks by day: most often their two times are swapped."""

from __future__ import annotations

from datetime import date

import pytest

from calendar_tui.planning.lamps.by_day import by_day_problems, by_day_texts
from tests.planning.lit_house import EXTEND, house, laid_out, texts


@pytest.mark.parametrize(
    ("method", "on", "off", "right"),
    [
        ("blackout", "08:00", "18:00", ("18:00", "08:00")),
        ("blackout", "10:00", "12:00", ("18:00", "08:00")),
        ("blackout", "08:00", "16:00", ("16:00", "08:00")),  # swapped, 16 h are the longest that are advised
        ("blackout", "08:00", "15:59", ("18:00", "08:00")),
        ("night-break", "10:00", "14:00", ("22:00", "02:00")),
        ("night-break", "02:00", "22:30", ("22:30", "02:00")),
        ("blackout", "18:00", "08:00", None),
        ("blackout", "15:00", "20:45", None),  # up to the night of July
        ("blackout", "04:30", "09:00", None),
        ("blackout", "13:00", "07:00", None),
        ("night-break", "22:00", "02:00", None),
        ("night-break", "05:00", "06:30", None),
        ("clock", "10:00", "14:00", None),  # light by day is what these lamps may be for
    ],
)
def test_covers_and_night_breaks_by_day_are_told_with_the_times_that_were_meant(
    method: str, on: str, off: str, right: tuple[str, str] | None
) -> None:
    july = {"from": date(2026, 7, 1), "to": date(2026, 7, 20), "method": method, "on": on, "off": off}
    season = house(EXTEND, july)
    found = list(by_day_problems(season))
    assert by_day_texts(season, "H1") == tuple(p.message.removeprefix("H1: ") for p in found)
    clashes = texts(laid_out(season), "A1", "by day")
    if right is None:
        assert (found, clashes) == ([], [])
        return
    (problem,) = found
    assert problem.path == ("programme", 0, "on")
    assert clashes == [problem.message]
    assert f"by day, {on} to {off}, when it is light from 06:" in problem.message
    assert problem.message.endswith(f'write on = "{right[0]}", off = "{right[1]}"')


def test_a_place_s_own_night_break_by_day_is_told_where_its_lamps_are_written() -> None:
    season = house({"method": "night-break", "from": "10:00", "to": "14:00"})
    (problem,) = by_day_problems(season)
    assert len(by_day_texts(season, "H1")) == 1
    assert problem.path == ("place", 0, "lamps", "on")
    assert problem.message.startswith("H1: the night break burns by day, 10:00 to 14:00")
