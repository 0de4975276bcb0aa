"""What a view asks of the app it stands in."""

from __future__ import annotations

from datetime import date
from typing import Any, Protocol, cast

from textual.screen import Screen

from calendar_tui.planning.plan import Plan
from calendar_tui.screens.kit.glyphs import Glyphs
from calendar_tui.season.edits import Change
from calendar_tui.storage.opening import Opened


class Host(Protocol):
    """plan is None where the season file has problems; save tells its outcome by itself. date_order: of day and month in
    typed dates of numbers, as `typed_date` takes it.
    """

    opened: Opened
    plan: Plan | None
    today: date
    date_order: str
    glyphs: Glyphs

    def save(self, change: Change) -> None: ...

    def reload(self) -> None: ...

    def look(self) -> None: ...

    def undo(self, steps: int = 0) -> None: ...

    def redo(self, steps: int = 0) -> None: ...

    def look_back(self, n: int) -> None: ...


def host(screen: Screen[Any]) -> Host:
    """The app of this screen."""
    return cast(Host, screen.app)
