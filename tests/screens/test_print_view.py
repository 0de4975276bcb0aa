"""Printing from the screen: the week's sheet and the wall's page, counted in the keys that it takes."""

from __future__ import annotations

import asyncio
from collections.abc import Callable
from pathlib import Path

import pytest
from season_on_disk import TEXT, app_of
from settling import settled

from calendar_tui.cli import main
from calendar_tui.screens.app import CalendarApp
from calendar_tui.screens.pages.print_view import PrintView

MOST_KEYS = 4
WEEK, NEXT_WEEK, WALL = "two-week-2026-12-07.html", "two-week-2026-12-14.html", "two-wall.html"
REPORT = "two-report.html"


@pytest.fixture
def season(tmp_path: Path) -> Path:
    path = tmp_path / "two.toml"
    path.write_text(TEXT, encoding="utf-8")
    return path


def pressed(season: Path, *keys: str, then: Callable[[CalendarApp], None] = lambda app: None) -> CalendarApp:
    """The app after these keys, each let come to rest."""
    app: CalendarApp = app_of(season)

    async def go() -> None:
        async with app.run_test(size=(80, 24)) as pilot:
            await settled(app, pilot)
            for key in keys:
                await pilot.press(key)
                await settled(app, pilot)
            then(app)

    asyncio.run(go())
    return app


def as_exported(season: Path, *flags: str) -> bytes:
    """What the command writes."""
    target = season.with_name("exported.html")
    assert main(["export", str(season), *flags, str(target), "--today", "2026-12-08", "--yes"]) == 0
    content = target.read_bytes()
    target.unlink()
    return content


@pytest.mark.parametrize("keys", [("P", "enter"), ("w", "P", "enter"), ("t", "P", "enter")], ids=" ".join)
def test_print_the_week(season: Path, keys: tuple[str, ...]) -> None:
    assert len(keys) <= MOST_KEYS
    app = pressed(season, *keys)
    assert season.with_name(WEEK).read_bytes() == as_exported(season, "--sheet")
    assert app.messages == (f"Written: {WEEK}, beside the season; open it in a browser to print it.",)


def test_print_the_season_for_the_wall(season: Path) -> None:
    pressed(season, "P", "down", "enter")
    assert season.with_name(WALL).read_bytes() == as_exported(season, "--wall")
    assert not season.with_name(WEEK).exists()


def test_print_what_was_found(season: Path) -> None:
    pressed(season, "P", "down", "down", "enter")
    found = season.with_name(REPORT)
    target = season.with_name("reported.html")
    assert main(["report", str(season), "--html", str(target), "--today", "2026-12-08"]) == 0
    assert found.read_bytes() == target.read_bytes()


def test_write_a_table_for_a_spreadsheet(season: Path) -> None:
    app = pressed(season, "P", "down", "down", "down", "enter")
    written = season.with_name("two-cohorts.csv")
    target = season.with_name("exported.csv")
    assert main(["export", str(season), "--cohorts", str(target), "--today", "2026-12-08"]) == 0
    assert written.read_bytes() == target.read_bytes()
    assert app.messages == ("Written: two-cohorts.csv, beside the season; I takes it in again.",)


def test_print_the_week_that_is_shown(season: Path) -> None:
    pressed(season, "w", "right", "P", "enter")
    assert season.with_name(NEXT_WEEK).read_bytes() == as_exported(season, "--week=2026-12-14", "--sheet")


def test_print_on_other_paper(season: Path) -> None:
    pressed(season, "P", "p", "enter")
    assert season.with_name(WEEK).read_bytes() == as_exported(season, "--paper=us", "--sheet")


def test_a_page_that_is_there_is_written_over_when_enter_is_pressed_again(season: Path) -> None:
    there = season.with_name(WEEK)
    there.write_text("mine", encoding="utf-8")

    def refused(app: CalendarApp) -> None:
        assert f"{there.name} is there already" in " ".join(app.screen.text.split())  # type: ignore[attr-defined]

    pressed(season, "P", "enter", then=refused)
    assert there.read_text(encoding="utf-8") == "mine"
    keys = ("P", "enter", "enter")
    assert len(keys) <= MOST_KEYS
    pressed(season, *keys)
    assert there.read_bytes() == as_exported(season, "--sheet")


def test_print_into_another_folder(season: Path) -> None:
    folder = season.parent / "a"
    folder.mkdir()
    app = pressed(season, "P", "tab", "slash", "a", "enter")
    assert app.messages == (f"Written: {folder / WEEK}; open it in a browser to print it.",)
    assert (folder / WEEK).read_bytes() == as_exported(season, "--sheet")


def test_a_folder_that_is_not_there_is_named_and_nothing_is_written(season: Path) -> None:
    def refused(app: CalendarApp) -> None:
        assert isinstance(app.screen, PrintView)
        assert "there is no folder" in " ".join(app.screen.text.split())

    pressed(season, "P", "tab", "slash", "b", "enter", then=refused)
    assert [path.name for path in season.parent.glob("**/*.html")] == []


def test_a_season_without_tasks_has_no_page_for_the_week(season: Path) -> None:
    season.write_text(TEXT[: TEXT.index("[[task]]")], encoding="utf-8")

    def shown(app: CalendarApp) -> None:
        assert "The season, for the wall" in app.screen.text  # type: ignore[attr-defined]
        assert "Work of the week" not in app.screen.text  # type: ignore[attr-defined]

    pressed(season, "P", then=shown)
    pressed(season, "P", "enter")
    assert season.with_name(WALL).exists()


def test_esc_writes_nothing(season: Path) -> None:
    pressed(season, "P", "escape")
    assert list(season.parent.glob("*.html")) == []
