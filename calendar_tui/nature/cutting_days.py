"""From when to when a lot may be cut: the latest of what must be over, the earliest of what runs out, and which rule binds.

Days are local dates. A conflict is shown with both rules and never settled by moving a date. Figures are those of a rule profile;
the checks beside them are of 7 CFR 990 (read): sampled on a day, harvest complete within 30 days after it.
"""

from __future__ import annotations

from collections.abc import Iterable
from datetime import date, datetime, time, timedelta, tzinfo
from math import ceil, log
from typing import NamedTuple

from calendar_tui.nature.local_times import local_time


class Bound(NamedTuple):
    """A day and the rule that sets it, in words."""

    day: date
    rule: str


class CutWindow(NamedTuple):
    """earliest, latest: the first and last day of cutting with the rule that binds; None where none does.

    waits_for: what has to happen before there is an earliest day at all.
    """

    earliest: Bound | None
    latest: Bound | None
    waits_for: tuple[str, ...] = ()

    @property
    def conflict(self) -> tuple[Bound, Bound] | None:
        """The two bounds that leave no day between them; None where there is a day, or where one is not known."""
        if self.earliest and self.latest and self.earliest.day > self.latest.day:
            return self.earliest, self.latest
        return None

    @property
    def days(self) -> int | None:
        """Days on which it may be cut, both ends counted, 0 in a conflict; None where an end is not known."""
        if self.earliest is None or self.latest is None or self.waits_for:
            return None
        return max(0, (self.latest.day - self.earliest.day).days + 1)


def cut_window(
    not_before: Iterable[Bound], not_after: Iterable[Bound], waits_for: Iterable[str] = ()
) -> CutWindow:
    """What all bounds leave. Of bounds on one day the first binds."""
    earliest = max(not_before, key=lambda bound: bound.day, default=None)
    latest = min(not_after, key=lambda bound: bound.day, default=None)
    return CutWindow(earliest, latest, tuple(waits_for))


def harvest_complete_by(sampled: date, within_d: int) -> date:
    """The last day of a harvest after an official sample; a day later needs another sample."""
    return sampled + timedelta(days=within_d)


def needs_new_sample(harvest_ends: date, sampled: date, within_d: int) -> bool:
    """Whether a harvest, or a later pass of it, ends after the sample's window. One before the sample has none either."""
    return not sampled <= harvest_ends <= harvest_complete_by(sampled, within_d)


def earliest_sample(harvest: date, before_d: int) -> date:
    """The first day on which the official sample of an expected harvest may be taken."""
    return harvest - timedelta(days=before_d)


def last_start(complete_by: date, cutting_d: int) -> date:
    """The last day to begin a cutting of so many days, to be done on the last one. Raises ValueError for under 1 day."""
    if cutting_d < 1:
        raise ValueError(f"cutting takes {cutting_d} d; it must be 1 or more")
    return complete_by - timedelta(days=cutting_d - 1)


def flowering_window(starts: date, ends: date, after_start_d: int, after_end_d: int) -> tuple[date, date]:
    """The first and last day of a sample that an authority takes by the flowering. Raises ValueError for ends before starts."""
    if ends < starts:
        raise ValueError(f"flowering ends on {ends} and starts on {starts}; change them round")
    return starts + timedelta(days=after_start_d), ends + timedelta(days=after_end_d)


def first_whole_day(opens: datetime, zone: tzinfo) -> date:
    """The first local day that is open from its first minute on: the day of an instant (UTC), or the one after it."""
    local = local_time(opens, zone)
    return local.date() if local.time() == time() else local.date() + timedelta(days=1)


def plants_to_meet_one(certainty: float, share: float) -> int:
    """Plants to cut so that one of those over the limit is among them: ln(1 - certainty) / ln(1 - share), rounded up.

    certainty, share: 0 to 1, both ends left out. Raises ValueError.
    """
    for name, figure in (("certainty", certainty), ("share", share)):
        if not 0 < figure < 1:
            raise ValueError(f"{name} is {figure:g}; it is a share, over 0 and under 1")
    return ceil(log(1 - certainty) / log(1 - share))


# Of 7 CFR 990's sampling scheme (memory): the plants of a lot without end, and the smallest lot that the formula is for.
_ENDLESS_LOT, _FORMULA_ACRES = 299, 11


def plants_of_lot(acres: int) -> int:
    """Plants that the US sampling scheme (memory) cuts of a lot: n0 / (1 + (n0 - 1) / N), rounded up.

    Raises ValueError for a lot under 11 acres, which has a table of its own there, not read.
    """
    if acres < _FORMULA_ACRES:
        raise ValueError(f"a lot of {acres} acres; under {_FORMULA_ACRES} acres ask the sampling agent")
    return ceil(_ENDLESS_LOT / (1 + (_ENDLESS_LOT - 1) / acres))
