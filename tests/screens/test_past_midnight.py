"""The full screen left open past midnight at the site: today moves on. The clock is handed in; nothing here waits for one."""

from __future__ import annotations

from collections.abc import Callable
from datetime import UTC, date, datetime
from pathlib import Path

import pytest
from season_on_disk import TEXT, opened
from settling import settled
from textual.pilot import Pilot

from calendar_tui.screens.app import CalendarApp
from calendar_tui.screens.asking.record_view import RecordView
from calendar_tui.screens.season.view import SeasonView
from calendar_tui.screens.week.view import WeekView
from calendar_tui.storage.opening import open_season

EVENING, MORNING = date(2026, 12, 8), date(2026, 12, 9)


class SiteClock:
    """A clock that is put forward by hand; zones: in which it was read."""

    def __init__(self) -> None:
        self.day, self.zones = EVENING, set[str]()

    def __call__(self, timezone: str) -> date:
        self.zones.add(timezone)
        return self.day


@pytest.fixture
def season(tmp_path: Path) -> Path:
    path = tmp_path / "two.toml"
    path.write_text(TEXT, encoding="utf-8")
    return path


def _app(season: Path, clock: Callable[[str], date] | None) -> CalendarApp:
    return CalendarApp(
        open_season(season),
        EVENING,
        "Cleo",
        lambda: datetime(2026, 12, 9, 12, tzinfo=UTC),
        day_at_site=clock,
    )


async def _looked(app: CalendarApp, pilot: Pilot[None]) -> None:
    app.look()
    await settled(app, pilot)


def _quiet(app: CalendarApp) -> None:
    app.clear_notifications()


async def test_past_midnight_today_moves_on_and_that_is_told_once(season: Path) -> None:
    clock = SiteClock()
    app = _app(season, clock)
    async with app.run_test(size=(80, 24)) as pilot:
        await settled(app, pilot)
        await _looked(app, pilot)
        _quiet(app)
        assert isinstance(app.screen, SeasonView)
        assert "Two Rivers  Tue 8 Dec 2026" in app.screen.text
        clock.day = MORNING
        await _looked(app, pilot)
        await _looked(app, pilot)
        assert (app.today, app.plan and app.plan.today) == (MORNING, MORNING)
        assert "Wed 9 Dec 2026" in app.screen.text
        assert app.screen.cursor == MORNING
        assert app.messages == ("It is Wed 9 Dec 2026 now: that is today from here on.",)
        assert clock.zones == {"America/Montevideo"}


async def test_a_cursor_put_elsewhere_stays_there_past_midnight(season: Path) -> None:
    clock = SiteClock()
    app = _app(season, clock)
    async with app.run_test(size=(80, 24)) as pilot:
        await pilot.press("home")
        clock.day = MORNING
        await _looked(app, pilot)
        assert isinstance(app.screen, SeasonView)
        assert app.screen.cursor == date(2026, 9, 15)


async def test_a_tick_past_midnight_is_done_on_the_new_day(season: Path) -> None:
    clock = SiteClock()
    app = _app(season, clock)
    async with app.run_test(size=(80, 24)) as pilot:
        await pilot.press("w")
        clock.day = MORNING
        await _looked(app, pilot)
        assert isinstance(app.screen, WeekView)
        await pilot.press("space")
        await settled(app, pilot)
    assert "done_on = 2026-12-09" in season.read_text()


@pytest.mark.parametrize("typed", ["", "today"])
async def test_a_record_of_today_past_midnight_is_of_the_new_day(season: Path, typed: str) -> None:
    clock = SiteClock()
    app = _app(season, clock)
    async with app.run_test(size=(80, 24)) as pilot:
        await pilot.press("r")
        assert isinstance(app.screen, RecordView)
        if typed:
            app.screen._input.value = typed
        clock.day = MORNING
        await _looked(app, pilot)
        await pilot.press("enter")
        await settled(app, pilot)
        await pilot.press("enter")
        await settled(app, pilot)
    assert "seeding = 2026-12-09" in season.read_text()


async def test_a_date_typed_before_midnight_stays_as_typed(season: Path) -> None:
    clock = SiteClock()
    app = _app(season, clock)
    async with app.run_test(size=(80, 24)) as pilot:
        await pilot.press("r")
        assert isinstance(app.screen, RecordView)
        app.screen._input.value = "2026-12-07"
        clock.day = MORNING
        await _looked(app, pilot)
        assert app.screen._input.value == "2026-12-07"


async def test_a_day_set_by_hand_stays(season: Path) -> None:
    app = _app(season, None)
    async with app.run_test(size=(80, 24)) as pilot:
        await settled(app, pilot)
        _quiet(app)
        await _looked(app, pilot)
        assert (app.today, app.messages) == (EVENING, ())


async def test_the_season_as_it_was_keeps_its_day_and_the_way_back_leads_to_the_new_one(
    season: Path,
) -> None:
    clock = SiteClock()
    app = _app(season, clock)
    async with app.run_test(size=(80, 24)) as pilot:
        await pilot.press("w", "space")
        await settled(app, pilot)
        await pilot.press("escape")
        await opened(app, pilot)
        await pilot.press("a")
        await settled(app, pilot)
        then = app.today
        assert app.past is not None
        clock.day = MORNING
        await _looked(app, pilot)
        assert app.today == then
        await pilot.press("escape")
        await settled(app, pilot)
        assert (app.past, app.today, app.plan and app.plan.today) == (None, MORNING, MORNING)
