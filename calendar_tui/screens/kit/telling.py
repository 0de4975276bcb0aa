"""The app as far as it tells what was done: messages in the last line of every view, and all of them on a page."""

from __future__ import annotations

from collections.abc import Callable
from typing import Any, TypeVar

from textual.app import App
from textual.geometry import Offset

from calendar_tui.language.speaking import phrase, phrase_form, phrase_n
from calendar_tui.screens.kit.actions import shown_key
from calendar_tui.screens.kit.chosen import chosen_text, cursor_at
from calendar_tui.screens.kit.keys import Keys
from calendar_tui.screens.kit.notices import Notice, Notices
from calendar_tui.screens.kit.sheet import Sheet
from calendar_tui.season.readers import plain

# What the app ends with.
Given = TypeVar("Given")


class TellingApp(App[Given]):
    """notices: what was told."""

    def __init__(self, **how: Any) -> None:
        self._field_cursor = Offset(0, 0)
        super().__init__(**how)
        self.notices = Notices()

    @property
    def cursor_position(self) -> Offset:
        """Where Textual leaves the terminal's own cursor: at the chosen row, else where a field has put it.

        Screen readers and magnifiers go by it.
        """
        return (cursor_at(self.screen) if self._screen_stack else None) or self._field_cursor

    @cursor_position.setter
    def cursor_position(self, at: Offset) -> None:
        self._field_cursor = at

    async def open_view(self, name: str, *needs: Any, then: Callable[[Any], None] | None = None) -> None:
        """Open a view by its name."""
        raise NotImplementedError

    def notify(self, message: str, **how: Any) -> None:
        """Tell something in the footer's line; no name of a file and no history steers the terminal.

        severity: as Textual's. back: the group of the key that takes back what is told.
        """
        self.notices.add(Notice(plain(message), how.get("severity", "information"), how.get("back", "")))
        self._show_message()

    def refuse(self, why: str) -> None:
        """Say why something is not done."""
        self.notify(why, severity="error")

    @property
    def messages(self) -> tuple[str, ...]:
        """What was told since the last key that did something, oldest first."""
        return tuple(notice.text for notice in self.notices.since_key)

    def clear_notifications(self) -> None:
        """All messages have been seen, or hold no more."""
        if self.notices.since_key:
            self.notices.clear()
            self._show_message()

    def on_click(self) -> None:
        self.clear_notifications()

    def _show_message(self) -> None:
        """Draw the last line of every view anew, which may be the last of a sheet."""
        for screen in self.screen_stack:
            for sheet in screen.query(Sheet):
                sheet.redraw()
            for keys in screen.query(Keys):
                keys.fit()

    async def action_messages(self) -> None:
        if getattr(self.screen, "HELP_FIRST", "") != "messages":
            await self.open_view("messages")

    def action_copy(self) -> None:
        """Copy what is chosen, by OSC 52: the terminal does it, or not, and answers nothing."""
        text = plain(chosen_text(self.screen))
        if not text:
            self.notify(phrase("There is nothing here to copy."))
            return
        self.copy_to_clipboard(text)
        lines = text.splitlines()
        first, more = " ".join(lines[0].split()), len(lines) - 1
        self.notify(
            phrase_n(
                'Copied "{text}" and {count} line more, where the terminal lets programs copy.',
                'Copied "{text}" and {count} lines more, where the terminal lets programs copy.',
                more,
                text=first,
            )
            if more
            else phrase('Copied "{text}", where the terminal lets programs copy.', text=first)
        )

    def action_help_quit(self) -> None:
        """Ctrl+C, by which many would leave a program."""
        key = shown_key(self.screen, "program.q,ctrl+q")
        form = phrase_form("Ctrl+C does not leave the program: {key} does.")
        if key == "q":
            form = phrase_form("Ctrl+C does not leave the program: {key} does, or Ctrl+Q while you type.")
        self.notify(phrase(form, key=key))
