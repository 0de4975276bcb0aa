"""Heat: temperature sums and germination from a day's lowest and highest temperature, and daily normals from monthly ones.

A day's sum is in degrees times days above a base. Degrees are Celsius or Fahrenheit, the same in all of a call; where a
name says `_c` they are Celsius. Sources: docs/how-dates-are-worked-out.md.
"""

from __future__ import annotations

import math
from bisect import bisect_left
from collections.abc import Callable, Iterable, Mapping, Sequence
from datetime import date, timedelta
from functools import lru_cache
from itertools import accumulate, pairwise

from calendar_tui.nature.rounding import whole

# Germination of hemp seed, degrees C: Crops 2022, 2:415.
GERMINATION_BASE_C, GERMINATION_OPTIMUM_C, GERMINATION_CEILING_C = 3.4, 29.6, 42.6
# How steeply germination slows above the optimum, against its rise below it: a straight line down to nothing at the
# ceiling. The paper gives the three temperatures but a rate only below the optimum, so the line is a choice.
_SLOWING = (GERMINATION_OPTIMUM_C - GERMINATION_BASE_C) / (GERMINATION_CEILING_C - GERMINATION_OPTIMUM_C)
# A sum that is short of the amount by less than this has reached it: adding up floats leaves such crumbs.
_CRUMB = 1e-9
_MONTH_DAYS = (31, 28, 31, 30, 31, 30, 31, 31, 30, 31, 30, 31)
_MONTH_STARTS = tuple(accumulate(_MONTH_DAYS, initial=0))
_MONTH_MIDDLES = tuple((first + after) / 2 for first, after in pairwise(_MONTH_STARTS))
_YEAR_DAYS = _MONTH_STARTS[-1]


def _average(low: float, high: float, base: float, upper: float) -> float:
    """The day's mean, held between the two thresholds, above the base."""
    return max(0.0, min((low + high) / 2, upper) - base)


def _modified(low: float, high: float, base: float, upper: float) -> float:
    """The mean of a low and a high that are each held between the two thresholds first ("86/50" in degrees F)."""
    held_low, held_high = max(base, min(low, upper)), max(base, min(high, upper))
    return (held_low + held_high) / 2 - base


def _single_sine(low: float, high: float, base: float, upper: float) -> float:
    """The area under one sine wave through low and high, between the two thresholds."""
    return _above(low, high, base) - _above(low, high, upper)


def _above(low: float, high: float, level: float) -> float:
    """The area above a level under one sine wave from `low` to `high`, in degrees times days."""
    if high <= level:
        return 0.0
    middle = (low + high) / 2
    if low >= level:
        return middle - level
    reach = (high - low) / 2
    rise = math.asin(max(-1.0, min(1.0, (level - middle) / reach)))  # the wave's angle as it passes the level
    return ((middle - level) * (math.pi / 2 - rise) + reach * math.cos(rise)) / math.pi


METHODS: Mapping[str, Callable[[float, float, float, float], float]] = {
    "average": _average,
    "modified": _modified,
    "single-sine": _single_sine,
}


def degree_days(low: float, high: float, base: float, upper: float, method: str) -> float:
    """What one day adds to a temperature sum: degrees x days above `base`, with a horizontal cutoff at `upper`.

    low, high: the day's temperatures, low <= high.
    base, upper: in the same degrees as these; upper may be math.inf.
    method: a key of METHODS; KeyError for another.
    Vectors: US extension examples, and those given for the UC Davis single sine.
    """
    return METHODS[method](low, high, base, upper)


def degree_day_series(
    lows: Iterable[float], highs: Iterable[float], base: float, upper: float, method: str
) -> tuple[float, ...]:
    """`degree_days` of each day. Raises ValueError where the two differ in length, or base is not below upper."""
    if not base < upper:
        raise ValueError(
            f"the base of a temperature sum, {base:g}, must be below its upper threshold, {upper:g}"
        )
    one = METHODS[method]
    return tuple(one(low, high, base, upper) for low, high in zip(lows, highs, strict=True))


def germination_degrees(temperature_c: float) -> float:
    """Degrees C that count for germination: above the base up to the optimum, less above it, none outside."""
    if not GERMINATION_BASE_C < temperature_c < GERMINATION_CEILING_C:
        return 0.0
    if temperature_c <= GERMINATION_OPTIMUM_C:
        return temperature_c - GERMINATION_BASE_C
    return _SLOWING * (GERMINATION_CEILING_C - temperature_c)


def germination_h(temperature_c: float, thermal_ch: float) -> float:
    """Hours until half of the seed has germinated at a steady temperature; infinite at or beyond base and ceiling.

    thermal_ch: the seed lot's thermal time in degree-hours (C), such as 694 or 714 (Crops 2022, 2:415).
    """
    degrees = germination_degrees(temperature_c)
    return thermal_ch / degrees if degrees else math.inf


