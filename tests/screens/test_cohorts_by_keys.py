"""Cohorts added, changed and taken out from the season view, counted in keys, on a file."""

from __future__ import annotations

from datetime import date
from pathlib import Path
from typing import Any

import pytest
import tomli
from season_on_disk import app_of, season
from settling import settled

from calendar_tui.screens.forms.add_view import AddView, KindsView
from calendar_tui.screens.forms.form_view import FormView
from calendar_tui.screens.season.view import SeasonView

__all__ = ["season"]


async def _pressed(app: Any, pilot: Any, *keys: str) -> int:
    """Press the keys one after the other, each once all rests; gives how many."""
    for key in keys:
        await pilot.press(key)
        await settled(app, pilot)
    return len(keys)


def _cohorts(path: Path) -> dict[str, Any]:
    return {c["id"]: c for c in tomli.loads(path.read_text(encoding="utf-8")).get("cohort", ())}


@pytest.mark.slow
async def test_a_cohort_like_this_one_at_the_next_fortnight_to_come_takes_at_most_six_keys(
    season: Path,
) -> None:
    app = app_of(season)
    async with app.run_test(size=(80, 24)) as pilot:
        await settled(app, pilot)
        assert await _pressed(app, pilot, "a", "ctrl+s", "enter") <= 6
        assert isinstance(app.screen, SeasonView)
        made = _cohorts(season)["A2"]
        assert made["planned"]["seeding"] == date(2026, 12, 14)
        assert "cohort A2 added" in " ".join(app.messages)


@pytest.mark.slow
async def test_one_ten_days_later_takes_six_keys_too(season: Path) -> None:
    app = app_of(season)
    async with app.run_test(size=(80, 24)) as pilot:
        await settled(app, pilot)
        assert await _pressed(app, pilot, "a", "down", "9", "ctrl+s", "enter") <= 6
        assert _cohorts(season)["A2"]["planned"]["seeding"] == date(2026, 10, 14)


@pytest.mark.slow
async def test_the_plants_of_a_cohort_are_changed_from_its_row(season: Path) -> None:
    app = app_of(season)
    async with app.run_test(size=(80, 24)) as pilot:
        await settled(app, pilot)
        await _pressed(app, pilot, "e")
        while app.screen.field != "plants":
            await pilot.press("down")
        await _pressed(app, pilot, "9", "0", "ctrl+s", "enter")
        assert _cohorts(season)["A1"]["plants"] == 90


async def test_a_cohort_is_taken_out_after_a_look_at_what_goes_and_comes_back_with_undo(season: Path) -> None:
    app = app_of(season)
    async with app.run_test(size=(80, 24)) as pilot:
        await settled(app, pilot)
        await _pressed(app, pilot, "x")
        assert "A1 taken out" in app.screen.text
        assert "Hoe" in app.screen.text
        assert "A1" in _cohorts(season)
        await _pressed(app, pilot, "enter")
        assert _cohorts(season) == {}
        await _pressed(app, pilot, "u")
        assert "A1" in _cohorts(season)


async def test_a_cohort_that_something_stands_on_stays_and_why_is_told(season: Path) -> None:
    bag = '[[sample]]\nid = "ZETNVM"\ncohort = "A1"\ndate = 2026-12-01\nposition = "top"\nplants = 5\n'
    season.write_text(season.read_text(encoding="utf-8") + bag, encoding="utf-8")
    app = app_of(season)
    async with app.run_test(size=(80, 24)) as pilot:
        await settled(app, pilot)
        await _pressed(app, pilot, "x")
        assert isinstance(app.screen, SeasonView)
        assert "Sample ZETNVM names A1, so it stays; name another cohort there" in app.messages[-1]
        assert "A1" in _cohorts(season)


async def test_where_nothing_is_to_be_copied_a_asks_for_a_new_cohort(season: Path) -> None:
    app = app_of(season)
    async with app.run_test(size=(80, 24)) as pilot:
        await settled(app, pilot)
        await _pressed(app, pilot, "x", "enter", "a")
        assert isinstance(app.screen, AddView)
        assert "Add a cohort" in app.screen.text
        assert app.screen.value("id") == ""


@pytest.mark.slow
async def test_from_a_new_cohort_the_way_leads_to_a_stay_of_the_selected_one(season: Path) -> None:
    season.write_text(season.read_text() + '[[place]]\nid = "F1"\nkind = "field"\n')
    app = app_of(season)
    async with app.run_test(size=(80, 24)) as pilot:
        await settled(app, pilot)
        await _pressed(app, pilot, "a", "ctrl+t")
        kinds = app.screen
        assert isinstance(kinds, KindsView)
        while kinds._list.key != "stay":
            await _pressed(app, pilot, "down")
        await _pressed(app, pilot, "enter")
        form = app.screen
        assert isinstance(form, FormView)
        assert (form.field, form.value("cohort")) == ("cohort", "A1")
        await _pressed(app, pilot, "ctrl+s")
        assert isinstance(app.screen, FormView)
        for words, text in (("place", "F1"), ("from", "20 dec")):
            while form.field != words:
                await _pressed(app, pilot, "down")
            await pilot.press(*("space" if c == " " else c for c in text))
        await _pressed(app, pilot, "ctrl+s")
        assert "Nothing is saved yet." in app.screen.text
        await _pressed(app, pilot, "enter")
        assert _cohorts(season)["A1"]["stays"][-1] == {"place": "F1", "from": date(2026, 12, 20)}


@pytest.mark.slow
async def test_from_a_new_cohort_the_way_leads_to_a_new_variety(season: Path) -> None:
    app = app_of(season)
    async with app.run_test(size=(80, 24)) as pilot:
        await settled(app, pilot)
        await _pressed(app, pilot, "a", "ctrl+t", "down", "down", "down", "enter")
        assert "Add a variety" in app.screen.text
        await _pressed(app, pilot, *"cedar", "ctrl+s", "enter")
        data = tomli.loads(season.read_text(encoding="utf-8"))
        assert [v["id"] for v in data["variety"]] == ["amber", "cedar"]
