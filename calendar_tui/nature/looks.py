"""When somebody looked at a cohort and what was seen, and how likely that is for plants that got there on a given day.

Days are day numbers of a season, from 0. Needs numpy, as `nature/refit.py` does.
"""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from math import inf, isfinite
from typing import NamedTuple

import numpy as np
from numpy.typing import NDArray

Floats = NDArray[np.float64]

NEVER = -1  # the day number of plants that are not induced within the days given

# The error of a record, d: Student's t with 4 degrees of freedom, of a scale that nobody knows. Placeholder: about 4 to 5 d
# is the best a process model did in Florida (agg2.70145, read).
SCALES: Mapping[float, float] = {1.5: 0.25, 2.5: 0.40, 4.0: 0.25, 6.0: 0.10}


class Between(NamedTuple):
    """The day number of induction lies after `after` and not after `until`; -inf and inf where nobody looked."""

    after: float
    until: float


def seen_on(day: int) -> Between:
    """Induction seen on day number `day`, by someone who looks every day."""
    return Between(day - 1, day)


def first_seen(day: int, last_looked: int) -> Between:
    """Seen on `day`, and not yet on `last_looked`. Raises ValueError unless that is before it."""
    if last_looked >= day:
        raise ValueError(
            f"last looked on day {last_looked}, seen on day {day}: the last look must be before it"
        )
    return Between(last_looked, day)


def not_yet(day: int) -> Between:
    """Not induced on day number `day`."""
    return Between(day, inf)


def meet(records: Iterable[Between]) -> Between:
    """All records of one cohort as one, since they are of one day and share its error.

    Raises ValueError where they contradict each other.
    """
    every = [Between(-inf, inf), *records]
    both = Between(max(record.after for record in every), min(record.until for record in every))
    if both.after >= both.until:
        raise ValueError(
            f"not yet on day {both.after:g}, but seen on day {both.until:g}: the records contradict each other"
        )
    return both


def t4_cdf(t: Floats) -> Floats:
    """The share of Student's t with 4 degrees of freedom below each t: closed form, for finite t.

    Its values are those of the incomplete beta function (Abramowitz and Stegun 26.7.4, with df = 4).
    """
    stretch = 1 + t * t / 4
    out: Floats = 0.5 + 0.375 * t / np.sqrt(stretch) * (1 - t * t / (12 * stretch))
    return out


def error_cdf(error_d: Floats, scales: Mapping[float, float] = SCALES) -> Floats:
    """The share of records whose error (d, recorded less true) is below each `error_d`; scales: weight by scale, d."""
    return sum((weight * t4_cdf(error_d / scale) for scale, weight in scales.items()), np.zeros_like(error_d))


def likelihood(record: Between, count: int, scales: Mapping[float, float] = SCALES) -> Floats:
    """How likely a record is for plants that are induced on day number 0, 1 ... count - 1, and, last, NEVER.

    Shape (count + 1,), so that NEVER, taken as an index, finds its own. Plants that are never induced are not seen so.
    """
    days = np.arange(count, dtype=np.float64)
    before = _share_until(record.until, days, scales)
    out = before - _share_until(record.after, days, scales)
    return np.append(np.maximum(out, 0.0), float(record.until == inf))


def _share_until(end: float, days: Floats, scales: Mapping[float, float]) -> Floats:
    """Half a day is added, since a day number stands for the whole day."""
    return error_cdf(end + 0.5 - days, scales) if isfinite(end) else np.full_like(days, float(end > 0))
