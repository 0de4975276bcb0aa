"""The week on the screen asks for a look at the tips after a failure of lamps, under its heading."""

from __future__ import annotations

from datetime import date

from settling import settled
from small_app import SEASON, SmallApp

from calendar_tui.screens.kit.drawing import first_rows, wrapped
from calendar_tui.screens.week.view import WeekView

# Lamps alone hold A1 from late January to lights off; twelve dark nights are not enough for all its plants.
DARK = SEASON.replace("lights_off = 2026-12-20", "lights_off = 2027-04-10") + (
    '\n[[outage]]\nplace = "H2"\nfrom = 2027-02-05\nto = 2027-02-16\n'
)
TODAY = date(2027, 2, 17)
LOOK = "A1: look at the tips from "


async def test_a_look_is_asked_for_in_this_week_and_in_no_other() -> None:
    view = WeekView()
    app = SmallApp(view, TODAY, DARK)
    async with app.run_test(size=(80, 24)) as pilot:
        await settled(app, pilot)
        lines = view.text.splitlines()
        assert lines[1].startswith(LOOK)
        assert "(H2 dark 5 Feb to 16 Feb)" in " ".join(view.text.split())
        await pilot.press("right")
        await settled(app, pilot)
        assert LOOK not in view.text


async def test_once_it_is_recorded_nothing_is_asked() -> None:
    view = WeekView()
    app = SmallApp(view, TODAY, DARK)
    async with app.run_test(size=(80, 24)) as pilot:
        await settled(app, pilot)
        assert LOOK in view.text
        app.data["cohort"][0].setdefault("recorded", {})["induced"] = date(2027, 2, 15)
        app.reload()
        await settled(app, pilot)
        assert LOOK not in view.text


async def test_without_a_recent_outage_nothing_is_worked_out() -> None:
    view = WeekView()
    app = SmallApp(view, date(2027, 6, 1), DARK)
    async with app.run_test(size=(80, 24)) as pilot:
        await pilot.pause()
        assert not [worker for worker in app.workers if worker.group == "looks"]


def test_of_details_with_no_room_for_all_the_last_line_begins_what_is_left() -> None:
    rows = wrapped("Lamps in wet places: ground-fault protection; a licensed electrician decides", 20)
    assert len(rows) > 3
    shown = ["".join(part.text for part in at.segments) for at in first_rows(rows, 3, 20)]
    assert shown == ["Lamps in wet places:", "ground-fault", "protection; a licen…"]
    assert first_rows(rows[:3], 3, 20) == rows[:3]
    assert first_rows(rows, 0, 20) == []
