"""Where a season was left is kept when the full screen is left, and handed to it the next time."""

from __future__ import annotations

import argparse
import sys
from collections.abc import Callable
from datetime import date
from pathlib import Path
from types import ModuleType
from typing import Any

import pytest
from small_season import run

from calendar_tui.commands import opening
from calendar_tui.commands.examples import SeasonChoice
from calendar_tui.commands.table import COMMANDS
from calendar_tui.screens.kit.preferences import Preferences
from calendar_tui.screens.opening_views import AT_START
from calendar_tui.screens.season.bookmark import AT_FIRST, Bookmark
from calendar_tui.storage.finding import example_files
from calendar_tui.storage.own import bookmarks
from calendar_tui.storage.own.settings_file import read_own

LEFT = Bookmark("load", date(2026, 12, 10), "A3", "weeks")


@pytest.fixture
def began(monkeypatch: pytest.MonkeyPatch, tmp_path: Path) -> list[Bookmark]:
    """Where each opening of the full screen began; it is always left in the same place."""
    starts: list[Bookmark] = []

    def show(*_: Any, bookmark: Bookmark, keep: Callable[[Bookmark], None], **__: Any) -> int:
        starts.append(bookmark)
        keep(LEFT)
        return 0

    start = ModuleType("calendar_tui.screens.start")
    start.run = show  # type: ignore[attr-defined]
    monkeypatch.setitem(sys.modules, "calendar_tui.screens.start", start)
    monkeypatch.setattr(opening, "at_terminal", lambda: True)
    monkeypatch.setattr(opening, "_moves_cursor", lambda kind: True)
    monkeypatch.setattr(bookmarks, "bookmarks_file", lambda: tmp_path / "own" / "left.json")
    monkeypatch.setenv("TERM", "xterm")
    return starts


@pytest.fixture
def season(tmp_path: Path) -> Path:
    (example,) = (file for file in example_files() if file.stem == "two-rivers")
    path = tmp_path / "two.toml"
    path.write_bytes(example.read_bytes())
    return path


def test_a_season_begins_where_it_was_left_by_whichever_way_it_is_named(
    season: Path, began: list[Bookmark], monkeypatch: pytest.MonkeyPatch
) -> None:
    assert run(season).status == 0
    monkeypatch.chdir(season.parent)
    assert run("./two.toml").status == 0
    assert began == [AT_FIRST, LEFT]


def test_fresh_begins_as_at_first_and_a_view_may_be_asked_for(season: Path, began: list[Bookmark]) -> None:
    run(season)
    run(season, "--fresh")
    run(season, "--view", "today")
    run(season, "--fresh", "--view", "week")
    assert began[1:] == [AT_FIRST, LEFT._replace(view="today"), Bookmark(view="week")]


def test_a_view_that_is_none_is_refused_with_those_there_are(season: Path, began: list[Bookmark]) -> None:
    ran = run(season, "--view", "tomorrow")
    assert ran.status == 2
    assert "tomorrow" in ran.err
    assert "load" in ran.err
    assert began == []


def test_the_season_as_it_was_is_no_place_to_come_back_to(season: Path, began: list[Bookmark]) -> None:
    run(season)
    assert run(season, "--at", "2027-01-01").status == 0
    assert began == [AT_FIRST, AT_FIRST]
    (season.parent / "own" / "left.json").unlink()
    run(season, "--at", "2027-01-01")
    assert not (season.parent / "own" / "left.json").exists()


def test_an_example_is_opened_as_a_copy_that_is_made_anew_each_time_and_nothing_of_it_is_kept(
    season: Path, began: list[Bookmark]
) -> None:
    args = argparse.Namespace(
        fresh=False, view=None, today=None, at=None, ascii=True, no_mouse=False, theme=None, json=False
    )
    own = read_own(season.parent / "none.toml")
    choice = SeasonChoice(season, "example copy", LEFT.cursor)
    assert opening._show(args, own, Preferences(), choice) == 0
    assert not (season.parent / "own").exists()


def test_where_nothing_can_be_kept_it_is_told_and_the_program_ends_as_it_would(
    season: Path, began: list[Bookmark]
) -> None:
    (season.parent / "own").write_text("a file, no folder", encoding="utf-8")
    ran = run(season)
    assert ran.status == 0
    assert ran.err.startswith("Where you left is not kept: ")
    assert began == [AT_FIRST]


def test_the_views_that_may_be_asked_for_are_those_the_program_can_open_with() -> None:
    assert COMMANDS[""].flags["--view"]["choices"] == ("season", *AT_START)
