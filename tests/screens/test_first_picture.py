"""The first picture of the full screen: drawn by what it needs and no more, with the work counted."""

from __future__ import annotations

import asyncio
import os
import subprocess
import sys
from datetime import UTC, date, datetime
from pathlib import Path
from threading import Thread, current_thread, main_thread

import pytest
from settling import settled
from test_kept_drawing import app_of, season_text

from calendar_tui.planning.cutting import harvest
from calendar_tui.planning.laying_out import later
from calendar_tui.screens.app import CalendarApp
from calendar_tui.screens.season.view import SeasonView
from calendar_tui.storage.opening import open_season

MANY, FEW = 60, 30
SIZE = (80, 24)
WITH_RESULTS, RESULTS_DAY = Path(__file__).parents[2] / "seasons" / "north-bench.toml", date(2026, 6, 16)
# What only later views, acts and threads need.
UNDRAWN = {
    "dateutil",
    "numpy",
    "pandas",
    "tomli_w",
    "calendar_tui.handing_on",
    "calendar_tui.planning.changes",
    "calendar_tui.planning.clashes",
    "calendar_tui.planning.evidence",
    "calendar_tui.planning.lamps.onset",
    "calendar_tui.planning.laying_out.warmth",
    "calendar_tui.planning.tasks",
    "calendar_tui.screens.kit.past",
    "calendar_tui.season.edits",
    "calendar_tui.season.typed_dates",
    "calendar_tui.season.weather",
    "calendar_tui.storage.disk.handed_file",
    "calendar_tui.storage.history",
    "calendar_tui.storage.journal",
}

# The season in the first word is opened as on a terminal, and what is loaded is named when the first picture is sent.
OPENED = """
import os, sys
from functools import partialmethod
from calendar_tui.cli import main
from calendar_tui.commands import opening
from calendar_tui.screens.app import CalendarApp

def name_loaded(app):
    os.write(1, " ".join(sys.modules).encode())
    os._exit(0)

opening._need_terminal = opening.at_terminal = lambda: True
CalendarApp.pictured = name_loaded
CalendarApp.run = partialmethod(CalendarApp.run, headless=True, size=(80, 24))
main([sys.argv[1]])
"""


def whole_at_the_first_picture(app: CalendarApp, monkeypatch: pytest.MonkeyPatch) -> tuple[int, int]:
    """How many cohorts are laid out in every future when the first picture is sent, and once the program rests."""
    names: list[str] = []
    sent: list[int] = []
    lay_out, pictured = later.lay_out, app.pictured

    def noted(season, cohort, early, *others):  # type: ignore[no-untyped-def]
        if early[cohort.first_stage].days:
            names.append(cohort.id)
        return lay_out(season, cohort, early, *others)

    def sending() -> None:
        sent.append(len(names))
        pictured()

    monkeypatch.setattr(later, "lay_out", noted)
    monkeypatch.setattr(app, "pictured", sending)

    async def run() -> None:
        async with app.run_test(size=SIZE) as pilot:
            await settled(app, pilot)

    asyncio.run(run())
    assert len(names) == len(set(names))
    return sent[0], len(names)


def test_a_season_of_many_cohorts_lays_out_the_futures_of_those_shown(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    few, _ = whole_at_the_first_picture(app_of(tmp_path, FEW), monkeypatch)
    many, rested = whole_at_the_first_picture(app_of(tmp_path, MANY), monkeypatch)
    assert 0 < many == few <= SIZE[1]
    assert rested == MANY


def test_results_are_fitted_once_the_first_picture_is_sent(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    """The first picture has the harvests by ripeness; what results make of them follows, and is then what is drawn."""
    path = tmp_path / WITH_RESULTS.name
    path.write_bytes(WITH_RESULTS.read_bytes())
    app = CalendarApp(open_season(path), RESULTS_DAY, "Ana", lambda: datetime(2026, 6, 16, 9, tzinfo=UTC))
    held: list[str] = []
    drawn: list[tuple[int, str]] = []
    hold, rows = harvest._held, SeasonView._rows

    def noted(sight, timeline):  # type: ignore[no-untyped-def]
        held.append(timeline.cohort.id)
        return hold(sight, timeline)

    def drawing(self, width, height):  # type: ignore[no-untyped-def]
        picture = rows(self, width, height)
        lines = ("".join(text for text, _ in row) for row in picture)
        drawn.append((len(held), next(line for line in lines if "E1 fen" in line)))
        return picture

    monkeypatch.setattr(harvest, "_held", noted)
    monkeypatch.setattr(SeasonView, "_rows", drawing)

    async def run() -> None:
        async with app.run_test(size=(120, 40)) as pilot:
            await settled(app, pilot)

    asyncio.run(run())
    plan = app.plan
    assert plan is not None
    ripe, by_limit = (
        f"{day.day} {day:%b}"
        for day in (plan.ripe["E1"].likely("harvest"), plan.timelines["E1"].likely("harvest"))
    )
    assert drawn[0][0] == 0
    assert ripe in drawn[0][1]
    assert by_limit not in drawn[0][1]
    assert by_limit in drawn[-1][1]
    assert len(held) == len(set(held)) > 0


def test_results_are_fitted_beside_the_drawing_when_the_file_is_read_again(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    path = tmp_path / WITH_RESULTS.name
    path.write_bytes(WITH_RESULTS.read_bytes())
    app = CalendarApp(open_season(path), RESULTS_DAY, "Ana", lambda: datetime(2026, 6, 16, 9, tzinfo=UTC))
    threads: list[Thread] = []
    hold = harvest._held

    def noted(sight, timeline):  # type: ignore[no-untyped-def]
        threads.append(current_thread())
        return hold(sight, timeline)

    async def run() -> None:
        async with app.run_test(size=(120, 40)) as pilot:
            await settled(app, pilot)
            monkeypatch.setattr(harvest, "_held", noted)
            text = path.read_text(encoding="utf-8")
            path.write_text(text.replace("North Bench 2026", "South Bench"), encoding="utf-8")
            app.reload()
            await settled(app, pilot)

    asyncio.run(run())
    assert threads
    assert main_thread() not in threads


@pytest.mark.slow
def test_what_is_not_drawn_is_not_loaded_before_the_first_picture(tmp_path: Path) -> None:
    path = tmp_path / "two.toml"
    path.write_text(season_text(FEW), encoding="utf-8")
    loaded = loaded_at_the_first_picture(path)
    assert {"textual.app", "calendar_tui.screens.season.view"} <= loaded
    assert not loaded & UNDRAWN


@pytest.mark.slow
def test_nor_is_what_results_are_fitted_with(tmp_path: Path) -> None:
    path = tmp_path / WITH_RESULTS.name
    path.write_bytes(WITH_RESULTS.read_bytes())
    loaded = loaded_at_the_first_picture(path, CALENDAR_TUI_TODAY=RESULTS_DAY.isoformat())
    assert "calendar_tui.screens.season.view" in loaded
    rooms = (
        "calendar_tui.planning.cutting",
        "calendar_tui.planning.results",
        "calendar_tui.nature.cannabinoid",
    )
    assert not [name for name in loaded if name == "numpy" or name.startswith(rooms)]


def loaded_at_the_first_picture(path: Path, **environment: str) -> set[str]:
    ran = subprocess.run(
        [sys.executable, "-c", OPENED, str(path)],
        capture_output=True,
        text=True,
        timeout=120,
        check=True,
        env=os.environ | environment,
    )
    return set(ran.stdout.split())
