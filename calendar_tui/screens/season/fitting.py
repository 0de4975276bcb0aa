"""What is shown where not all has room: which cohorts, and what stands in the place of a chart in a small terminal."""

from __future__ import annotations

from calendar_tui.screens.kit.canvas import Runs, words_alone
from calendar_tui.screens.season.chart import SMALLEST


def first_shown(selected: int, top: int, shown: int, total: int) -> int:
    """The first cohort on screen: moved by half a page where the selected one has left it."""
    half = max(shown // 2, 1)
    while selected < top:
        top -= half
    while selected >= top + shown > top:
        top += half
    return max(min(top, total - shown), 0)


def too_small(width: int, height: int, ellipsis: str) -> list[Runs]:
    text = (
        f"The season view needs at least {SMALLEST[0]}x{SMALLEST[1]} cells; this terminal has {width}x{height}. "
        f"Make it larger, or press q to quit."
    )
    return words_alone(text, width, height, ellipsis)
