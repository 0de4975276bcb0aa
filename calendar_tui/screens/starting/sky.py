"""The length of the day through a new season, as soon as its position is known: a wrong hemisphere shows at once."""

from __future__ import annotations

from collections.abc import Sequence
from datetime import date
from math import ceil, floor

from rich.segment import Segment

from calendar_tui.screens.kit.axis import draw_dates
from calendar_tui.screens.kit.canvas import Canvas
from calendar_tui.screens.kit.drawing import ListRow
from calendar_tui.screens.kit.glyphs import Glyphs
from calendar_tui.screens.kit.hill import draw_day, hill_steps
from calendar_tui.screens.kit.themes import named
from calendar_tui.screens.kit.window import Window, days_in

# Rows of the hill, and columns before it for its hours.
HILL_ROWS, HOURS_WIDTH = 5, 8


def sky_rows(first: date, lengths_h: Sequence[float], width: int, glyphs: Glyphs) -> list[ListRow]:
    """The hill with its dates below it. lengths_h: of each day from the first on."""
    window = Window(first, len(lengths_h), max(width - HOURS_WIDTH, 1))
    low, high = floor(min(lengths_h)), ceil(max(lengths_h))
    hill = Canvas(window.width, HILL_ROWS + 1)
    steps = hill_steps(HILL_ROWS, glyphs)
    for x, day in enumerate(days_in(window)):
        share = (lengths_h[(day - first).days] - low) / max(high - low, 1)
        draw_day(hill, x, HILL_ROWS, min(int(share * steps), steps - 1), glyphs)
    draw_dates(hill, HILL_ROWS, window)
    hours = {0: f"{high} h", HILL_ROWS - 1: f"{low} h"}
    rows = [
        ((f"{hours.get(y, ''):>{HOURS_WIDTH - 1}} ", "axis"), *runs) for y, runs in enumerate(hill.rows())
    ]
    return [ListRow(tuple(Segment(text, named(names)) for text, names in runs)) for runs in rows]
