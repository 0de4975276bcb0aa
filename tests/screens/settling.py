"""How a test waits for an app to rest."""

from __future__ import annotations

from contextlib import suppress
from typing import Any

from textual.app import App
from textual.pilot import Pilot
from textual.worker import WorkerCancelled


async def settled(app: App[Any], pilot: Pilot[Any]) -> Any:
    """Wait for what is worked out in threads and for what it draws; gives the view that is on screen then."""
    for _ in range(3):
        await pilot.pause()
        for worker in list(app.workers):
            # One that closes its own view is cancelled with it as it ends, which on a busy machine may be seen: it has done its work.
            with suppress(WorkerCancelled):
                await worker.wait()
        await pilot.pause()
    return app.screen
