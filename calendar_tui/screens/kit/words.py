"""Words that are typed where keys have other meanings: taken letter by letter, and drawn by the view itself.

A field of Textual's own would have the whole screen laid out and sent again as it comes and goes.
"""

from __future__ import annotations

from collections.abc import Callable
from typing import ClassVar

from textual import events
from textual.binding import BindingType
from textual.widget import Widget

from calendar_tui.screens.kit.actions import bindings


class TypedWords(Widget, can_focus=True):
    """Takes the keys while it is asked to. It has no cells of its own."""

    BINDINGS: ClassVar[list[BindingType]] = bindings("words")
    DEFAULT_CSS = "TypedWords { width: 0; height: 0; }"

    def __init__(self, changed: Callable[[str], None]) -> None:
        """changed: takes the words after each letter, and once typing ends."""
        super().__init__()
        self._changed = changed
        self.value = ""

    @property
    def asked(self) -> bool:
        """Whether it is being typed in."""
        return self.has_focus

    def ask(self, value: str) -> None:
        """Take the keys from here on; value: what stands there already."""
        self.value = value
        self.focus()

    def close(self) -> None:
        """Take no more keys."""
        self.screen.set_focus(None)
        self._changed(self.value)

    def check_consume_key(self, key: str, character: str | None) -> bool:
        """Letters are words and no keys of the view."""
        return character is not None and character.isprintable()

    def on_key(self, event: events.Key) -> None:
        """Take a letter; other keys mean what they always do."""
        if event.is_printable and event.character is not None:
            self._take(self.value + event.character)
            event.stop()
            event.prevent_default()

    def action_end_words(self) -> None:
        self.close()

    def action_shorter(self) -> None:
        self._take(self.value[:-1])

    def action_none(self) -> None:
        self._take("")

    def on_paste(self, event: events.Paste) -> None:
        """Take the first line of what is pasted."""
        self._take(self.value + "".join(event.text.splitlines()[:1]))
        event.stop()

    def _take(self, value: str) -> None:
        self.value = value
        self._changed(value)
