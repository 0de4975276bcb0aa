"""A question on a page of its own, answered by a key: y for yes, n or Esc for no."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from typing import ClassVar

from textual.app import ComposeResult
from textual.binding import Binding, BindingType
from textual.screen import Screen

from calendar_tui.screens.kit.drawing import HEADING, WARNING, Lines, Row, row, wrapped
from calendar_tui.screens.kit.keys import Keys


class QuestionView(Screen[bool]):
    """Gives True for yes."""

    BINDINGS: ClassVar[list[BindingType]] = [
        Binding("y", "answer(True)", "yes"),
        Binding("n,escape", "answer(False)", "no"),
    ]

    def __init__(self, yes: str, no: str) -> None:
        """yes, no: what either answer does, in a word or two."""
        super().__init__()
        self._keys = f"y {yes}  up/down scroll  n or esc {no}"
        self._body = Lines(self.rows)

    def compose(self) -> ComposeResult:
        yield self._body
        yield Keys(self._keys)

    @property
    def text(self) -> str:
        """All that the view shows, as plain text."""
        return self._body.text

    def rows(self, width: int) -> Iterable[Row]:
        """What is asked."""
        raise NotImplementedError

    def action_answer(self, yes: bool) -> None:
        self.dismiss(yes)


class OthersView(QuestionView):
    """Whether to take back, or bring back, what is another person's to take."""

    def __init__(self, question: str, lines: Sequence[str], yes: str) -> None:
        """lines: whose change, when, and what."""
        super().__init__(yes, "back")
        self._question, self._lines = question, lines

    def rows(self, width: int) -> Iterable[Row]:
        yield from wrapped(self._question, width, style=HEADING)
        yield from wrapped("Nothing is changed yet.", width, style=WARNING)
        yield row()
        for line in self._lines:
            yield from wrapped(line, width, "", "  ")
