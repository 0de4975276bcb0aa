"""The form in which a weather file is taken in: what it was taken for, what it asks, what moves, one change."""

from __future__ import annotations

import threading
from datetime import date
from pathlib import Path

import pytest
from season_on_disk import app_of
from settling import settled

from calendar_tui.planning.changes.held_season import HeldSeason
from calendar_tui.planning.plan import make_plan
from calendar_tui.screens.farm import weather_form
from calendar_tui.screens.farm.weather_form import WeatherView
from calendar_tui.screens.forms.blank import Filled, filled
from calendar_tui.storage.opening import need_season
from calendar_tui.storage.table_file import weather_file_text

SEASON = """
format = 3
[season]
name = "A farm"
first_day = 2026-03-01
last_day = 2026-11-30
[site]
latitude = 44.0
longitude = -80.0
timezone = "America/Toronto"
monthly_low_c = [10, 10, 10, 10, 10, 10, 10, 10, 10, 10, 10, 10]
monthly_high_c = [20, 20, 20, 20, 20, 20, 20, 20, 20, 20, 20, 20]
[heat]
"""
CDO = "STATION,NAME,DATE,TMAX,TMIN\nX1,A,2026-04-01,70,50\nX2,B,2026-04-01,60,40\n"


def form(folder: Path, **typed: str) -> tuple[Filled, list[str]]:
    """What comes of the form as it is typed in, and its lines."""
    path = folder / "season.toml"
    path.write_text(SEASON)
    opened, season = need_season(path)
    held = HeldSeason(make_plan(season, date(2026, 5, 1)), opened.data, "", opened.reading)
    blank = WeatherView(folder)._blank
    words = {key.replace("_", " "): text for key, text in typed.items()}
    made = filled(blank, held, words)
    return made, [field.words for field in blank.fields(held, words)]


def test_what_the_file_does_not_say_stands_beside_its_lines(tmp_path: Path) -> None:
    (tmp_path / "cdo.csv").write_text(CDO)
    asked, _ = form(tmp_path, file="cdo.csv")
    assert set(asked.errors) == {"unit", "station"}
    assert "X1 (1 row), X2 (1 row)" in asked.errors["station"]
    full, _ = form(tmp_path, file="cdo.csv", unit="F", station="X1")
    assert full.errors == {}
    assert full.proposal is not None
    assert any("taken for NOAA climate data" in note for note in full.proposal.notes)
    assert list(full.proposal.change.files)


def test_the_columns_of_an_unknown_form_are_lines_of_their_own(tmp_path: Path) -> None:
    (tmp_path / "log.csv").write_text("when;nachts;tags\n2026-04-01;10,2;27,5\n")
    asked, lines = form(tmp_path, file="log.csv")
    assert lines[-3:] == ["column when", "column nachts", "column tags"]
    assert "no line has headings" in asked.errors[""]
    full, _ = form(
        tmp_path, file="log.csv", unit="C", column_when="date", column_nachts="low", column_tags="high"
    )
    assert full.proposal is not None


def test_a_file_that_is_not_there_and_a_wrong_word_are_told(tmp_path: Path) -> None:
    assert "cannot be read: it is not there" in form(tmp_path, file="none.csv")[0].errors[""]
    assert "is none of these" in form(tmp_path, file="none.csv", unit="K")[0].errors["unit"]


async def test_a_file_is_read_in_a_thread_and_never_where_keys_are_waited_for(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    (tmp_path / "log").write_text("when;nachts;tags\n2026-04-01;10,2;27,5\n")
    (tmp_path / "season.toml").write_text(SEASON)
    threads: list[str] = []

    def noted(path: Path) -> str:
        threads.append(threading.current_thread().name)
        return weather_file_text(path)

    monkeypatch.setattr(weather_form, "weather_file_text", noted)
    app = app_of(tmp_path / "season.toml")
    async with app.run_test(size=(80, 30)) as pilot:
        await settled(app, pilot)
        await app.push_screen(form := WeatherView(tmp_path))
        for key in "log":
            await pilot.press(key)
            await settled(app, pilot)
        assert "column nachts" in form.text
        await pilot.press("ctrl+u", "x")
        await settled(app, pilot)
        assert "column nachts" not in form.text
    assert threads
    assert threading.main_thread().name not in threads
