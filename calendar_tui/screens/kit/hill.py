"""The length of the day as a hill: its edge as a line, and a light ground below it, so that what lies on it is seen first."""

from __future__ import annotations

from calendar_tui.screens.kit.canvas import Canvas
from calendar_tui.screens.kit.glyphs import Glyphs


def hill_steps(rows: int, glyphs: Glyphs) -> int:
    """In how many steps so many rows are divided."""
    return rows * len(glyphs.curve)


def draw_day(canvas: Canvas, x: int, rows: int, step: int, glyphs: Glyphs) -> None:
    """A day in a column, in so many rows from the top. step: how high, 0 lowest, of `hill_steps`."""
    up, part = divmod(step, len(glyphs.curve))
    top = rows - 1 - up
    canvas.put(x, top, glyphs.curve[part], "curve")
    for y in range(top + 1, rows):
        canvas.put(x, y, glyphs.ground, "ground")
