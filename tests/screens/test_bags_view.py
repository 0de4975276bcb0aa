"""The bags on the screen: a trip recorded, sent and lost in a few keys, what is given up, another week."""

from __future__ import annotations

from datetime import date

import pytest
from settling import settled
from small_app import SmallApp

from calendar_tui.planning.deciding.decision import BAGS
from calendar_tui.planning.plan import make_plan
from calendar_tui.screens.kit.preferences import Preferences
from calendar_tui.screens.samples.rows import first_bags
from calendar_tui.screens.samples.view import BagsView
from calendar_tui.screens.week.opened_by import opened_by
from calendar_tui.season.reading import read_season
from calendar_tui.season.sample_ids import grouped
from tests.season_data import TWO_RIVERS, data_of

TODAY = date(2027, 3, 16)
BUDGET = "\n[capacity]\nsamples_per_week = 2\n"
SEASON = (
    TWO_RIVERS
    + """\
[[place]]
id = "F1"
kind = "field"
[[variety]]
id = "amber"
response = "day-neutral"
[[laboratory]]
id = "lab"
[[cohort]]
id = "A1"
variety = "amber"
start = "seed"
place = "F1"
planned = { seeding = 2026-12-20 }
recorded = { seeding = 2026-12-20, flowering = 2027-02-24 }
"""
)
PLAN = """
[[sampling]]
id = "weekly"
weekday = "tue"
laboratory = "lab"
"""


def _app(text: str = SEASON + PLAN) -> tuple[SmallApp, BagsView]:
    season = read_season(data_of(text)).season
    assert season is not None
    view = BagsView(first_bags(make_plan(season, TODAY)))
    return SmallApp(view, TODAY, text), view


async def pressed(app: SmallApp, pilot, *keys: str) -> None:
    for key in keys:
        await pilot.press(key)
        await settled(app, pilot)


def bags(app: SmallApp) -> list[dict]:
    return app.data.get("sample", [])


async def test_the_week_lists_the_bags_of_each_trip() -> None:
    app, view = _app()
    async with app.run_test(size=(80, 24)) as pilot:
        await pilot.pause()
        lines = view.text.splitlines()
        assert lines[0] == "Bags of the week from Mon 15 Mar 2027  3 to cut"
        assert lines[1].strip() == "Tue 16 Mar  3 bags of A1  today"
        assert [line.split()[:2] for line in lines[2:5]] == [["A1", p] for p in ("top", "middle", "bottom")]
        assert "PRE-TESTS, NOT OFFICIAL" in view.text


async def test_the_tagged_plants_stand_under_the_heading_of_a_trip() -> None:
    app, view = _app(SEASON + PLAN + 'tagged = ["P3", "P9"]\n')
    async with app.run_test(size=(80, 24)) as pilot:
        await pilot.pause()
        assert "tagged plants: P3, P9" in view.text


async def test_a_trip_is_recorded_with_enter_and_enter() -> None:
    app, view = _app()
    async with app.run_test(size=(80, 24)) as pilot:
        await pressed(app, pilot, "enter")
        assert bags(app) == []
        await pressed(app, pilot, "enter")
        assert [bag["position"] for bag in bags(app)] == ["top", "middle", "bottom"]
        assert len(app.saved) == 1
        assert all(f"{grouped(bag['id'])}  taken" in view.text for bag in bags(app))
        assert "0 to cut" in view.text


async def test_only_marked_bags_are_recorded_and_sent() -> None:
    app, view = _app()
    async with app.run_test(size=(80, 24)) as pilot:
        await pressed(app, pilot, "down", "space", "enter", "enter")
        assert [bag["position"] for bag in bags(app)] == ["middle"]
        name = grouped(bags(app)[0]["id"])
        view._list.stand_on(bags(app)[0]["id"])
        await pressed(app, pilot, "s", "enter")
        assert app.saved[-1].what == f"1 bag sent on Tue 16 Mar 2027: {name}"
        assert (bags(app)[0]["state"], bags(app)[0]["sent"]) == ("sent", TODAY)


async def test_marks_are_off_once_what_was_marked_is_saved() -> None:
    app, view = _app()
    async with app.run_test(size=(80, 24)) as pilot:
        await pressed(app, pilot, "enter", "enter")
        view._list.stand_on(bags(app)[0]["id"])
        await pressed(app, pilot, "space")
        assert "1 marked" in view.text
        await pressed(app, pilot, "s", "enter")
        assert "marked" not in view.text


