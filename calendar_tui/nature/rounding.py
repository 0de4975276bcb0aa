"""The one rule by which days, and sums that are shown whole, are rounded; and sums of figures that may not be known."""

from __future__ import annotations

from collections.abc import Iterable
from math import floor


def whole(number: float) -> int:
    """The nearest whole number, halves up: 8.5 is 9 and 9.5 is 10, so that half a day is always the later date."""
    return floor(number + 0.5)


def sum_of_known(figures: Iterable[float | None]) -> float | None:
    """The sum of figures of one unit; 0 for no figures, None where one is not known."""
    every = list(figures)
    known = [figure for figure in every if figure is not None]
    return sum(known) if len(known) == len(every) else None
