"""A screenful of rows of runs, drawn so that a small change costs few bytes."""

from __future__ import annotations

from collections.abc import Callable
from functools import lru_cache

from rich.segment import Segment
from rich.style import Style
from textual.app import ComposeResult
from textual.geometry import Region
from textual.strip import Strip
from textual.widget import Widget

from calendar_tui.screens.canvas import Row, changed_up_to, crop
from calendar_tui.screens.glyphs import STYLES

# Textual sends a changed line again from its widget's left edge on, so that the sheet is laid in upright tiles:
# more of them make a cell that moves cheaper, and a whole page dearer.
TILES = 3


@lru_cache(maxsize=256)
def style_of(names: str) -> Style:
    """The style for style names with blanks between."""
    return Style.parse(" ".join(STYLES[name] for name in names.split()))


class Sheet(Widget):
    """Rows of runs that fill the widget."""

    DEFAULT_CSS = "Sheet { layout: horizontal; }"

    def __init__(self, draw: Callable[[int, int], list[Row]]) -> None:
        """draw: makes the rows for a width and a height in cells."""
        super().__init__()
        self._draw = draw
        self._drawn: list[Row] = []
        self._drawn_for = (0, 0)

    def compose(self) -> ComposeResult:
        for _ in range(TILES):
            yield Tile(self)

    @property
    def rows(self) -> list[Row]:
        """The rows for the size there is."""
        if self._drawn_for != self.size:
            self._drawn_for = self.size
            self._drawn = self._draw(self.size.width, self.size.height) if self.size.area else []
        return self._drawn

    def redraw(self) -> None:
        """Draw anew, and send what has changed."""
        before = self.rows
        self._drawn = self._draw(self.size.width, self.size.height) if self.size.area else []
        for tile in self.query_children(Tile):
            tile.send(before, self._drawn)


class Tile(Widget):
    """An upright part of a sheet."""

    DEFAULT_CSS = "Tile { width: 1fr; height: 100%; }"

    def __init__(self, sheet: Sheet) -> None:
        super().__init__()
        self._sheet = sheet

    def send(self, old: list[Row], new: list[Row]) -> None:
        """Send again what differs in this part."""
        for y, (before, now) in enumerate(zip(old, new, strict=True)):
            if before != now and (cells := changed_up_to(self._part(before), self._part(now))):
                self.refresh(Region(0, y, cells, 1))

    def _part(self, row: Row) -> Row:
        left = self.region.x - self._sheet.region.x
        return crop(row, left, left + self.size.width)

    def render_line(self, y: int) -> Strip:
        rows = self._sheet.rows
        if y >= len(rows):
            return Strip.blank(self.size.width)
        strip = Strip(Segment(text, style_of(names)) for text, names in self._part(rows[y]))
        return strip.adjust_cell_length(self.size.width)