async def test_a_week_begins_on_the_day_that_is_set() -> None:
    app, view = _app()
    app.preferences = Preferences(first_weekday=6)
    async with app.run_test(size=(80, 24)) as pilot:
        await settled(app, pilot)
        assert "Bags of the week from Sun 14 Mar 2027  3 to cut" in view.text


async def test_all_of_a_trip_are_marked_at_once_and_sent_as_one_change() -> None:
    app, _ = _app()
    async with app.run_test(size=(80, 24)) as pilot:
        await pressed(app, pilot, "enter", "enter", "a", "s", "enter")
        assert {bag["state"] for bag in bags(app)} == {"sent"}
        assert len(app.saved) == 2


@pytest.mark.slow
async def test_a_lost_bag_is_cut_again() -> None:
    app, view = _app()
    async with app.run_test(size=(80, 24)) as pilot:
        await pressed(app, pilot, "enter", "enter")
        first = bags(app)[0]["id"]
        view._list.stand_on(first)
        await pressed(app, pilot, "c", "enter")
        assert bags(app)[-1]["again"] == first
        view._list.stand_on(first)
        await pressed(app, pilot, "l", "enter")
        assert bags(app)[0]["state"] == "lost"


async def test_bags_of_a_later_week_get_their_ids_ahead_for_labels() -> None:
    app, view = _app()
    async with app.run_test(size=(80, 24)) as pilot:
        await pressed(app, pilot, "right")
        assert "Bags of the week from Mon 22 Mar 2027" in view.text
        await pressed(app, pilot, "enter", "enter")
        assert {(bag["state"], bag["date"]) for bag in bags(app)} == {("planned", date(2027, 3, 23))}


async def test_what_the_budget_gives_up_is_shown_and_not_recorded_unasked() -> None:
    app, view = _app(SEASON + PLAN + BUDGET)
    async with app.run_test(size=(80, 24)) as pilot:
        await pilot.pause()
        assert "2 to cut  1 given up" in view.text
        await pressed(app, pilot, "enter", "enter")
        assert [bag["position"] for bag in bags(app)] == ["top", "middle"]


async def test_without_a_plan_the_next_step_is_named() -> None:
    app, view = _app(SEASON)
    async with app.run_test(size=(80, 24)) as pilot:
        await pilot.pause()
        assert "No sampling plan yet: press Esc, then f for the farm" in " ".join(view.text.split())


@pytest.mark.parametrize(
    ("key", "text"), [("s", "No bag with an id is here"), ("l", "No bag with an id is here")]
)
async def test_a_key_for_bags_with_ids_says_where_there_is_none(key: str, text: str) -> None:
    app, _ = _app()
    async with app.run_test(size=(80, 24)) as pilot:
        await pressed(app, pilot, key)
        assert app.messages
        assert text in app.messages[-1]


async def test_a_place_that_is_closed_after_a_spray_stands_above_the_bags() -> None:
    spray = '[[spray]]\nid = "s1"\ndate = 2027-03-16\nplace = "F1"\nproduct = "Soap"\nend = "08:00"\nreentry = "12 h"\n'
    app, view = _app(SEASON + PLAN + spray)
    async with app.run_test(size=(80, 24)) as pilot:
        await pilot.pause()
        assert "Do not enter: F1 is closed" in view.text.splitlines()[1]
        await pressed(app, pilot, "enter")
        assert "it is closed after a spray until 20:00" in " ".join(app.screen.text.split())


async def test_a_bag_that_was_not_cut_is_opened_at_and_left_out_for_good() -> None:
    season = read_season(data_of(SEASON + PLAN)).season
    assert season is not None
    day = date(2027, 3, 18)
    plan = make_plan(season, day)
    row = next(one for one in plan.decisions if one.kind == BAGS)
    name, *needs = opened_by(row)
    assert name == "bags"
    view = BagsView(first_bags(plan, *needs), *needs)
    app = SmallApp(view, day, SEASON + PLAN)
    async with app.run_test(size=(80, 24)) as pilot:
        await pressed(app, pilot, "l")
        await pressed(app, pilot, "enter")
        assert [(bag["position"], bag["state"], bag["date"]) for bag in bags(app)] == [
            ("top", "lost", date(2027, 3, 16))
        ]
        assert "left out" in view.text
        assert "2 to cut" in view.text.splitlines()[0]
    left = read_season(app.data).season
    assert left is not None
    again = next(one for one in make_plan(left, day).decisions if one.kind == BAGS)
    assert again.why == "middle, bottom"


async def test_a_bag_whose_day_is_still_to_come_is_not_left_out() -> None:
    app, _ = _app()
    async with app.run_test(size=(80, 24)) as pilot:
        await pressed(app, pilot, "right", "l", "enter")
        assert bags(app) == []
