"""One result of a laboratory, as the trend takes it, and what cannot be one."""

from __future__ import annotations

from collections.abc import Sequence
from math import isfinite, log
from typing import NamedTuple

from calendar_tui.nature.canopy import LEAST_DATES, TOP

# Where nothing was found at all, the low end is taken as this share of the upper one: it says that little is there,
# and hardly how little. Placeholder.
LEAST_SHARE = 0.1


class Result(NamedTuple):
    """An analyte in one bag. day: after 50 % flowering; low, high: % (equal where measured); laboratory: its name.

    A total of which a part lies below the laboratory's limit has two ends; low may be 0 where no part was found.
    """

    day: float
    position: str
    low: float
    high: float
    laboratory: str = ""


def measured(day: float, position: str, value: float, laboratory: str = "") -> Result:
    """A result without an interval."""
    return Result(day, position, value, value, laboratory)


def log_value(result: Result) -> tuple[float, float]:
    """The middle of a result on the log scale, and the variance that its interval adds to its error.

    An interval counts as its middle, with the spread of a value that lies anywhere in it (on the log scale) alike; so a
    wide one weighs little, and neither end is taken as the value.
    """
    low = log(max(result.low, result.high * LEAST_SHARE))
    high = log(result.high)
    return (low + high) / 2, (high - low) ** 2 / 12


def check(results: Sequence[Result]) -> None:
    """Raises ValueError, in a sentence with what would be right, for a value that no crop can have."""
    for result in results:
        wrong = _wrong(result)
        if wrong:
            raise ValueError(f"day {result.day:g}, {result.position}: {wrong}")


def _wrong(result: Result) -> str:
    day, _, low, high, _ = result
    if not (isfinite(day) and isfinite(low) and isfinite(high)):
        return "a day and a value must be numbers"
    if low < 0:
        return (
            f"{low:g} %: a result is not negative; one below the laboratory's limit goes from 0 to that limit"
        )
    if high <= 0:
        return "0 %: a laboratory finds less than its limit, never nothing; give 0 and that limit as the two ends"
    if high > 100:
        return f"{high:g} %: over 100 %; is it in mg/g (divide by 10) or ppm (divide by 10,000)?"
    return f"from {low:g} to {high:g} %: the low end comes first" if low > high else ""


def since_flowering(results: Sequence[Result]) -> tuple[Result, ...]:
    """The results that the model speaks of, sorted, so that the order they come in changes nothing."""
    return tuple(sorted(result for result in results if result.day >= 0))


def dates(results: Sequence[Result]) -> int:
    """On how many days samples were taken."""
    return len({result.day for result in results})


def dates_missing(results: Sequence[Result]) -> int:
    """How many days with samples are still needed for a trend of these results, which are of one position."""
    return max(LEAST_DATES - dates(results), 0)


def is_provisional(results: Sequence[Result]) -> bool:
    """Whether a trend of these results rests on just as many dates as it needs."""
    return dates(results) == LEAST_DATES


def deciding_position(results: Sequence[Result]) -> str | None:
    """Whose trend is held against a limit: the top's; where it was not sampled, that of the position with the highest latest result.

    results: sorted, as `since_flowering` gives them; None for none.
    """
    latest = {result.position: result for result in results}
    return TOP if TOP in latest else max(latest, key=lambda name: latest[name].high, default=None)
