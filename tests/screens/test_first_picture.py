"""The first picture of the full screen: drawn by what it needs and no more, with the work counted."""

from __future__ import annotations

import asyncio
import subprocess
import sys
from pathlib import Path

import pytest
from settling import settled
from test_kept_drawing import app_of, season_text

from calendar_tui.planning.laying_out import later
from calendar_tui.screens.app import CalendarApp

MANY, FEW = 60, 30
SIZE = (80, 24)
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


def test_what_is_not_drawn_is_not_loaded_before_the_first_picture(tmp_path: Path) -> None:
    path = tmp_path / "two.toml"
    path.write_text(season_text(FEW), encoding="utf-8")
    ran = subprocess.run(
        [sys.executable, "-c", OPENED, str(path)], capture_output=True, text=True, timeout=120, check=True
    )
    loaded = set(ran.stdout.split())
    assert {"textual.app", "calendar_tui.screens.season.view"} <= loaded
    assert not loaded & UNDRAWN
