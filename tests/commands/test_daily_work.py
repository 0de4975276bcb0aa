"""The sessions of the page of daily work, typed one after another on a copy of the example: it prints the lines that stand there."""

from __future__ import annotations

import shutil
from datetime import datetime
from pathlib import Path
from zoneinfo import ZoneInfo

import pytest
from sessions import DOCS, blocks, typed

from calendar_tui.commands import command_input
from calendar_tui.commands import history as history_commands


@pytest.fixture
def farm(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> Path:
    season = tmp_path / "two-rivers.toml"
    shutil.copy(DOCS.parent / "seasons" / season.name, season)
    monkeypatch.chdir(tmp_path)
    monkeypatch.setenv("CALENDAR_TUI_TODAY", "2026-12-08")
    at = datetime(2026, 12, 13, 9, 14, tzinfo=ZoneInfo("America/Montevideo"))
    for module in (command_input, history_commands):
        monkeypatch.setattr(module, "now", lambda: at)
        monkeypatch.setattr(module, "who", lambda: "ana")
    return season


def test_every_line_of_a_session_is_printed_in_its_order(farm: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    sessions = 0
    for language, block in blocks("daily-work.md"):
        if language == "toml" and "[[cohort]]" in block:
            farm.write_text(f"{farm.read_text(encoding='utf-8')}\n{block}", encoding="utf-8")
        sessions += typed(block, monkeypatch)
    assert sessions > 5
