"""What the full screen tells lies over the views: and is gone once the work goes on."""

from __future__ import annotations

from datetime import UTC, date, datetime
from pathlib import Path

import pytest
from small_app import SEASON

from calendar_tui.screens.app import CalendarApp
from calendar_tui.storage.opening import open_season


@pytest.mark.asyncio
async def test_messages_are_gone_at_the_next_key_that_does_something(tmp_path: Path) -> None:
    path = tmp_path / "farm.toml"
    path.write_text(SEASON, encoding="utf-8")
    app = CalendarApp(
        open_season(path), date(2026, 12, 8), "ana", lambda: datetime(2026, 12, 8, 9, tzinfo=UTC)
    )
    async with app.run_test(size=(80, 24)) as pilot:
        await pilot.pause()
        app.refuse("The file has problems now.")
        app.notify("The file reads well now.")
        await pilot.pause()
        told = {"The file has problems now.", "The file reads well now."}
        assert told <= {notice.message for notice in app._notifications}
        await pilot.press("w")
        await pilot.pause()
        assert not told & {notice.message for notice in app._notifications}
