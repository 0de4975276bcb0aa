"""The weekday with which a week begins, as a person has set it: wherever days of a week are shown or printed."""

from __future__ import annotations

import json
from datetime import date
from pathlib import Path

import pytest
from small_season import run

from calendar_tui.screens.kit.axis import draw_dates
from calendar_tui.screens.kit.canvas import Canvas
from calendar_tui.screens.kit.window import Window
from calendar_tui.storage.finding import example_files

TODAY = "2026-12-08"


@pytest.fixture
def sundays(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> Path:
    """A season of somebody whose weeks begin on Sundays."""
    monkeypatch.setenv("XDG_CONFIG_HOME", str(tmp_path / "mine"))
    run("settings", "week_begins", "sunday")
    (example,) = (file for file in example_files() if file.stem == "two-rivers")
    path = tmp_path / "two.toml"
    path.write_bytes(example.read_bytes())
    return path


@pytest.mark.parametrize("flags", [(), ("--print",)])
def test_the_week_begins_with_the_day_that_is_set(sundays: Path, flags: tuple[str, ...]) -> None:
    lines = run("week", sundays, *flags, today=TODAY).out
    assert "Week of Sun 6 Dec 2026" in lines
    assert lines.index("Mon 7 Dec") < lines.index("Sat 12 Dec")
    assert "Sun 13 Dec" not in lines


def test_the_week_as_json_is_that_of_iso_8601(sundays: Path) -> None:
    assert json.loads(run("week", sundays, "--json", today=TODAY).out)["monday"] == "2026-12-07"


def test_the_sheet_begins_with_the_day_that_is_set(sundays: Path) -> None:
    target = sundays.with_name("sheet.html")
    ran = run("export", sundays, "--sheet", target, today=TODAY)
    assert ran.status == 0, ran.said
    assert "<h1>Week of Sun 6 Dec 2026</h1>" in target.read_text()


def test_the_timers_are_set_on_the_day_that_is_set(sundays: Path) -> None:
    lines = run("lamps", sundays, "N1", today=TODAY).out.splitlines()
    weeks = {line.split()[0] for line in lines if " on " in line and " dark " in line}
    assert "Sun" in weeks
    assert "Mon" not in weeks


def test_the_time_axis_names_the_days_with_which_weeks_begin() -> None:
    window = Window(date(2026, 12, 1), 60, 90)
    monday, sunday = Canvas(90, 1), Canvas(90, 1)
    draw_dates(monday, 0, window)
    draw_dates(sunday, 0, window, weekday=6)
    assert "7 Dec" in _text(monday)
    assert "6 Dec" in _text(sunday)


def _text(canvas: Canvas) -> str:
    return "".join(text for row in canvas.rows() for text, _ in row)
