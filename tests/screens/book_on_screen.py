"""North Bench with its field book half filled, on the screen: keys pressed, values typed, what the file has of a day."""

from __future__ import annotations

from datetime import UTC, date, datetime
from pathlib import Path

import pytest
from settling import settled

from calendar_tui.screens.app import CalendarApp
from calendar_tui.screens.field_book.view import FieldBookView
from calendar_tui.storage.finding import example_files
from calendar_tui.storage.opening import need_season, open_season

TODAY = date(2026, 6, 16)
BENCH = next(file for file in example_files() if file.stem == "north-bench")


@pytest.fixture
def season(tmp_path: Path) -> Path:
    path = tmp_path / BENCH.name
    path.write_bytes(BENCH.read_bytes())
    return path


def app_of(path: Path, today: date = TODAY) -> CalendarApp:
    return CalendarApp(open_season(path), today, "Ana", lambda: datetime(2026, 6, 16, 9, tzinfo=UTC))


async def pressed(app: CalendarApp, pilot, *keys: str) -> FieldBookView:
    for key in keys:
        await pilot.press(key)
        await settled(app, pilot)
    assert isinstance(app.screen, FieldBookView)
    return app.screen


async def typed(app: CalendarApp, pilot, text: str, *after: str) -> FieldBookView:
    """Typed letter by letter, and these keys."""
    names = {".": "full_stop", "<": "less_than_sign", " ": "space", "/": "slash", "-": "minus", ",": "comma"}
    await pilot.press(*(names.get(letter, letter) for letter in text))
    return await pressed(app, pilot, *after)


def values(path: Path, day: date = TODAY) -> dict[tuple[str, str], tuple[str, str]]:
    """What the file has of a day: value or state, and who looked."""
    found = need_season(path)[1].observations
    return {(one.at, one.variable): (one.value or one.state, one.who) for one in found if one.date == day}
