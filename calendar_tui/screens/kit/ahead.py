"""Keys typed faster than they are answered: each goes to the view that the key before it has left there, and is not lost."""

from __future__ import annotations

from collections.abc import Awaitable, Callable, Sequence
from typing import Any

from textual import events
from textual.app import App
from textual.message_pump import MessagePump

from calendar_tui.language.speaking import phrase

# Keys that leave the program are never held.
LEAVING = ("ctrl+q", "ctrl+c", "ctrl+z")


class TypedAhead:
    """Holds a key until the one before it is answered, and while a view is worked out in a thread, until that is there."""

    def __init__(self, app: App[Any], press: Callable[[events.Event], Awaitable[None]]) -> None:
        """press: what the app does of itself with a key."""
        self._app, self._press = app, press
        self._openings = 0
        self._answers = self._waits = False
        self._keys: list[events.Key] = []

    # --- a view that is worked out

    def begin(self) -> int:
        """Hold keys from here on; gives the number of this opening."""
        self._waits, self._openings = True, self._openings + 1
        return self._openings

    def end(self, number: int, *, hand_on: bool) -> None:
        """Hold no more, where no other view was asked for since. hand_on: whether the view is there, and takes what was held."""
        if number == self._openings:
            self._keys = self._keys if hand_on else []
            self._app.call_after_refresh(self._app.call_later, self._go_on, number)

    async def _go_on(self, number: int) -> None:
        if number == self._openings:
            self._waits = False
            await self._next()

    # --- one key after another

    async def take(self, key: events.Key) -> None:
        """Answer a key that was typed, or hold it."""
        if key.key in LEAVING:
            await self._press(key)
        elif self._waits or self._answers:
            if self._waits and not self._keys:
                self._tell()
            self._keys.append(key)
        else:
            await self._answer(key)

    async def _answer(self, key: events.Key) -> None:
        """Hand it to what has the focus; whatever it passes on its way up is asked in turn whether it is through with it."""
        self._answers = True
        way = (self._app.focused or self._app.screen).ancestors_with_self
        await self._press(key)
        self._pass(way)

    def _pass(self, way: Sequence[MessagePump]) -> None:
        """Wait for the rest of the way; what is closed by now has nothing left to answer."""
        for n, one in enumerate(way):
            if one.call_later(self._pass, way[n + 1 :]):
                return
        # A view that was opened has its focus only once it is mounted, and sets that by way of the app.
        if not self._app.screen.call_later(self._app.call_later, self._next):
            self._app.call_later(self._next)

    async def _next(self) -> None:
        self._answers = False
        if self._keys and self._waits:
            self._tell()
        elif self._keys:
            await self._answer(self._keys.pop(0))

    def _tell(self) -> None:
        self._app.notify(phrase("One moment: the view is being worked out."))
