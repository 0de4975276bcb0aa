"""The app that stands before the calendar where no season is named: it ends with the season to open."""

from __future__ import annotations

import os
from collections.abc import Callable

from textual import constants
from textual.app import App
from textual.driver import Driver
from textual.screen import Screen

from calendar_tui.screens.kit.glyphs import Glyphs, glyph_set
from calendar_tui.screens.kit.notices import Notices
from calendar_tui.screens.starting.choice import Chosen, Start
from calendar_tui.screens.starting.first_view import FirstView


class StartApp(App[Chosen]):
    """Stands before the calendar, and ends with what is chosen."""

    ENABLE_COMMAND_PALETTE = False
    ALLOW_SELECT = False

    def __init__(self, start: Start, *, ascii_only: bool = False) -> None:
        super().__init__(ansi_color=True)
        self.start = start
        self.glyphs: Glyphs = glyph_set(ascii_only)
        self.notices = Notices()
        # Whether the program was told to end from outside, and is about to.
        self.ends = False

    def get_default_screen(self) -> Screen[None]:
        return FirstView(self.start)

    def get_driver_class(self) -> type[Driver]:
        if os.name != "posix" or constants.DRIVER is not None:
            return super().get_driver_class()
        from calendar_tui.screens.kit.terminal import Terminal

        return Terminal

    async def after_saves(self, act: Callable[[], None]) -> None:
        """Nothing is saved here but by one act, which a stop does not cut."""
        act()

    async def end(self, status: int) -> None:
        """Leave with this exit status."""
        self.ends = True
        self.exit(return_code=status)

    def action_help_quit(self) -> None:
        """Ctrl+C, by which many would leave a program."""
        self.exit()
