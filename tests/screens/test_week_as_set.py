"""The week as a person has set it: the day with which it begins, and whose work it shows first."""

from __future__ import annotations

from pathlib import Path

import pytest
from season_on_disk import TEXT, app_of
from settling import settled

from calendar_tui.screens.kit.preferences import Preferences

MORE = """\
[[task]]
id = "sun1"
date = 2026-12-06
what = "Water by hand"
who = "Cleo"
[[task]]
id = "sun2"
date = 2026-12-13
what = "Water again"
who = "Cleo"
"""


@pytest.fixture
def season(tmp_path: Path) -> Path:
    path = tmp_path / "two.toml"
    path.write_text(TEXT + MORE, encoding="utf-8")
    return path


async def test_a_week_that_begins_on_sunday_has_last_sundays_work_and_not_the_next_ones(season: Path) -> None:
    app = app_of(season, preferences=Preferences(first_weekday=6))
    async with app.run_test(size=(80, 24)) as pilot:
        await settled(app, pilot)
        await pilot.press("w")
        view = await settled(app, pilot)
        assert view.text.startswith("Week of Sun 6 Dec 2026  this week")
        assert [task.id for task in view.shown_tasks] == ["sun1", "hoe1"]
        await pilot.press("right")
        assert view.text.startswith("Week of Sun 13 Dec 2026  next week")
        assert [task.id for task in view.shown_tasks] == ["sun2"]


async def test_ones_own_work_is_shown_first_as_the_heading_says_and_esc_shows_all(season: Path) -> None:
    app = app_of(season, preferences=Preferences(role="Cleo"))
    async with app.run_test(size=(80, 24)) as pilot:
        await settled(app, pilot)
        await pilot.press("w")
        view = await settled(app, pilot)
        assert "only: Cleo" in view.text.splitlines()[0]
        assert [task.id for task in view.shown_tasks] == ["sun1", "sun2"]
        await pilot.press("escape")
        assert await settled(app, pilot) is view
        assert "hoe1" in {task.id for task in view.shown_tasks}
