"""One line for what was found when a task was done, where its chore asks for it."""

from __future__ import annotations

from typing import ClassVar

from textual.app import ComposeResult
from textual.binding import BindingType
from textual.screen import Screen
from textual.widgets import Input

from calendar_tui.screens.actions import bindings
from calendar_tui.screens.drawing import DIM, HEADING, Bar, keys_row, row, wrapped

KEYS = "enter tick, with an empty line too  esc back, nothing ticked"


class FactView(Screen[str | None]):
    """Asks for a fact; gives what was typed, "" for nothing, and None where the task is not to be ticked."""

    CSS = "Input { border: none; height: 1; padding: 0 2; } #what { height: 3; } #keys { dock: bottom; }"
    BINDINGS: ClassVar[list[BindingType]] = [*bindings("view")]

    def __init__(self, work: str, asks: str, fact: str = "") -> None:
        """work: the task as a change names it; fact: what stands there already."""
        super().__init__()
        self._work, self._asks = work, asks
        self._what = Bar(id="what")
        self._input = Input(fact, id="fact")

    def compose(self) -> ComposeResult:
        yield Bar(row(("What was found", HEADING)))
        yield self._what
        yield self._input
        yield Bar(keys_row(KEYS), id="keys")

    def on_mount(self) -> None:
        asked = row(("Write down: ", DIM), self._asks)
        self._what.say(*wrapped(self._work, self.size.width - 1)[:2], asked)
        self._input.focus()

    @property
    def text(self) -> str:
        """All that the view shows, as plain text."""
        return self._what.text

    def on_input_submitted(self) -> None:
        self.dismiss(" ".join(self._input.value.split()))

    def action_back(self) -> None:
        self.dismiss(None)
