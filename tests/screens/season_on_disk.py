"""A small season in a file, with three changes in its history, and the full screen on it."""

from __future__ import annotations

from datetime import UTC, date, datetime

import pytest
from settling import settled

from calendar_tui.screens.app import CalendarApp
from calendar_tui.screens.history.view import HistoryView
from calendar_tui.season.edits import Change, Edit
from calendar_tui.storage.opening import open_season
from calendar_tui.storage.season_file import save_change
from tests.season_data import TWO_RIVERS

TODAY = date(2026, 12, 8)
TEXT = (
    TWO_RIVERS
    + """\
[[place]]
id = "H2"
kind = "hoop house"
lamps = { target_h = 16.0 }
[[variety]]
id = "amber"
response = "short-day"
critical_day = "14:00"
full_response_day = "12:30"
[[cohort]]
id = "A1"
variety = "amber"
start = "seed"
place = "H2"
plants = 10
planned = { seeding = 2026-10-05, lights_off = 2026-12-20 }
[[task]]
id = "hoe1"
date = 2026-12-08
what = "Hoe"
cohort = "A1"
"""
)


def save(path, n, hour=12, who="ana", what=""):
    edit = Edit("set", "cohort", ("A1",), ("plants",), n)
    when = datetime(2026, 11, n, hour, tzinfo=UTC)
    save_change(path, Change(what or f"{n} plants", (edit,)), who=who, when=when)


@pytest.fixture
def season(tmp_path):
    """Three changes, on 20, 21 and, a little after midnight in UTC, 22 November."""
    path = tmp_path / "two.toml"
    path.write_text(TEXT, encoding="utf-8")
    save(path, 20)
    save(path, 21, who="ben")
    save(path, 22, hour=1)
    return path


def app_of(path, opened=None, **options):
    return CalendarApp(
        opened or open_season(path), TODAY, "Cleo", lambda: datetime(2026, 12, 8, 9, tzinfo=UTC), **options
    )


def plants(path):
    return int(path.read_text().split("plants = ")[1].split()[0])


async def opened(app, pilot):
    await settled(app, pilot)
    await pilot.press("y")
    await settled(app, pilot)
    assert isinstance(app.screen, HistoryView)
    return app.screen


async def going_to_the_first(app, pilot):
    """Ask in the history to go back to the first change."""
    view = await opened(app, pilot)
    view.select(1)
    await pilot.press("g")
    await settled(app, pilot)
    return view


def notes(app):
    return list(app.messages)