def germination_day_ch(low_c: float, high_c: float) -> float:
    """Degree-hours (C) of one day that count for germination, its temperature taken as one sine wave from low to high.

    The same for every seed lot: half has germinated once the running sum reaches the lot's thermal time.
    """
    counted = (
        _above(low_c, high_c, GERMINATION_BASE_C)
        - (1 + _SLOWING) * _above(low_c, high_c, GERMINATION_OPTIMUM_C)
        + _SLOWING * _above(low_c, high_c, GERMINATION_CEILING_C)
    )
    return 24 * max(0.0, counted)


def running_sums(days: Iterable[float]) -> tuple[float, ...]:
    """0.0, and then the sum up to the end of each day; one value more than there are days."""
    return tuple(accumulate(days, initial=0.0))


def sum_at(sums: Sequence[float], moment: float) -> float:
    """The sum at a moment (days from the start of day 0), which is not after the end of the last day."""
    day = int(moment)
    if moment == day:
        return sums[day]
    return sums[day] + (moment - day) * (sums[day + 1] - sums[day])


def reached(sums: Sequence[float], start: float, amount: float) -> float | None:
    """The moment at which the sum counted from the moment `start` comes to `amount`, or None.

    Moments are days from the start of day 0, so 2.5 is the noon of day 2; within a day the sum grows evenly. sums: of
    `running_sums`, over days that each add 0 or more, none missing. start: 0 or more.
    """
    if start > len(sums) - 1:
        return None
    wanted = sum_at(sums, start) + amount
    end = bisect_left(sums, wanted - _CRUMB, int(start))
    if end == len(sums):
        return None
    if end <= start:
        return start
    before = sums[end - 1]
    return max(start, end - 1 + min(1.0, (wanted - before) / (sums[end] - before)))


def normal_days(monthly: Sequence[float], first: date, last: date) -> tuple[float, ...]:
    """A value for each day from first to last inclusive out of twelve monthly means, January first.

    Straight lines between the middles of months, December's to January's too, set so that each month of an ordinary
    year keeps its mean; 29 February is as 28 February. Raises ValueError where there are not twelve.
    """
    year = _normal_year(tuple(monthly))
    return tuple(year[_year_day(first + timedelta(days=passed))] for passed in range((last - first).days + 1))


def normal_lows_and_highs(
    low_by_month: Sequence[float], high_by_month: Sequence[float], first: date, last: date
) -> tuple[tuple[float, ...], tuple[float, ...]]:
    """`normal_days` of the monthly mean lows and highs, in C; where the two would cross, both are the value between them."""
    lows, highs = (normal_days(monthly, first, last) for monthly in (low_by_month, high_by_month))
    ordered = [
        (low, high) if low <= high else ((low + high) / 2,) * 2 for low, high in zip(lows, highs, strict=True)
    ]
    return tuple(low for low, _ in ordered), tuple(high for _, high in ordered)


def _year_day(day: date) -> int:
    """The day's number in an ordinary year, from 0."""
    return _MONTH_STARTS[day.month - 1] + min(day.day, _MONTH_DAYS[day.month - 1]) - 1


@lru_cache(maxsize=8)
def _normal_year(means: tuple[float, ...]) -> tuple[float, ...]:
    """The days of an ordinary year. The months' middles are moved until every month has its mean.

    A step leaves at most about half of the error, so forty leave nothing that a thermometer shows.
    """
    if len(means) != len(_MONTH_DAYS):
        raise ValueError(f"there are {len(means)} monthly means; give twelve, January first")
    middles = list(means)
    for _ in range(40):
        days = _between(middles)
        middles = [
            middle + mean - sum(days[start:end]) / (end - start)
            for middle, mean, (start, end) in zip(middles, means, pairwise(_MONTH_STARTS), strict=True)
        ]
    return tuple(_between(middles))


def _between(middles: Sequence[float]) -> list[float]:
    """The days of an ordinary year, at noon, on straight lines between the months' middles."""
    days = []
    for day in range(_YEAR_DAYS):
        noon = day + 0.5
        after = bisect_left(_MONTH_MIDDLES, noon)
        start = _MONTH_MIDDLES[after - 1] - (0 if after else _YEAR_DAYS)
        end = _MONTH_MIDDLES[after % 12] + (_YEAR_DAYS if after == 12 else 0)
        part = (noon - start) / (end - start)
        days.append(middles[after - 1] * (1 - part) + middles[after % 12] * part)
    return days


def median_day(values: Iterable[float | None]) -> int | None:
    """The median over years, by straight lines between values, as a whole day, halves up.

    None stands for "not reached" and ranks above every number: a median on it, or between it and a number, is None.
    Raises ValueError where there is no value.
    """
    given = list(values)
    if not given:
        raise ValueError("there are no years to take a median of")
    known = sorted(value for value in given if value is not None)
    below, above = (len(given) - 1) // 2, len(given) // 2
    return whole((known[below] + known[above]) / 2) if above < len(known) else None
