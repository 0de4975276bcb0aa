"""The response of the date read backwards: which planting gives a harvest on a wished date."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from datetime import date

from calendar_tui.planning.response.outcomes import Outcome, stretches
from calendar_tui.planning.response.worked import day_off, worked
from calendar_tui.season.records import Crew


@dataclass(frozen=True, slots=True)
class Wished:
    """What can be planted for a harvest.

    wanted: the harvest that is wished for; begin: the day before which nothing is started.
    best: the planting on working days whose likely harvest comes nearest, None where nothing that can still be started
    is harvested.
    any_day: the planting that would be best if every day were worked, and which of its days is not, `day_off`; None where
    it is `best` itself.
    planted: the first and last planting date of each run of dates with the same likely harvest as `best`.
    missed: the planting that would come nearer and had to be started before `begin`; None where there is none.
    first, last: the earliest and the latest likely harvest that can still be had.
    """

    wanted: date
    begin: date
    best: Outcome | None
    any_day: Outcome | None = None
    day_off: date | None = None
    planted: tuple[tuple[date, date], ...] = ()
    missed: Outcome | None = None
    first: date | None = None
    last: date | None = None

    @property
    def off_d(self) -> int:
        """Days by which the likely harvest of `best` is later than the one wished for."""
        return 0 if self.best is None else _off_d(self.best, self.wanted)

    @property
    def any_day_is_nearer(self) -> bool:
        """Whether the harvest would be nearer if every day were worked."""
        return self.any_day is not None and abs(_off_d(self.any_day, self.wanted)) < abs(self.off_d)


def wished(
    outcomes: Sequence[Outcome], wanted: date, begin: date, growth_d: int, crew: Crew | None = None
) -> Wished:
    """The planting that is harvested on, or nearest to, a date.

    growth_d: days of growth that are wished for, which choose among plantings whose harvest is the same number of days away.
    crew: whose working days count; None: every day is worked.
    """
    harvested = [o for o in outcomes if o.harvest is not None]
    possible = [o for o in harvested if o.begun >= begin]
    any_day, missed = (_nearest(some, wanted, growth_d) for some in (possible, harvested))
    crew = crew or Crew()
    best = _nearest(worked(possible, crew), wanted, growth_d)
    if any_day is None or best is None or best.harvest is None:
        return Wished(wanted, begin, None, missed=missed)
    nearer = missed is not None and abs(_off_d(missed, wanted)) < abs(_off_d(any_day, wanted))
    day = best.harvest.likely
    dates = [o.harvest.likely for o in possible if o.harvest]
    return Wished(
        wanted,
        begin,
        best,
        any_day=None if any_day == best else any_day,
        day_off=None if any_day == best else day_off(any_day, crew),
        planted=tuple(stretches(possible, lambda o: o.harvest is not None and o.harvest.likely == day)),
        missed=missed if nearer else None,
        first=min(dates),
        last=max(dates),
    )


def _nearest(outcomes: Sequence[Outcome], wanted: date, growth_d: int) -> Outcome | None:
    def distance(outcome: Outcome) -> tuple[int, int, date]:
        return abs(_off_d(outcome, wanted)), abs((outcome.growth_d or 0) - growth_d), outcome.planted

    return min(outcomes, key=distance, default=None)


def _off_d(outcome: Outcome, wanted: date) -> int:
    return 0 if outcome.harvest is None else (outcome.harvest.likely - wanted).days
