"""Next year's season made on the full screen: from the farm, and on the first screen; shown before anything is written."""

from __future__ import annotations

from collections.abc import Callable
from datetime import UTC, datetime
from pathlib import Path

import pytest
from first_use import EXAMPLE, Made, app_of, made
from season_on_disk import TEXT, TODAY
from settling import settled

from calendar_tui.screens.app import CalendarApp
from calendar_tui.screens.asking.next_season_view import NextSeasonView
from calendar_tui.screens.farm.view import FarmView
from calendar_tui.screens.kit.notices import WORKING
from calendar_tui.screens.start_app import StartApp
from calendar_tui.screens.starting.choice import HERE, Chosen, Offer
from calendar_tui.screens.starting.first_view import FirstView
from calendar_tui.storage.opening import need_season, open_season

__all__ = ["app_of", "made"]
NEW = "two-rivers-2027-28.toml"


@pytest.fixture
def season(tmp_path: Path) -> Path:
    path = tmp_path / "two.toml"
    path.write_text(TEXT, encoding="utf-8")
    return path


def opened(path: Path) -> CalendarApp:
    return CalendarApp(open_season(path), TODAY, "ana", lambda: datetime(2026, 12, 8, tzinfo=UTC))


async def test_from_the_farm_it_is_shown_and_made_beside_the_season(season: Path) -> None:
    app, before = opened(season), season.read_bytes()
    async with app.run_test(size=(80, 24)) as pilot:
        await settled(app, pilot)
        await pilot.press("f")
        await settled(app, pilot)
        await pilot.press("n")
        view = await settled(app, pilot)
        assert isinstance(view, NextSeasonView)
        assert f"Make {NEW} of two.toml?" in view.text
        assert [note.text for note in app.notices.kept] == [WORKING]
        assert "Nothing is written yet." in view.text
        assert "A1: seeding Tue 5 Oct 2027, lights off Mon 20 Dec 2027" in view.text
        assert 'of your own, which no chore makes: "Hoe" 8 Dec 2026' in " ".join(view.text.split())
        await pilot.press("n")
        assert isinstance(await settled(app, pilot), FarmView)
        assert not (season.parent / NEW).exists()
        await pilot.press("n")
        await settled(app, pilot)
        await pilot.press("y")
        assert isinstance(await settled(app, pilot), FarmView)
    assert need_season(season.parent / NEW)[1].name == "Two Rivers 2027-28"
    assert season.read_bytes() == before


async def test_a_file_that_is_there_is_told_and_nothing_is_asked(season: Path) -> None:
    (season.parent / NEW).write_text("mine")
    app = opened(season)
    async with app.run_test(size=(80, 24)) as pilot:
        await settled(app, pilot)
        await pilot.press("f")
        await settled(app, pilot)
        await pilot.press("n")
        assert isinstance(await settled(app, pilot), FarmView)
        assert any("is there already" in note.text for note in app.notices.kept)
    assert (season.parent / NEW).read_text() == "mine"


async def test_a_file_that_came_meanwhile_is_left_alone_and_the_page_stays(season: Path) -> None:
    app = opened(season)
    async with app.run_test(size=(80, 24)) as pilot:
        await settled(app, pilot)
        await pilot.press("f")
        await settled(app, pilot)
        await pilot.press("n")
        await settled(app, pilot)
        (season.parent / NEW).write_text("theirs")
        await pilot.press("y")
        assert isinstance(await settled(app, pilot), NextSeasonView)
    assert (season.parent / NEW).read_text() == "theirs"


async def test_on_the_first_screen_it_is_made_and_opened(
    app_of: Callable[..., StartApp], season: Path
) -> None:
    app = app_of(EXAMPLE, Offer(season, "Two Rivers", "two.toml", HERE))
    async with app.run_test(size=(80, 24)) as pilot:
        await settled(app, pilot)
        assert isinstance(app.screen, FirstView)
        await pilot.press("n")
        view = await settled(app, pilot)
        assert isinstance(view, NextSeasonView)
        await pilot.press("y")
        await settled(app, pilot)
    assert app.return_value == Chosen(season.parent / NEW, False)
    assert need_season(season.parent / NEW)[1].cohorts.keys() == {"A1"}


async def test_of_an_example_none_is_made(app_of: Callable[..., StartApp], made: Made) -> None:
    app = app_of(EXAMPLE)
    async with app.run_test(size=(80, 24)) as pilot:
        await pilot.press("down", "n")
        assert isinstance(await settled(app, pilot), FirstView)
    assert made == []
