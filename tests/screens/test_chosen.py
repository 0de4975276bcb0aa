"""The terminal's own cursor stands at what is chosen, and what is chosen can be copied."""

from __future__ import annotations

from pathlib import Path

import pytest
from season_on_disk import TEXT, app_of, season
from settling import settled

from calendar_tui.screens.app import CalendarApp
from calendar_tui.screens.kit.drawing import Picker

__all__ = ["season"]
SECOND = """
[[cohort]]
id = "A2"
variety = "amber"
start = "seed"
place = "H2"
planned = { seeding = 2026-11-05, lights_off = 2027-01-20 }
"""


def _rows(app: CalendarApp) -> list[str]:
    return app.screen.text.splitlines()


async def test_the_terminals_cursor_follows_the_selected_cohort(tmp_path: Path) -> None:
    path = tmp_path / "two.toml"
    path.write_text(TEXT.replace("[[task]]", SECOND.strip() + "\n[[task]]"), encoding="utf-8")
    app = app_of(path)
    async with app.run_test(size=(80, 24)) as pilot:
        await settled(app, pilot)
        at = app.cursor_position
        assert _rows(app)[at.y][at.x :].startswith("A1 amber")
        await pilot.press("down")
        assert app.cursor_position == (at.x, at.y + 1)
        assert _rows(app)[at.y + 1][at.x :].startswith("A2 amber")


@pytest.mark.parametrize("key", ["w", "y", "v"])
async def test_the_terminals_cursor_follows_the_row_of_a_list(season: Path, key: str) -> None:
    app = app_of(season)
    async with app.run_test(size=(80, 24)) as pilot:
        await settled(app, pilot)
        await pilot.press(key)
        await settled(app, pilot)
        await pilot.press("down")
        await settled(app, pilot)
        picker = app.screen.query_one(Picker)
        drawn = picker.render_line(app.cursor_position.y - picker.region.y).text
        assert drawn.startswith("> ")
        assert app.cursor_position.x == picker.region.x + 2


async def test_the_terminals_cursor_stands_in_the_field_that_is_typed_in(season: Path) -> None:
    app = app_of(season)
    async with app.run_test(size=(80, 24)) as pilot:
        await settled(app, pilot)
        await pilot.press("r")
        await settled(app, pilot)
        field = app.screen.focused
        before = app.cursor_position
        await pilot.press("8")
        assert app.cursor_position == field.cursor_screen_offset
        assert app.cursor_position.y == before.y == field.region.y


def _copied(app: CalendarApp) -> str:
    return app.clipboard


async def test_the_selected_cohorts_dates_are_copied_and_so_is_said(season: Path) -> None:
    app = app_of(season)
    async with app.run_test(size=(80, 24)) as pilot:
        await settled(app, pilot)
        await pilot.press("Y")
        await pilot.pause()
        lines = _copied(app).splitlines()
        assert lines[0].startswith("A1  amber, 22 plants from seed, H2")
        assert any("Sun 20 Dec 2026" in line for line in lines)
        assert app.messages == (
            f'Copied "A1 amber, 22 plants from seed, H2" and {len(lines) - 1} lines more, where the terminal lets programs copy.',
        )


async def test_the_row_of_a_list_is_copied_without_the_marks_of_the_cursor(season: Path) -> None:
    app = app_of(season)
    async with app.run_test(size=(80, 24)) as pilot:
        await settled(app, pilot)
        await pilot.press("w", "Y")
        await settled(app, pilot)
        assert _copied(app).startswith("hoe1 [ ] A1")


@pytest.mark.slow
async def test_a_page_is_copied_whole(season: Path) -> None:
    app = app_of(season)
    async with app.run_test(size=(80, 24)) as pilot:
        await settled(app, pilot)
        app.notify("30 plants")
        await pilot.press("ctrl+o")
        await settled(app, pilot)
        await pilot.press("Y")
        await pilot.pause()
        assert _copied(app).splitlines()[0].startswith("Messages since")
        assert _copied(app).endswith("30 plants")


@pytest.mark.slow
async def test_a_letter_that_is_typed_copies_nothing(season: Path) -> None:
    app = app_of(season)
    async with app.run_test(size=(80, 24)) as pilot:
        await settled(app, pilot)
        await pilot.press("r")
        await settled(app, pilot)
        await pilot.press("Y")
        assert _copied(app) == ""
        assert app.screen.focused.value == "Y"
