"""Planting dates on the screen: the plot by day as the calendar has it, the cursor's read-out, and what it switches."""

from __future__ import annotations

from datetime import UTC, date, datetime, timedelta
from functools import cache
from pathlib import Path

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from settling import settled
from small_app import SEASON, SmallApp

from calendar_tui.planning.plan import Plan, make_plan
from calendar_tui.planning.response.outcomes import Curve, outcome
from calendar_tui.planning.why.phases import phase_on
from calendar_tui.screens.app import CalendarApp
from calendar_tui.screens.kit.glyphs import glyph_set
from calendar_tui.screens.response.opening import first_cursor, first_curve
from calendar_tui.screens.response.plot import LABEL, Cursor, phase_between, plot_lines, plot_rows, window_of
from calendar_tui.screens.response.view import ResponseView
from calendar_tui.screens.season.view import SeasonView
from calendar_tui.storage.opening import open_season

TODAY = date(2026, 11, 25)
DAY = timedelta(days=1)


def _app(cohort: str = "A1", text: str = SEASON) -> tuple[SmallApp, ResponseView]:
    plan = SmallApp(ResponseView(None, TODAY), TODAY, text).plan
    assert plan is not None
    view = ResponseView(first_curve(plan, cohort), first_cursor(plan, cohort))
    return SmallApp(view, TODAY, text), view


def _plan() -> Plan:
    plan = _app()[0].plan
    assert plan is not None
    return plan


@pytest.mark.slow
@pytest.mark.parametrize("cohort", ["A1", "A3"])
def test_an_upright_has_the_phases_that_the_season_view_draws(cohort: str) -> None:
    plan = _plan()
    timeline = plan.timelines[cohort]
    found = outcome(timeline)
    assert found.harvest is not None
    day = found.begun - 3 * DAY
    letters = {found.flowering and found.flowering.likely: "flowering", found.harvest.likely: "harvest"}
    while day <= min(found.harvest.likely, plan.season.last_day):
        expected = letters.get(day) or phase_on(plan, timeline, day) or ""
        assert phase_between(found, day, day + DAY) == expected, day
        day += DAY


@cache
def _curve() -> Curve:
    curve = first_curve(_plan(), "A1")
    assert curve is not None
    return curve


@pytest.mark.slow
@settings(deadline=None, max_examples=30)
@given(st.integers(40, 200), st.integers(9, 60), st.booleans())
def test_the_plot_fills_just_its_room(width: int, height: int, ascii_only: bool) -> None:
    rows = plot_rows(_curve(), width, height, glyph_set(ascii_only), Cursor(TODAY, TODAY), {"A1": TODAY})
    assert len(rows) == height
    assert {sum(len(text) for text, _ in row) for row in rows} == {width}


@pytest.mark.slow
def test_on_paper_it_is_plain_ascii_where_that_is_asked_for() -> None:
    curve = first_curve(_plan(), "A1")
    assert curve is not None
    lines = list(plot_lines(curve, 80, True))
    assert all(line.isascii() and len(line) <= 80 for line in lines)
    assert "h" in lines[0]


@pytest.mark.slow
async def test_the_cursor_reads_out_the_date_it_stands_on() -> None:
    app, view = _app()
    async with app.run_test(size=(80, 24)) as pilot:
        await settled(app, pilot)
        assert "Planting dates  amber from seed, 25 d in N1, then H2 under lamps for 51 d" in view.text
        assert view.outcome is not None
        assert view.outcome.planted == date(2026, 10, 30)
        assert "Planted Fri 30 Oct 2026  started 5 Oct  lights off 20 Dec" in view.text
        assert app.plan is not None
        flowers = app.plan.timelines["A1"].likely("flowering")
        assert view.outcome.flowering is not None
        assert view.outcome.flowering.likely == flowers
        assert "planted then in the season: A1 flowers " in view.text
        for key, day in (
            ("right", date(2026, 10, 31)),
            ("pagedown", date(2026, 11, 28)),
            ("home", date(2026, 9, 15)),
            ("left", date(2026, 9, 15)),
            ("end", date(2027, 9, 15)),
        ):
            await pilot.press(key)
            assert view.outcome.planted == day
            assert f"{day.day} " in view.text


