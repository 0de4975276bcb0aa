"""A view that reads like a page: rows to scroll through, the keys below them, and Esc back."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from typing import ClassVar, TypeVar

from textual.app import ComposeResult
from textual.binding import BindingType
from textual.screen import Screen

from calendar_tui.screens.kit.actions import bindings
from calendar_tui.screens.kit.drawing import ListRow, TextLines
from calendar_tui.screens.kit.keys import Keys

FOOT = ("page", "help", "view")
Given = TypeVar("Given")


class Page(Screen[Given]):
    """Gives None where it is left by Esc."""

    BINDINGS: ClassVar[list[BindingType]] = bindings("view")

    def __init__(self, foot: Sequence[str] = FOOT, **words: str) -> None:
        """foot, words: the keys below, as `Keys` takes them."""
        super().__init__()
        self._body, self._keys = TextLines(self.rows), Keys(foot, **words)

    def compose(self) -> ComposeResult:
        yield self._body
        yield self._keys

    @property
    def text(self) -> str:
        """All that the view shows, as plain text."""
        return self._body.text

    def rows(self, width: int) -> Iterable[ListRow]:
        """The page from top to bottom, in so many columns."""
        raise NotImplementedError

    def show_plan(self) -> None:
        """Draw the page as the season has it now."""
        self._body.redraw()

    def action_back(self) -> None:
        self.dismiss()
