"""When a trial was measured: values of neighbouring days are one round, in which nothing is measured twice."""

from __future__ import annotations

from collections.abc import Sequence
from datetime import date, timedelta
from itertools import groupby
from operator import attrgetter
from typing import NamedTuple

from calendar_tui.planning.trial_analysis.readings import Reading

# Rounds are mostly a week apart, so that one that takes days is shorter (common practice, no source).
_LONGEST_D = 7


class Round(NamedTuple):
    """readings: of days from first to last, each plot or plant once."""

    readings: tuple[Reading, ...]

    @property
    def first(self) -> date:
        return self.readings[0].day

    @property
    def last(self) -> date:
        return self.readings[-1].day


def rounds_of(readings: Sequence[Reading]) -> list[Round]:
    """By day. One round where each plot or plant was measured once in all, as at a harvest that takes weeks."""
    if not readings:
        return []
    spots = {one.spot for one in readings}
    if len(spots) == len(readings):
        return [Round(tuple(readings))]
    rounds: list[list[Reading]] = []
    seen: set[tuple[str, int | None]] = set()
    for day, held in groupby(readings, key=attrgetter("day")):
        ones = list(held)
        here = {one.spot for one in ones}
        if not rounds or here & seen or day - rounds[-1][0].day >= timedelta(days=_LONGEST_D):
            rounds.append([])
            seen = set()
        rounds[-1] += ones
        seen |= here
    return [Round(tuple(ones)) for ones in rounds]