@pytest.mark.slow
async def test_variety_place_nursery_start_and_lamps_are_switched() -> None:
    text = SEASON + '[[variety]]\nid = "byage"\nresponse = "day-neutral"\n'
    app, view = _app(text=text)
    async with app.run_test(size=(120, 30)) as pilot:
        await settled(app, pilot)
        for key, says in (
            ("v", "byage from seed, 25 d in N1, then H2 under lamps for 51 d"),
            ("v", "amber from seed, 25 d in N1, then H2 under lamps for 51 d"),
            ("o", "amber from seed, 25 d in N1, then H2 on natural days"),
            ("o", "amber from seed, 25 d in N1, then H2 under lamps for 14 d"),
            ("s", "amber from cuttings, 24 d in N1, then H2 under lamps for 14 d"),
            ("n", "amber from cuttings, stuck in place, H2 under lamps for 14 d"),
            ("p", "amber from cuttings, stuck in place, F1 on natural days"),
            ("n", "amber from cuttings, 24 d in N1, then F1 on natural days"),
            ("p", "amber from cuttings, stuck in place, N1 on natural days"),
        ):
            await pilot.press(key)
            await settled(app, pilot)
            assert view.text.splitlines()[0].rstrip() == f"Planting dates  {says}"
        await pilot.press("escape")
        await pilot.pause()
        assert app.screen is not view


@pytest.mark.slow
async def test_the_cohorts_of_the_variety_are_marked_where_they_are_planted() -> None:
    app, view = _app()
    async with app.run_test(size=(160, 45)) as pilot:
        await settled(app, pilot)
        curve = first_curve(_plan(), "A1")
        assert curve is not None
        x = LABEL + window_of(curve, 160).column(date(2026, 10, 30))
        (line,) = (line for line in view.text.splitlines() if "A1" in line and "▲" in line)
        assert line[x] == "▲"


@pytest.mark.slow
async def test_a_changed_season_is_worked_out_anew() -> None:
    app, view = _app()
    async with app.run_test(size=(80, 24)) as pilot:
        await settled(app, pilot)
        before = view.outcome
        app.data["variety"][0]["flowering_to_harvest_d"] = 60
        app.reload()
        await settled(app, pilot)
        assert view.outcome is not None
        assert before is not None
        assert before.harvest is not None
        assert view.outcome.harvest is not None
        assert view.outcome.harvest.likely == before.harvest.likely + 15 * DAY
        app.data["place"] = [p for p in app.data["place"] if p["id"] != "H2"]
        app.data["cohort"] = [c for c in app.data["cohort"] if c["place"] != "H2"]
        app.data["task"] = []
        app.reload()
        await settled(app, pilot)
        assert "amber from seed, 25 d in N1, then F1 on natural days" in view.text


async def test_with_nothing_to_plant_it_says_so() -> None:
    bare = SEASON[: SEASON.index("[[place]]")]
    app = SmallApp(view := ResponseView(None, TODAY), TODAY, bare)
    async with app.run_test(size=(80, 24)) as pilot:
        await settled(app, pilot)
        assert "yet: press Esc, then f for the farm, then a there to add one." in " ".join(view.text.split())
        await pilot.press("right", "v")


@pytest.mark.slow
async def test_without_room_for_the_plot_the_date_is_read_out_and_moved_and_planted() -> None:
    app, view = _app()
    async with app.run_test(size=(40, 12)) as pilot:
        await settled(app, pilot)
        for keys in ((), ("right",), ("h", *"22 apr", "enter")):
            await pilot.press(*keys)
            await settled(app, pilot)
            words, outcome = " ".join(view.text.split()), view.outcome
            assert outcome is not None
            assert outcome.harvest is not None
            day, harvest = outcome.planted, outcome.harvest.likely
            assert f"Planted {day:%a} {day.day} {day:%b} {day.year}" in words
            assert f"harvest {harvest.day} {harvest:%b} {harvest.year}" in words
            assert "amber from seed, 25 d in N1, then H2 under lamps" in words
            lines = view.text.splitlines()
            assert ({len(line) for line in lines}, len(lines)) == ({40}, 12)
        await pilot.press("enter")
        await settled(app, pilot)
        assert app.screen is not view


