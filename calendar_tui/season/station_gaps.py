"""The days on which a station has no temperatures, as runs and in a sentence."""

from __future__ import annotations

import math
from collections.abc import Iterator, Sequence
from datetime import date, timedelta

_GAPS_SHOWN = 5


def gap_notes(name: str, first: date, lows: Sequence[float]) -> Iterator[str]:
    """A sentence that says which days have no temperatures, if any."""
    runs = list(gaps(lows))
    if not runs:
        return
    missing = sum(after - start for start, after in runs)
    where = [_span_text(first, *gap) for gap in runs[:_GAPS_SHOWN]]
    more = f" and {len(runs) - _GAPS_SHOWN} more gaps" if len(runs) > _GAPS_SHOWN else ""
    yield f"{name}: no temperatures on {missing} of {len(lows)} days: {', '.join(where)}{more}"


def gaps(lows: Sequence[float]) -> Iterator[tuple[int, int]]:
    """The runs of missing days: the number of the first, and of the first day after it that is there."""
    start: int | None = None
    for day, low in enumerate((*lows, 0.0)):
        if math.isnan(low):
            start = day if start is None else start
        elif start is not None:
            yield start, day
            start = None


def _span_text(first: date, start: int, after: int) -> str:
    begin, end = (first + timedelta(days=day) for day in (start, after - 1))
    return f"{begin}" if begin == end else f"{begin} to {end}"
