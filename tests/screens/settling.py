"""How a test waits for an app to rest."""

from __future__ import annotations

from typing import Any

from textual.app import App
from textual.pilot import Pilot


async def settled(app: App[Any], pilot: Pilot[Any]) -> Any:
    """Wait for what is worked out in threads and for what it draws; gives the view that is on screen then."""
    for _ in range(3):
        await pilot.pause()
        await app.workers.wait_for_complete()
        await pilot.pause()
    return app.screen
