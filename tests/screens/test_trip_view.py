"""A sampling trip ticked in the week: its bags are offered, and saved with the tick as one change."""

from __future__ import annotations

from datetime import date

from settling import settled
from small_app import SmallApp
from test_bags_view import PLAN, SEASON, TODAY, bags, pressed

from calendar_tui.screens.samples.trip_view import TripView
from calendar_tui.screens.week.view import WeekView
from calendar_tui.season.edits import apply_edits

CHORE = """
[[chore]]
id = "samples"
what = "Cut samples"
stage = "sampling"
repeat = "FREQ=WEEKLY"
until = "harvest"
asks = "bag numbers"
shows = ["bags"]
"""
TASKS = """
[[task]]
id = "trip"
date = 2027-03-16
what = "Cut samples"
chore = "samples"
cohorts = ["A1"]
n = 400
[[task]]
id = "hoe1"
date = 2027-03-16
what = "Hoe"
cohort = "A1"
"""


def _app() -> tuple[SmallApp, WeekView]:
    view = WeekView()
    return SmallApp(view, TODAY, SEASON + PLAN + CHORE + TASKS), view


def _task(app: SmallApp, name: str = "trip") -> dict:
    return next(task for task in app.data["task"] if task["id"] == name)


async def test_space_on_a_trip_offers_its_bags_and_saves_them_with_the_tick_as_one_change() -> None:
    app, view = _app()
    before = app.data
    async with app.run_test(size=(80, 24)) as pilot:
        await pilot.pause()
        view._list.stand_on("trip")
        await pressed(app, pilot, "space")
        assert isinstance(app.screen, TripView)
        assert "[x] A1 top  5 plants to lab" in app.screen.text
        await pressed(app, pilot, "down", "down", "space", "enter")
        assert app.saved == []
        await pressed(app, pilot, "enter")
        assert app.screen is view
        assert [bag["position"] for bag in bags(app)] == ["top", "middle"]
        assert _task(app)["state"] == "done"
        assert _task(app)["fact"].endswith("; not cut: A1 bottom")
        (change,) = app.saved
        assert apply_edits(before, change.edits) == app.data


async def test_a_trip_done_on_another_day_asks_for_the_day_and_the_bags() -> None:
    app, view = _app()
    async with app.run_test(size=(80, 24)) as pilot:
        await pilot.pause()
        view._list.stand_on("trip")
        await pressed(app, pilot, "o")
        assert isinstance(app.screen, TripView)
        app.screen._day_field.value = "18 mar"
        await pressed(app, pilot, "enter")
        assert "Thu 18 Mar 2027 is after today" in " ".join(app.screen.text.split())
        app.screen._day_field.value = "15 mar"
        await pressed(app, pilot, "enter", "enter", "enter")
        assert {bag["date"] for bag in bags(app)} == {date(2027, 3, 15)}
        assert (_task(app)["state"], _task(app)["done_on"]) == ("done", date(2027, 3, 15))


async def test_a_trip_ticked_with_other_work_stays_open_and_says_why() -> None:
    app, view = _app()
    async with app.run_test(size=(80, 24)) as pilot:
        await pilot.pause()
        for name in ("trip", "hoe1"):
            view._list.stand_on(name)
            await pressed(app, pilot, "m")
        await pressed(app, pilot, "space")
        assert (_task(app).get("state", "open"), _task(app, "hoe1")["state"]) == ("open", "done")
        assert any("1 task that cuts bags left out" in message for message in app.messages)


async def test_a_trip_whose_bags_are_all_recorded_is_ticked_with_them() -> None:
    app, view = _app()
    app.data["sample"] = [
        {"id": name, "date": TODAY, "cohort": "A1", "position": position}
        for name, position in (("26A1TA", "top"), ("K7Q2RY", "middle"), ("A1T07Q", "bottom"))
    ]
    app._read()
    async with app.run_test(size=(80, 24)) as pilot:
        await pilot.pause()
        view._list.stand_on("trip")
        await pressed(app, pilot, "space")
        assert "No bag of this work is left to cut" in " ".join(app.screen.text.split())
        await pressed(app, pilot, "enter", "enter")
        await settled(app, pilot)
        assert _task(app)["fact"] == "26A-1TA K7Q-2RY A1T-07Q"


async def test_all_or_none_of_a_trip_is_marked_at_once_and_esc_saves_nothing() -> None:
    app, view = _app()
    async with app.run_test(size=(40, 12)) as pilot:
        await pilot.pause()
        view._list.stand_on("trip")
        await pressed(app, pilot, "space", "a")
        assert "0 of 3 bags" in app.screen.text
        await pressed(app, pilot, "a")
        assert "3 of 3 bags" in app.screen.text
        await pressed(app, pilot, "escape")
        assert app.screen is view
        assert (app.saved, bags(app)) == ([], [])
