"""A screenful of rows of runs, drawn so that a small change costs few bytes."""

from __future__ import annotations

from collections.abc import Callable
from functools import lru_cache

from rich.segment import Segment
from rich.style import Style
from textual import events
from textual.geometry import Region
from textual.strip import Strip
from textual.widget import Widget

from calendar_tui.screens.kit.canvas import Runs
from calendar_tui.screens.kit.clicked import press_clicked
from calendar_tui.screens.kit.glyphs import STYLES
from calendar_tui.screens.kit.spans import changed_spans


@lru_cache(maxsize=256)
def style_of(names: str) -> Style:
    """The style for style names with blanks between."""
    return Style.parse(" ".join(STYLES[name] for name in names.split()))


class Sheet(Widget):
    """Rows of runs that fill the widget. Its screen has a `SpanCompositor`, so that only cells that change are sent."""

    def __init__(self, draw: Callable[[int, int], list[Runs]]) -> None:
        """draw: makes the rows for a width and a height in cells."""
        super().__init__()
        self._draw = draw
        self._drawn: list[Runs] = []
        self._drawn_for = (0, 0)

    @property
    def rows(self) -> list[Runs]:
        """The rows for the size there is."""
        if self._drawn_for != self.size:
            self._drawn_for = self.size
            self._drawn = self._made()
        return self._drawn

    def redraw(self) -> None:
        """Draw anew, and send what has changed."""
        before, self._drawn = self.rows, self._made()
        for y, (old, new) in enumerate(zip(before, self._drawn, strict=True)):
            if old is not new and old != new:
                for first, end in changed_spans(old, new):
                    self.refresh(Region(first, y, end - first, 1))

    def _made(self) -> list[Runs]:
        return self._draw(self.size.width, self.size.height) if self.size.area else []

    def render_line(self, y: int) -> Strip:
        row = self.rows[y] if y < len(self.rows) else ()
        strip = Strip(Segment(text, style_of(names)) for text, names in row)
        return strip.adjust_cell_length(self.size.width)

    def on_click(self, event: events.Click) -> None:
        """A key in the last row that is clicked acts as if it were pressed."""
        if self.rows and event.y == len(self.rows) - 1:
            press_clicked(self, self.rows[-1], event)
