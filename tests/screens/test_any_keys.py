"""Any keys in any order: the full screen neither stops nor writes a file that does not read."""

from __future__ import annotations

import os
import random
from datetime import UTC, date, datetime
from pathlib import Path

import pytest
from settling import settled

from calendar_tui.screens.app import CalendarApp
from calendar_tui.storage.finding import example_files
from calendar_tui.storage.opening import open_season

TODAY = date(2026, 12, 8)
(EXAMPLE,) = (file for file in example_files() if file.stem == "two-rivers")
MOVES = (
    "up",
    "down",
    "left",
    "right",
    "pageup",
    "pagedown",
    "home",
    "end",
    "tab",
    "enter",
    "enter",
    "escape",
)
# Neither leaves the program nor gives it to the shell; E opens an editor.
LETTERS = tuple("abcdefghijklmnoprstuvwxyzABCDFGHIJKLMNOPRSTUVWXYZ0123456789+-=!/?.,:' ")
OTHERS = (
    "ctrl+s",
    "ctrl+t",
    "ctrl+n",
    "ctrl+g",
    "ctrl+p",
    "ctrl+o",
    "backspace",
    "space",
    "delete",
    "shift+tab",
)
RUNS, KEYS = int(os.environ.get("ANY_KEYS_RUNS", "3")), int(os.environ.get("ANY_KEYS", "120"))
SIZES = ((80, 24), (60, 20), (40, 12), (160, 45))


@pytest.mark.quick(1)
@pytest.mark.parametrize("seed", range(RUNS))
async def test_any_keys_do_no_harm(tmp_path: Path, seed: int, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.chdir(tmp_path)
    monkeypatch.setenv("VISUAL", "true")
    keys = random.Random(seed)
    season = tmp_path / EXAMPLE.name
    season.write_bytes(EXAMPLE.read_bytes())
    now = datetime(2026, 12, 8, 9, tzinfo=UTC)
    app = CalendarApp(open_season(season), TODAY, "Ana", lambda: now)
    pressed: list[str] = []
    async with app.run_test(size=SIZES[seed % len(SIZES)]) as pilot:
        for _ in range(KEYS):
            key = keys.choice(keys.choice((MOVES, MOVES, LETTERS, OTHERS)))
            pressed.append(key)
            await pilot.press(key)
            if keys.random() < 0.3:
                await settled(app, pilot)
            if not app.is_running:  # left by way of Ctrl+P
                break
        if app.is_running:
            await settled(app, pilot)
    assert open_season(season).season is not None, pressed
