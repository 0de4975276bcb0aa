"""A screenful of rows of runs, drawn so that a small change costs few bytes."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from functools import lru_cache

from rich.segment import Segment
from rich.style import Style
from textual.app import ComposeResult
from textual.geometry import Offset, Region
from textual.strip import Strip
from textual.widget import Widget

from calendar_tui.screens.kit.canvas import Runs, changed_up_to, crop
from calendar_tui.screens.kit.glyphs import STYLES

# Textual sends a changed line again from its widget's left edge on. The upper part of a sheet, where single cells
# move, is therefore laid in upright tiles; the lower part, where whole lines change, is one. More tiles would spare a
# move few bytes, and each takes its time when the screen opens.
TILES = 3


@lru_cache(maxsize=256)
def style_of(names: str) -> Style:
    """The style for style names with blanks between."""
    return Style.parse(" ".join(STYLES[name] for name in names.split()))


class Sheet(Widget):
    """Rows of runs that fill the widget."""

    DEFAULT_CSS = "Sheet { layout: vertical; } #upper { layout: horizontal; }"

    def __init__(self, draw: Callable[[int, int], list[Runs]], upper: Callable[[int, int], int]) -> None:
        """draw: makes the rows for a width and a height in cells; upper: how many of those are the upper part."""
        super().__init__()
        self._draw, self._upper_rows = draw, upper
        self._drawn: list[Runs] = []
        self._drawn_for = (0, 0)
        self._tiles = [Tile(self) for _ in range(TILES + 1)]
        self._upper = Widget(*self._tiles[:-1], id="upper")

    def compose(self) -> ComposeResult:
        self._upper.styles.height = self._upper_rows(*self.app.size)
        yield self._upper
        yield self._tiles[-1]

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
        self._upper.styles.height = self._upper_rows(*self.size)
        pairs = zip(before, self._drawn, strict=True)
        changed = [y for y, (old, new) in enumerate(pairs) if old is not new and old != new]
        for tile in self._tiles:
            tile.send(changed, before, self._drawn)

    def on_resize(self) -> None:
        self._upper.styles.height = self._upper_rows(*self.size)

    def _made(self) -> list[Runs]:
        return self._draw(self.size.width, self.size.height) if self.size.area else []


class Tile(Widget):
    """A part of a sheet."""

    DEFAULT_CSS = "Tile { width: 1fr; height: 1fr; }"

    def __init__(self, sheet: Sheet) -> None:
        super().__init__()
        self._sheet = sheet

    def send(self, changed: Sequence[int], old: Sequence[Runs], new: Sequence[Runs]) -> None:
        """Send again what differs in this part; changed: the rows of the sheet to look at."""
        (x, top), (width, height) = self._place, self.size
        for y in changed:
            if top <= y < top + height:
                cells = changed_up_to(crop(old[y], x, x + width), crop(new[y], x, x + width))
                if cells:
                    self.refresh(Region(0, y - top, cells, 1))

    @property
    def _place(self) -> Offset:
        """Where in the sheet this part begins."""
        return self.region.offset - self._sheet.region.offset

    def render_line(self, y: int) -> Strip:
        x, top = self._place
        rows, width = self._sheet.rows, self.size.width
        part = crop(rows[top + y], x, x + width) if top + y < len(rows) else ()
        strip = Strip(Segment(text, style_of(names)) for text, names in part)
        return strip.adjust_cell_length(width)
