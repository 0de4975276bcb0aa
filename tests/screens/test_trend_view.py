"""The trend on the screen: the plot, other positions and cohorts by keys, opened from the cohort, anew after a change."""

from __future__ import annotations

from datetime import UTC, datetime, timedelta
from pathlib import Path

import pytest
from settling import settled
from small_app import SmallApp

from calendar_tui.handing_on.words.trend_text import PRETEST
from calendar_tui.planning.results.trend import trend_of
from calendar_tui.screens.app import CalendarApp
from calendar_tui.screens.pages.cohort_view import CohortView
from calendar_tui.screens.trend.view import TrendView, first_trend
from calendar_tui.storage.opening import open_season
from tests.commands.trended_season import trended_season
from tests.planning.trended_farm import FLOWERING, B, D, bags_of, trended

TODAY = FLOWERING + timedelta(days=53)


def _season(folder: Path) -> Path:
    return trended_season(folder, bags_of("A1", B), bags_of("B1", D, 50, FLOWERING + timedelta(days=14)))


def _app(folder: Path, cohort: str = "A1") -> tuple[SmallApp, TrendView]:
    text = _season(folder).read_text(encoding="utf-8")
    plan = trended(bags_of("A1", B), bags_of("B1", D, 50, FLOWERING + timedelta(days=14)), today=TODAY)
    view = TrendView(first_trend(plan, cohort), cohort)
    return SmallApp(view, TODAY, text), view


def _words(view: TrendView) -> str:
    return " ".join(view.text.split())


async def test_it_shows_limit_bands_points_and_dips(tmp_path: Path) -> None:
    app, view = _app(tmp_path)
    async with app.run_test(size=(80, 24)) as pilot:
        await settled(app, pilot)
        plotted = view.text.splitlines()[:13]
        assert any(line.startswith("0.30 % ═") for line in plotted)
        for sign in "░▓─│●▼":
            assert any(sign in line for line in plotted), sign
        assert "Rules: Example rules, as of 28 Nov 2026: check with your authority." in _words(view)
        assert PRETEST in _words(view)


@pytest.mark.slow
async def test_p_goes_through_the_positions_and_right_to_the_next_cohort(tmp_path: Path) -> None:
    app, view = _app(tmp_path)
    async with app.run_test(size=(80, 24)) as pilot:
        await settled(app, pilot)
        assert "CBD top" in view.text
        await pilot.press("p")
        await settled(app, pilot)
        assert "CBD middle" in view.text
        await pilot.press("right")
        await settled(app, pilot)
        assert "Provisional: 3 dates only" in _words(view)
        assert "CBD top" in view.text
        await pilot.press("right")
        await settled(app, pilot)
        assert "11 Apr 2027" in view.text


@pytest.mark.slow
async def test_the_position_stays_where_the_next_lot_has_it_and_left_goes_back(tmp_path: Path) -> None:
    path = trended_season(tmp_path, bags_of("A1", B), bags_of("B1", B, 50))
    plan = trended(bags_of("A1", B), bags_of("B1", B, 50), today=TODAY)
    view = TrendView(first_trend(plan, "P1"), "P1")
    app = SmallApp(view, TODAY, path.read_text(encoding="utf-8"))
    async with app.run_test(size=(80, 24)) as pilot:
        await settled(app, pilot)
        await pilot.press("left")
        await settled(app, pilot)
        assert view._lot == "B1"
        await pilot.press("p", "left")
        await settled(app, pilot)
        assert view._lot == "A1"
        assert "CBD middle" in view.text


@pytest.mark.slow
async def test_what_was_worked_out_for_a_season_that_has_changed_since_is_not_shown(tmp_path: Path) -> None:
    app, view = _app(tmp_path)
    async with app.run_test(size=(80, 24)) as pilot:
        await settled(app, pilot)
        before = trended(bags_of("A1", B), bags_of("B1", D, 50), today=TODAY)
        view._take(before, trend_of(before, "B1"))
        assert view._lot == "A1"
        assert app.plan is not None
        view._take(app.plan, trend_of(app.plan, "B1"))
        assert view._lot == "B1"


async def test_in_small_terminals_no_line_is_wider_than_the_screen(tmp_path: Path) -> None:
    app, view = _app(tmp_path)
    async with app.run_test(size=(60, 20)) as pilot:
        await settled(app, pilot)
        lines = view._body.text.splitlines()
        assert max(map(len, lines[:9])) <= 60
        assert "check with your authority" in " ".join(" ".join(lines[:17]).split())


async def test_a_cohort_without_results_has_a_guess_alone(tmp_path: Path) -> None:
    app, view = _app(tmp_path, "P1")
    async with app.run_test(size=(80, 24)) as pilot:
        await settled(app, pilot)
        assert "No trend yet: samples of 3 more dates are needed" in _words(view)
        await pilot.press("p")
        assert "There are no results yet." in _words(view)


@pytest.mark.slow
async def test_it_opens_from_the_cohort_and_from_the_season_view(tmp_path: Path) -> None:
    app = CalendarApp(open_season(_season(tmp_path)), TODAY, "Ana", lambda: datetime(2027, 4, 18, tzinfo=UTC))
    async with app.run_test(size=(80, 24)) as pilot:
        await settled(app, pilot)
        await pilot.press("R")
        await settled(app, pilot)
        assert isinstance(app.screen, TrendView)
        await pilot.press("escape", "enter")
        await settled(app, pilot)
        assert isinstance(app.screen, CohortView)
        await pilot.press("R")
        await settled(app, pilot)
        assert isinstance(app.screen, TrendView)
        assert "Limit 0.3 %" in app.screen.text
        plan = app.plan
        assert plan is not None
        assert trend_of(plan, "A1") is plan.trends["A1"]
