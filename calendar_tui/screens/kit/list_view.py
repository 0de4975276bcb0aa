"""A view with a list to choose from: a heading, the list, what stands below it, and the keys."""

from __future__ import annotations

from collections.abc import Callable, Iterable, Sequence
from typing import ClassVar, TypeVar

from textual.app import ComposeResult
from textual.binding import BindingType
from textual.screen import Screen
from textual.widget import Widget

from calendar_tui.screens.kit.actions import bindings
from calendar_tui.screens.kit.drawing import Bar, ListRow, Picker
from calendar_tui.screens.kit.keys import Keys

Given = TypeVar("Given")


class ListView(Screen[Given]):
    """Gives None where it is left by Esc."""

    BINDINGS: ClassVar[list[BindingType]] = bindings("view")

    def __init__(
        self, rows: Callable[[int], Iterable[ListRow]], foot: Sequence[str], *below: Widget, key: str = ""
    ) -> None:
        """rows: of the list, for a width; foot: as `Keys` takes it; key: the row on which the cursor stands at first."""
        super().__init__()
        self._heading, self._list = Bar(id="heading"), Picker(rows, key=key)
        self._below, self._keys = below, Keys(foot)

    def compose(self) -> ComposeResult:
        yield self._heading
        yield self._list
        yield from self._below
        yield self._keys

    @property
    def text(self) -> str:
        """All that the view shows but its keys, as plain text."""
        bars = (widget for widget in self._below if isinstance(widget, Bar))
        parts: tuple[Bar | Picker, ...] = (self._heading, self._list, *bars)
        return "\n".join(part.text for part in parts)

    def show_plan(self) -> None:
        """Draw the list as the season has it now."""
        self._list.redraw()

    def action_back(self) -> None:
        self.dismiss()