@pytest.mark.slow
async def test_d_in_the_season_view_opens_it_on_the_selected_cohort(tmp_path: Path) -> None:
    path = tmp_path / "two-rivers.toml"
    path.write_text(SEASON, encoding="utf-8")
    app = CalendarApp(
        open_season(path), TODAY, "ana", lambda: datetime(2026, 11, 25, tzinfo=UTC), ascii_only=True
    )
    async with app.run_test(size=(80, 24)) as pilot:
        await settled(app, pilot)
        await pilot.press("down", "d")
        await settled(app, pilot)
        assert isinstance(app.screen, ResponseView)
        assert "amber from seed, 25 d in N1, then F1 on natural days" in app.screen.text
        assert app.screen.text.isascii()
        await pilot.press("escape")
        await settled(app, pilot)
        assert isinstance(app.screen, SeasonView)


# --- from a harvest to its planting, and the date that is taken


@pytest.mark.slow
async def test_a_typed_harvest_goes_to_its_planting_and_stands_on_both_axes() -> None:
    app, view = _app()
    async with app.run_test(size=(80, 24)) as pilot:
        await settled(app, pilot)
        await pilot.press("h", *"30 apr")
        assert "harvest on: 30 apr" in view.text
        await pilot.press("enter")
        await settled(app, pilot)
        assert view.outcome is not None
        assert view.outcome.harvest is not None
        assert view.outcome.harvest.likely == date(2027, 4, 30)
        day = view.outcome.planted
        lines = view.text.splitlines()
        assert any(line.startswith("30 Apr 2027") for line in lines), "on the axis of dates"
        assert any(line.startswith("planted") and f"{day.day} {day:%b} {day.year}" in line for line in lines)


@pytest.mark.slow
async def test_up_wishes_for_a_harvest_a_day_later_and_left_goes_back_to_planting_dates() -> None:
    app, view = _app()
    async with app.run_test(size=(80, 24)) as pilot:
        await settled(app, pilot)
        await pilot.press("h", *"22 apr", "enter", "up", "up", "down")
        await settled(app, pilot)
        assert "23 Apr 2027" in view.text
        assert view.outcome is not None
        planted = view.outcome.planted
        await pilot.press("left")
        assert view.outcome.planted == planted - DAY


@pytest.mark.slow
async def test_a_harvest_that_is_none_is_refused_and_a_day_that_no_planting_comes_to_says_so() -> None:
    app, view = _app("A3")
    async with app.run_test(size=(80, 24)) as pilot:
        await settled(app, pilot)
        before = view.outcome
        await pilot.press("h", *"abc", "enter")
        assert 'harvest on: abc_  "abc" is not a date; write ' in view.text.splitlines()[-1]
        assert view.outcome == before
        await pilot.press("p")
        assert view.text.splitlines()[-1].startswith("harvest on: abcp_  "), "letters are no commands yet"
        assert "is not a date" not in view.text, "what is wrong goes with the next letter"
        assert app.screen is view
        await pilot.press("escape", "h", *"1 feb", "escape")
        assert view.outcome == before, "Esc takes nothing"
        await pilot.press("h", *"1 feb", "enter")
        await settled(app, pilot)
        assert "No planting is harvested on 1 Feb 2027: the nearest likely harvest is" in view.text


@pytest.mark.slow
async def test_a_date_that_is_taken_makes_the_cohort_after_its_dates_and_tasks_were_shown() -> None:
    app, view = _app()
    async with app.run_test(size=(80, 24)) as pilot:
        await settled(app, pilot)
        await pilot.press("o", "p")
        await settled(app, pilot)
        await pilot.press("h", *"22 apr", "enter", "enter")
        await settled(app, pilot)
        assert view.outcome is not None
        shown = app.screen.text
        assert "A4: amber in F1" in " ".join(shown.split())
        assert "1 cohort and 1 task in all" in shown
        assert app.saved == []
        await pilot.press("enter")
        await settled(app, pilot)
        (change,) = app.saved
        assert app.plan is not None
        assert app.plan.timelines["A4"].planted == view.outcome.planted
        assert change.what.startswith("A4 added: amber in F1, planted ")


