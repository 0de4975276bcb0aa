"""The line of keys at the foot of a view: whole pairs of a key and what it does, as many as there is room for."""

from __future__ import annotations

from collections.abc import Sequence

from calendar_tui.screens.kit.actions import GAP, pairs_with_room
from calendar_tui.screens.kit.drawing import BOLD, Bar, ListRow, row


def pairs_of(text: str) -> list[tuple[str, str]]:
    """The keys of a view, written as "key does" with two spaces between."""
    return [(key, does) for key, _, does in (pair.partition(" ") for pair in text.split(GAP))]


class Keys(Bar):
    """A line of keys; they stand out."""

    def __init__(self, text: str = "", id: str | None = None) -> None:
        super().__init__(id=id)
        self._text = text

    def say_keys(self, text: str) -> None:
        self._text = text
        self._fit()

    def on_mount(self) -> None:
        self._fit()

    def on_resize(self) -> None:
        self._fit()

    def _fit(self) -> None:
        pairs = pairs_with_room(pairs_of(self._text), self.size.width or self.app.size.width)
        self.say(keys_row(pairs))


def keys_row(pairs: Sequence[tuple[str, str]]) -> ListRow:
    return row(*(part for key, does in pairs for part in ((key, BOLD), f" {does}{GAP}")))
