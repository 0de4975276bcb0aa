"""The plant's response to day length: a graded count of short days towards induction.

Each day adds 1 when the felt day is at or below the full-response day, nothing when it is at or above the critical
day, when the count also goes back to zero, and in between a part in proportion. Source: docs/how-dates-are-worked-out.md
(fitted there to half-induction dates of open trial records at 25.5 N).
"""

from __future__ import annotations

from collections.abc import Sequence
from itertools import islice
from typing import NamedTuple


class Response(NamedTuple):
    """critical_h, full_h: day lengths in h, full_h < critical_h; needed: the count at which plants are induced, d."""

    critical_h: float
    full_h: float
    needed: float


class Induction(NamedTuple):
    """Day numbers: the first day of the run that got there, and the day the count got there."""

    trigger: int
    induced: int


def day_count(felt_h: float, response: Response) -> float:
    """What one day of this felt length adds to the count, 0 to 1."""
    part = (response.critical_h - felt_h) / (response.critical_h - response.full_h)
    return min(1.0, max(0.0, part))


def induction(felt_h: Sequence[float], start: int, response: Response) -> Induction | None:
    """The trigger and induction of plants that can count from day number `start`, or None if not within `felt_h`.

    felt_h: one felt day length (h) a day. start: the first day that can count; 0 or more.
    """
    critical, full, needed = response
    width = critical - full
    count, trigger = 0.0, start
    for day, felt in enumerate(islice(felt_h, start, None), start):
        if felt >= critical:
            count, trigger = 0.0, day + 1
            continue
        count += 1.0 if felt <= full else (critical - felt) / width
        if count >= needed - 1e-9:
            return Induction(trigger, day)
    return None


def counts(felt_h: Sequence[float], start: int, response: Response) -> tuple[float, ...]:
    """The count at the end of each day from day number `start` on."""
    out = []
    count = 0.0
    for felt in islice(felt_h, start, None):
        count = 0.0 if felt >= response.critical_h else count + day_count(felt, response)
        out.append(count)
    return tuple(out)