@pytest.mark.slow
async def test_a_date_that_is_past_is_not_taken() -> None:
    app, view = _app()
    async with app.run_test(size=(80, 24)) as pilot:
        await settled(app, pilot)
        await pilot.press("enter")
        await settled(app, pilot)
        assert app.screen is view
        assert "had to be started on 5 Oct 2026, before today" in app.messages[-1]


@pytest.mark.slow
async def test_no_half_of_a_month_is_left_beside_the_date_on_the_axis() -> None:
    app, view = _app()
    months = ("Jan", "Feb", "Mar", "Apr", "May", "Jun", "Jul", "Aug", "Sep", "Oct", "Nov", "Dec")
    async with app.run_test(size=(80, 24)) as pilot:
        await settled(app, pilot)
        await pilot.press("home")
        for _ in range(40):
            await pilot.press("right")
            (axis,) = (line for line in view.text.splitlines() if line.startswith("planted"))
            for word in axis.split()[1:]:
                assert word in months or word.isdigit(), axis


@pytest.mark.slow
async def test_a_cohort_for_a_wished_harvest_takes_under_fifteen_keys_from_the_season_view(
    tmp_path: Path,
) -> None:
    path = tmp_path / "two-rivers.toml"
    path.write_text(SEASON, encoding="utf-8")
    app = CalendarApp(
        open_season(path), TODAY, "ana", lambda: datetime(2026, 11, 25, tzinfo=UTC), ascii_only=True
    )
    keys = ["down", "d", "h", *"22 apr", "enter", "enter", "enter"]
    assert len(keys) < 15
    async with app.run_test(size=(80, 24)) as pilot:
        await settled(app, pilot)
        for key in keys:
            await pilot.press(key)
            await settled(app, pilot)
        season = open_season(path).season
    assert season is not None
    (new,) = season.cohorts.keys() - {"A1", "A3"}
    assert season.cohorts[new].place == "F1"
    assert make_plan(season, TODAY).timelines[new].likely("harvest") == date(2027, 4, 22)
    assert any(new in task.about for task in season.tasks)


SUNDAYS_FREE = SEASON + '[crew]\nwork_days = ["mon", "tue", "wed", "thu", "fri", "sat"]\n'


@pytest.mark.slow
async def test_enter_on_a_sunday_takes_the_nearest_working_day_after_it_was_named() -> None:
    app, view = _app(text=SUNDAYS_FREE)
    async with app.run_test(size=(80, 24)) as pilot:
        await settled(app, pilot)
        await pilot.press("o", "p")
        await settled(app, pilot)
        await pilot.press("h", *"22 apr", "enter")
        while view.outcome is None or view.outcome.planted.weekday() != 6:
            await pilot.press("right")
        sunday = view.outcome.planted
        assert (
            f"is planted instead: Sun {sunday.day} {sunday:%b} {sunday.year} is no working day" in view.text
        )
        await pilot.press("enter")
        await settled(app, pilot)
        shown = " ".join(app.screen.text.split())
        assert f"and not on {sunday.day} {sunday:%b} {sunday.year}: Sun" in shown
        await pilot.press("enter")
        await settled(app, pilot)
        assert app.plan is not None
        planted = app.plan.timelines["A4"].planted
        assert planted.weekday() != 6
        assert abs((planted - sunday).days) <= 2


@pytest.mark.slow
async def test_no_key_of_wished_harvests_ends_on_a_sunday() -> None:
    app, view = _app("A3", SUNDAYS_FREE)
    async with app.run_test(size=(80, 24)) as pilot:
        await settled(app, pilot)
        await pilot.press("h", *"20 apr", "enter")
        named = 0
        for _ in range(20):
            await pilot.press("up")
            assert view.outcome is not None
            assert view.outcome.planted.weekday() != 6
            assert view.outcome.begun.weekday() != 6
            named += "would fit best, but" in view.text
        assert named
