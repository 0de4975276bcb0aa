"""Keys typed while a view is worked out: they are for that view, and not for the one that still stands there."""

from __future__ import annotations

from typing import Any

from textual import events
from textual.app import App

# Keys that leave the program are never held.
LEAVING = ("ctrl+q", "ctrl+c", "ctrl+z")


class TypedAhead:
    """Holds the keys until the view is there."""

    def __init__(self, app: App[Any]) -> None:
        self._app = app
        self._openings = 0
        self._waits = False
        self._keys: list[events.Key] = []

    def begin(self) -> int:
        """Hold keys from here on; gives the number of this opening."""
        self._waits, self._openings = True, self._openings + 1
        return self._openings

    def end(self, number: int, *, hand_on: bool) -> None:
        """Hold no more, where no other view was asked for since. hand_on: whether the view is there, and takes what was held."""
        if number == self._openings:
            self._keys = self._keys if hand_on else []
            self._app.call_after_refresh(self._hand_on)

    def holds(self, event: events.Event) -> bool:
        """Whether an event is a key that was typed ahead: it is held, and the first of them is answered."""
        if not (self._waits and isinstance(event, events.Key) and not event.is_forwarded):
            return False
        if event.key in LEAVING:
            return False
        if not self._keys:
            self._app.notify("One moment: the view is being worked out.")
        self._keys.append(event)
        return True

    def _hand_on(self) -> None:
        keys, self._keys, self._waits = self._keys, [], False
        for key in keys:
            self._app.post_message(events.Key(key.key, key.character))
