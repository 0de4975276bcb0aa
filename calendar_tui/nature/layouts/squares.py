"""Latin squares: each treatment once in every row and once in every column."""

from __future__ import annotations

from calendar_tui.nature.layouts.shuffle import Draw, shuffled


def latin_square(size: int, draw: Draw) -> list[list[int]]:
    """Rows of treatments, from 0: the square that shifts by one a row, its rows, columns and treatments shuffled.

    Not every square of 4 and more can come, but any two treatments are as likely as any other two to stand beside or above
    each other, which is what a fair comparison needs (common practice).
    """
    rows, columns, names = (shuffled(range(size), draw) for _ in range(3))
    return [[names[(row + column) % size] for column in columns] for row in rows]
