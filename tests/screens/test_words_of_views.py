"""What views show: no name of a file's key, and no date as files have it but where one may be typed so."""

from __future__ import annotations

import re
from collections.abc import Iterator
from datetime import UTC, date, datetime
from pathlib import Path

import pytest
from settling import settled
from textual.widget import Widget

from calendar_tui.screens.app import CalendarApp
from calendar_tui.screens.asking.outage_view import FORMS as OUTAGE_FORMS
from calendar_tui.screens.asking.record_view import FORMS as RECORD_FORMS
from calendar_tui.screens.asking.stay_view import FORMS as STAY_FORMS
from calendar_tui.storage.finding import example_files
from calendar_tui.storage.opening import open_season

FILE_WORDS = re.compile(r"[a-z0-9]_[a-z0-9]|\d{4}-\d\d-\d\d")
# The lines that show how a date may be typed: as files have it too.
ALLOWED = (OUTAGE_FORMS, RECORD_FORMS, STAY_FORMS, "To which date?")
# What is opened, and the keys pressed there.
VIEWS = (
    ("", ""),
    ("open('today')", ""),
    ("open('today')", "enter"),
    ("open('week')", "m o"),
    ("open('week')", "d"),
    ("open('chores')", "enter"),
    ("open_varieties", ""),
    ("open_varieties", "t"),
    ("open_varieties", "f"),
    ("open_about('lamps')", ""),
    ("open('load')", "enter"),
    ("open_about('response')", ""),
    ("open_about('stagger')", "enter"),
    ("open_about('quantities')", ""),
    ("open_cohort", "d"),
    ("act('record')", "enter"),
    ("act('outage')", "enter"),
    ("act('stay')", ""),
    ("act('add', True)", ""),
    ("act('change')", ""),
    ("act('take_out')", ""),
    ("open('farm')", "enter"),
    ("help", ""),
)


def _drawn(app: CalendarApp) -> Iterator[str]:
    for widget in app.screen.walk_children(Widget):
        yield from (widget.render_line(y).text.strip() for y in range(widget.size.height))


@pytest.mark.quick(6)
@pytest.mark.parametrize(("action", "keys"), VIEWS, ids=lambda part: str(part) or "-")
async def test_a_view_shows_no_key_and_no_date_of_files(tmp_path: Path, action: str, keys: str) -> None:
    (example,) = (file for file in example_files() if file.stem == "two-rivers")
    path = tmp_path / "two.toml"
    path.write_bytes(example.read_bytes())
    clock = datetime(2026, 12, 8, 9, tzinfo=UTC)
    app = CalendarApp(open_season(path), date(2026, 12, 8), "Cleo", lambda: clock)
    async with app.run_test(size=(110, 40)) as pilot:
        await settled(app, pilot)
        if action:
            await app.run_action(action, app if action == "help" else app.screen)
        for key in keys.split():
            await settled(app, pilot)
            await pilot.press(key)
        await settled(app, pilot)
        drawn = list(_drawn(app))
        assert any(drawn)
        assert [line for line in drawn if FILE_WORDS.search(line) and not line.startswith(ALLOWED)] == []
