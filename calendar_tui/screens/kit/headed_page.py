"""A page below a heading that stays in sight however far the page is scrolled."""

from __future__ import annotations

from collections.abc import Sequence

from textual.app import ComposeResult
from textual.events import Resize

from calendar_tui.screens.kit.drawing import Bar
from calendar_tui.screens.kit.page import FOOT, Given, Page


class HeadedPage(Page[Given]):
    """The heading has two lines, worded anew for each width."""

    CSS = "#heading { height: 2; }"

    def __init__(self, foot: Sequence[str] = FOOT, **words: str) -> None:
        super().__init__(foot, **words)
        self._heading = Bar(id="heading")

    def compose(self) -> ComposeResult:
        self.say_heading(self.app.size.width)
        yield self._heading
        yield from super().compose()

    def on_resize(self, event: Resize) -> None:
        self.say_heading(event.size.width)

    @property
    def text(self) -> str:
        return f"{self._heading.text}\n{self._body.text}"

    def say_heading(self, width: int) -> None:
        """Put what the page is of into the heading."""
        raise NotImplementedError
