"""From when to when a lot may be cut: the latest of what must be over, the earliest of what runs out, and which rule binds.

Days are local dates. A conflict is shown with both rules and never settled by moving a date. Figures are those of a rule profile;
the checks beside them are of 7 CFR 990 (read): sampled on a day, harvest complete within 30 days after it.
"""

from __future__ import annotations

from collections.abc import Iterable
from datetime import date, timedelta
from typing import NamedTuple


class Bound(NamedTuple):
    """A day and the rule that sets it, in words."""

    day: date
    rule: str


class CutWindow(NamedTuple):
    """latest: the last day of cutting with the rule that binds; None where none does. not_before: the same of the first day.

    waits_for: what has to happen, on no known day, before there is an earliest day at all.
    """

    not_before: Bound | None
    latest: Bound | None
    waits_for: tuple[str, ...] = ()

    @property
    def earliest(self) -> Bound | None:
        """The first day of cutting with its rule; None where none is known, or something is waited for."""
        return None if self.waits_for else self.not_before

    @property
    def conflict(self) -> tuple[Bound, Bound] | None:
        """The two bounds that leave no day between them; None where there is a day, or where one is not known."""
        if self.not_before and self.latest and self.not_before.day > self.latest.day:
            return self.not_before, self.latest
        return None

    @property
    def days(self) -> int | None:
        """Days on which it may be cut, both ends counted, 0 in a conflict; None where an end is not known."""
        if self.earliest is None or self.latest is None:
            return None
        return max(0, (self.latest.day - self.earliest.day).days + 1)


def cut_window(
    not_before: Iterable[Bound], not_after: Iterable[Bound], waits_for: Iterable[str] = ()
) -> CutWindow:
    """What all bounds leave. Of bounds on one day the first binds."""
    first = max(not_before, key=lambda bound: bound.day, default=None)
    latest = min(not_after, key=lambda bound: bound.day, default=None)
    return CutWindow(first, latest, tuple(waits_for))


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
