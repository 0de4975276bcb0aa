"""The app as far as it is one with a season and without: its keys, views, help and palette, colours and terminal."""

from __future__ import annotations

import os
from collections.abc import Callable, Mapping
from typing import Any

from textual import constants, events
from textual.actions import ActionParseResult, parse
from textual.dom import DOMNode
from textual.driver import Driver

from calendar_tui.planning.plan import Plan
from calendar_tui.screens.kit.actions import EDITS, bindings
from calendar_tui.screens.kit.ahead import TypedAhead
from calendar_tui.screens.kit.glyphs import Glyphs, glyph_set
from calendar_tui.screens.kit.painting import PaintedApp
from calendar_tui.screens.kit.preferences import Preferences
from calendar_tui.screens.kit.telling import Given
from calendar_tui.screens.opening_views import open_view


class ViewingApp(PaintedApp[Given]):
    """plan: None where no season is opened, or one that has problems. date_order: as for the host."""

    BINDINGS = bindings("help", "program", "anything")
    # Ours finds more than actions, and costs a slow line less.
    ENABLE_COMMAND_PALETTE = False
    # What is drawn line by line cannot be selected in Textual, and a drag would scroll lists from under their cursors.
    ALLOW_SELECT = False

    def __init__(self, preferences: Preferences, date_order: str, *, ascii_only: bool) -> None:
        super().__init__(preferences.theme, ansi_color=True)
        self.preferences, self.date_order = preferences, date_order
        self.glyphs: Glyphs = glyph_set(ascii_only)
        self.plan: Plan | None = None
        # Whether the program was told to end from outside, and is about to.
        self.ends = False
        self._ahead = TypedAhead(self, super().on_event)

    @property
    def refusal(self) -> str:
        """Why nothing can be changed in what is shown; "" where it can."""
        return ""

    def refuse_edit(self) -> None:
        """Tell why nothing is changed."""
        self.notify(self.refusal, severity="warning")

    def take_preferences(self) -> None:
        """Bind a person's own keys, and tell what of the settings does not hold."""
        self.set_keymap({name: key.names for name, key in self.preferences.keys.items()})
        if self.preferences.note:
            self.notify(self.preferences.note, severity="warning")

    def get_driver_class(self) -> type[Driver]:
        if os.name != "posix" or constants.DRIVER is not None:
            return super().get_driver_class()
        from calendar_tui.screens.kit.terminal import Terminal

        return Terminal

    async def run_action(
        self,
        action: str | ActionParseResult,
        default_namespace: DOMNode | None = None,
        namespaces: Mapping[str, DOMNode] | None = None,
    ) -> bool:
        """Run an action; what was told before has been seen. One that would change what is shown read-only is refused."""
        self.clear_notifications()
        name = (parse(action) if isinstance(action, str) else action)[1]
        if self.refusal and name in EDITS:
            self.refuse_edit()
            return True
        return await super().run_action(action, default_namespace, namespaces)

    async def open_view(self, name: str, *needs: Any, then: Callable[[Any], None] | None = None) -> None:
        """Open a view of the table upon what is shown. then: takes what it gives when it is left."""
        await open_view(self, name, *needs, then=then, ahead=self._ahead)

    async def on_event(self, event: events.Event) -> None:
        if isinstance(event, events.Key) and not event.is_forwarded:
            await self._ahead.take(event)
        else:
            await super().on_event(event)

    async def action_palette(self) -> None:
        from calendar_tui.screens.going import open_palette

        await open_palette(self)

    async def action_help(self) -> None:
        first = getattr(self.screen, "HELP_FIRST", "")
        if first != "help":
            await self.open_view("help", first)
