"""The app that stands before the calendar where no season is named: it ends with the season to open."""

from __future__ import annotations

from collections.abc import Callable

from textual.screen import Screen

from calendar_tui.screens.kit.preferences import AS_IT_COMES, Preferences
from calendar_tui.screens.starting.choice import Chosen, Start
from calendar_tui.screens.starting.first_view import FirstView
from calendar_tui.screens.viewing_app import ViewingApp


class StartApp(ViewingApp[Chosen]):
    """Stands before the calendar, and ends with what is chosen."""

    def __init__(
        self, start: Start, preferences: Preferences = AS_IT_COMES, *, ascii_only: bool = False
    ) -> None:
        super().__init__(preferences, start.reader.order, ascii_only=ascii_only)
        self.start = start

    def get_default_screen(self) -> Screen[None]:
        return FirstView(self.start)

    def on_mount(self) -> None:
        self.take_preferences()
        self.call_after_refresh(self.ask_background)

    def check_action(self, action: str, parameters: tuple[object, ...]) -> bool | None:
        """No season is opened whose history could be."""
        return action != "history"

    async def after_saves(self, act: Callable[[], None]) -> None:
        """Nothing is saved here but by one act, which a stop does not cut."""
        act()

    async def end(self, status: int) -> None:
        """Leave with this exit status."""
        self.ends = True
        self.exit(return_code=status)
