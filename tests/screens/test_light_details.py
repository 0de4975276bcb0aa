"""The line at the cursor says what makes the felt day: lamps to a target, a night break, the clock, covers."""

from __future__ import annotations

from datetime import date
from typing import Any

import pytest

from calendar_tui.screens.season.details import cursor_row
from tests.planning.lit_house import EXTEND, house, laid_out

COVERS = {
    "from": date(2026, 7, 1),
    "to": date(2026, 7, 9),
    "method": "blackout",
    "on": "18:00",
    "off": "08:00",
}


@pytest.mark.parametrize(
    ("lamps", "says"),
    [
        (EXTEND, "; lamps to 16 h 00  A1"),
        ({"method": "night-break", "from": "22:00", "to": "02:00"}, "; night break: 19 h "),
        ({"method": "clock", "from": "05:00", "to": "21:00"}, "; lamps by the clock: 16 h 00  A1"),
    ],
)
def test_the_lamps_of_an_evening_are_named(lamps: dict[str, Any], says: str) -> None:
    plan = laid_out(house(lamps))
    text = "".join(part for part, _ in cursor_row(plan, plan.timelines["A1"], date(2026, 9, 1)))
    assert says in text


def test_covers_and_nothing_are_told_too() -> None:
    plan = laid_out(house(EXTEND, COVERS))
    lines = [
        "".join(part for part, _ in cursor_row(plan, plan.timelines["A1"], day))
        for day in (date(2026, 7, 3), date(2026, 9, 25))
    ]
    assert "; covers: 10 h 00  A1" in lines[0]
    assert ";" not in lines[1]
