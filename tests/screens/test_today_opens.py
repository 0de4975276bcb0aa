"""Where the list of today opens: at its top where a place is closed or something is to be decided by today."""

from __future__ import annotations

from datetime import UTC, date, datetime
from pathlib import Path

from test_golden import EXAMPLES, strips_of, text_of

from calendar_tui.screens.app import CalendarApp
from calendar_tui.storage.opening import open_season

TODAY = date(2026, 6, 17)


async def test_what_was_to_be_decided_by_today_is_in_sight_as_the_list_opens(tmp_path: Path) -> None:
    season = tmp_path / "season.toml"
    season.write_bytes(EXAMPLES["north-bench"].read_bytes())
    now = datetime(2026, 6, 17, 9, tzinfo=UTC)
    app = CalendarApp(open_season(season), TODAY, "Ana", lambda: now, ascii_only=False)
    text = text_of(await strips_of(app, (80, 24), ("t",)))
    assert "To decide" in text.splitlines()[1]
    assert "overdue" in text.splitlines()[2]
