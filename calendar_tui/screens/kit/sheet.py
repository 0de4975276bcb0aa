"""A screenful of rows of runs, drawn so that a small change costs few bytes."""

from __future__ import annotations

from collections.abc import Callable

from rich.segment import Segment
from textual import events
from textual.geometry import Offset, Region
from textual.strip import Strip
from textual.widget import Widget

from calendar_tui.screens.kit.canvas import Runs, width_of
from calendar_tui.screens.kit.clicked import press_clicked
from calendar_tui.screens.kit.spans import changed_spans
from calendar_tui.screens.kit.themes import colours_on, style_of
from calendar_tui.season.cells import cell_len


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

    @property
    def cursor_at(self) -> Offset | None:
        """Where on the terminal the row that is pointed at begins; None where none is."""
        for y, row in enumerate(self.rows):
            for n, (_, names) in enumerate(row):
                if "pointed" in names.split():
                    return self.region.offset + Offset(width_of(row[:n]), y)
        return None

    def repaint(self, before: str, after: str) -> None:
        """Send what looks otherwise in another set of colours."""
        for y, row in enumerate(self.rows):
            x = 0
            for text, names in row:
                end = x + cell_len(text)
                if style_of(names, before) != style_of(names, after):
                    self.refresh(Region(x, y, end - x, 1))
                x = end

    def _made(self) -> list[Runs]:
        return self._draw(self.size.width, self.size.height) if self.size.area else []

    def render_line(self, y: int) -> Strip:
        row = self.rows[y] if y < len(self.rows) else ()
        colours = colours_on(self)
        strip = Strip(Segment(text, style_of(names, colours)) for text, names in row)
        return strip.adjust_cell_length(self.size.width)

    def on_click(self, event: events.Click) -> None:
        """A key in the last row that is clicked acts as if it were pressed."""
        if self.rows and event.y == len(self.rows) - 1:
            press_clicked(self, self.rows[-1], event)
