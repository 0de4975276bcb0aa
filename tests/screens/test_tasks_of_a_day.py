"""What a grower does of a morning, counted in keys: from the season view on where no other is named."""

from __future__ import annotations

import tomllib
from datetime import UTC, date, datetime
from pathlib import Path

import pytest
from settling import settled

from calendar_tui.screens.app import CalendarApp
from calendar_tui.screens.season.view import SeasonView
from calendar_tui.storage.finding import example_files
from calendar_tui.storage.opening import open_season
from tests.season_data import without_crop

TODAY = date(2026, 12, 8)
(EXAMPLE,) = (file for file in example_files() if file.stem == "two-rivers")


@pytest.fixture
def season(tmp_path: Path) -> Path:
    path = tmp_path / "two.toml"
    path.write_text(without_crop(EXAMPLE.read_text(encoding="utf-8")), encoding="utf-8")
    return path


def app_of(season: Path) -> CalendarApp:
    return CalendarApp(open_season(season), TODAY, "Ana", lambda: datetime(2026, 12, 8, 9, tzinfo=UTC))


def data_of(season: Path) -> dict:
    return tomllib.loads(season.read_text(encoding="utf-8"))


def cohort_of(season: Path, name: str) -> dict:
    return next(c for c in data_of(season)["cohort"] if c["id"] == name)


async def pressed(app: CalendarApp, pilot, keys: list[str]) -> None:
    for key in keys:
        await pilot.press(key)
        await settled(app, pilot)


async def test_a_late_transplant_is_recorded_in_six_keys_with_all_it_moves_shown_first(season: Path) -> None:
    app = app_of(season)
    async with app.run_test(size=(80, 24)) as pilot:
        await settled(app, pilot)
        before = season.read_bytes()
        keys = ["t", "enter", "enter"]
        await pressed(app, pilot, keys)
        assert "nothing is saved yet" in app.screen.text
        assert season.read_bytes() == before
        keys += ["enter"]
        await pressed(app, pilot, ["enter"])
        assert len(keys) <= 6
        assert cohort_of(season, "A3")["recorded"]["transplant"] == TODAY
    assert b"A3" in before


async def test_three_nights_without_lamps_are_recorded_in_twelve_keys(season: Path) -> None:
    app = app_of(season)
    async with app.run_test(size=(80, 24)) as pilot:
        await settled(app, pilot)
        keys = [*["down"] * 4, "o", "minus", "3", "tab", "minus", "1", "enter", "enter"]
        await pressed(app, pilot, keys)
        assert len(keys) <= 12
        assert isinstance(app.screen, SeasonView)
        (outage,) = data_of(season)["outage"]
        assert outage == {"place": "H3", "from": date(2026, 12, 5), "to": date(2026, 12, 7)}


async def test_why_a_date_is_what_it_is_takes_two_keys(season: Path) -> None:
    app = app_of(season)
    async with app.run_test(size=(80, 24)) as pilot:
        await settled(app, pilot)
        await pressed(app, pilot, ["enter"])
        words = " ".join(app.screen.text.split())
        assert "flowering + 45 d" in words
        await pressed(app, pilot, ["d"])
        assert "The range of 8 d" in app.screen.text


@pytest.mark.slow
async def test_a_task_is_ticked_as_done_yesterday_in_five_keys_from_its_row(season: Path) -> None:
    app = app_of(season)
    async with app.run_test(size=(80, 24)) as pilot:
        await settled(app, pilot)
        await pressed(app, pilot, ["w"])
        while app.screen._list.key != "gcsp":
            await pilot.press("down")
        keys = ["o", *"mon", "enter"]
        await pressed(app, pilot, keys)
        assert len(keys) <= 5
        tasks = {task["id"]: task for task in data_of(season)["records"]["task"]}
        assert tasks["gcsp"]["done_on"] == date(2026, 12, 7)
