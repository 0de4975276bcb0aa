"""After something is added or renamed the cursor stands on it, so that the next key is for it."""

from __future__ import annotations

from pathlib import Path
from typing import Any

import pytest
from season_on_disk import app_of, season
from settling import settled

from calendar_tui.screens.farm.view import FarmView
from calendar_tui.screens.season.view import SeasonView

__all__ = ["season"]


async def _pressed(app: Any, pilot: Any, *keys: str) -> None:
    for key in keys:
        await pilot.press(key)
        await settled(app, pilot)


async def test_after_a_cohort_is_added_the_cursor_is_on_the_new_one(season: Path) -> None:
    app = app_of(season)
    async with app.run_test(size=(80, 24)) as pilot:
        await settled(app, pilot)
        await _pressed(app, pilot, "a", "Z", "9", "ctrl+s", "enter")
        assert isinstance(app.screen, SeasonView)
        assert app.screen.cohort_id == "Z9"


async def test_after_several_copies_the_cursor_is_on_the_first_of_them(season: Path) -> None:
    app = app_of(season)
    async with app.run_test(size=(80, 24)) as pilot:
        await settled(app, pilot)
        await _pressed(app, pilot, "a", "down", "down", "3", "ctrl+s", "enter")
        assert app.screen.cohort_id == "A2"


@pytest.mark.slow
async def test_after_a_cohort_is_renamed_the_cursor_is_on_its_new_name(season: Path) -> None:
    app = app_of(season)
    async with app.run_test(size=(80, 24)) as pilot:
        await settled(app, pilot)
        await _pressed(app, pilot, "a", "ctrl+s", "enter", "home", "e")
        assert "A2" in app.screen.text
        await _pressed(app, pilot, "B", "9", "ctrl+s", "enter")
        assert app.screen.cohort_id == "B9"


async def test_words_that_would_hide_the_new_cohort_are_taken_off(season: Path) -> None:
    app = app_of(season)
    async with app.run_test(size=(80, 24)) as pilot:
        await settled(app, pilot)
        await _pressed(app, pilot, "slash", "A", "1", "enter", "a", "Z", "9", "ctrl+s", "enter")
        assert app.screen.cohort_id == "Z9"


@pytest.mark.slow
async def test_after_a_place_is_added_or_renamed_the_farm_cursor_is_on_it(season: Path) -> None:
    app = app_of(season)
    async with app.run_test(size=(80, 24)) as pilot:
        await settled(app, pilot)
        await _pressed(app, pilot, "f", "a", "A", "9", "down", *"field", "ctrl+s", "enter")
        assert isinstance(app.screen, FarmView)
        assert app.screen.selected.ident == ("A9",)
        await _pressed(app, pilot, "e", "Z", "9", "ctrl+s", "enter")
        assert app.screen.selected.ident == ("Z9",)
