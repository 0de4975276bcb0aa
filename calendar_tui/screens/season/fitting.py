"""Which rows are shown where not all have room."""

from __future__ import annotations


def first_shown(selected: int, top: int, shown: int, total: int) -> int:
    """The first row on screen: moved by half a page where the selected one has left it."""
    half = max(shown // 2, 1)
    while selected < top:
        top -= half
    while selected >= top + shown > top:
        top += half
    return max(min(top, total - shown), 0)
