"""The one rule by which days, and sums that are shown whole, are rounded."""

from __future__ import annotations

from math import floor


def whole(number: float) -> int:
    """The nearest whole number, halves up: 8.5 is 9 and 9.5 is 10, so that half a day is always the later date."""
    return floor(number + 0.5)
