"""When a lot reaches the limit of its rules, by the trend of its results; before there is one, what is likely of any crop."""

from __future__ import annotations

from collections.abc import Collection, Mapping, Sequence
from dataclasses import replace
from datetime import date, timedelta
from functools import lru_cache
from typing import TYPE_CHECKING, NamedTuple

from calendar_tui.nature.canopy import LEAST_DATES, TOP
from calendar_tui.planning.results.due import due_of
from calendar_tui.planning.results.used import Results, Used
from calendar_tui.season.records import Season
from calendar_tui.season.rules import Lot, Profile

if TYPE_CHECKING:
    from calendar_tui.nature.cannabinoid_trend.prior import Prior
    from calendar_tui.nature.cannabinoid_trend.results import Result
    from calendar_tui.nature.cannabinoid_trend.trend import PositionTrend
    from calendar_tui.planning.laying_out.timeline import Timeline
    from calendar_tui.planning.results.trend import CohortTrend
    from calendar_tui.planning.spraying.closures import Closure

_WHOLE = 100
_Rows = tuple["Result", ...]


class Sight(NamedTuple):
    """What all lots of a season are looked at by. timelines: by ripeness alone; trends: those that were asked for.

    closures: those that are not over on the day.
    """

    season: Season
    timelines: Mapping[str, Timeline]
    today: date
    results: Results
    trends: dict[str, CohortTrend]
    closures: tuple[Closure, ...] = ()


class LimitDays(NamedTuple):
    """When a lot reaches a limit, %, at the canopy position that decides.

    earliest: the first day on which a new result may be over it (95 % edge); likely: the crop's median; latest: its 5 % edge;
    None where not within 35 d after the newest bag. missing: dates still needed before any of them is known; provisional:
    just enough dates. newest: when the newest bag that counts was cut. half_by: before there is a trend, the day by which
    half of such crops that ever reach it have; it moves nothing. over: the chance to be over the limit by day. back: when a bag
    that is cut today, and goes where the newest went, is likely known.
    """

    limit: float
    position: str
    earliest: date | None = None
    likely: date | None = None
    latest: date | None = None
    missing: int = 0
    provisional: bool = False
    newest: date | None = None
    half_by: date | None = None
    over: Mapping[date, float] = {}
    back: date | None = None


def limit_days(
    sight: Sight, lot: Lot, profile: Profile, cut: Collection[str] = (), *, guess: bool = True
) -> LimitDays | None:
    """The limit of a lot; None where its rules have none or it does not flower. cut: positions that are cut already.

    guess: whether `half_by` is worked out, which needs numpy.
    """
    flowering = sight.timelines[lot.cohort].likely("flowering")
    if not profile.limit or flowering is None:
        return None
    own = [one for one in sight.results.of_cohort(lot.cohort) if _counts(one, lot, cut)]
    limit, position = float(profile.limit), _deciding(own)
    deciding = tuple(one for one in own if one.sample.position == position)
    last = max((one.sample for one in deciding), key=lambda sample: sample.date, default=None)
    newest = None if last is None else last.date
    back = None if last is None else due_of(sight.season, replace(last, date=sight.today, sent=None)).likely
    missing = max(LEAST_DATES - len({one.day for one in deciding}), 0)
    if missing:
        half = _half_by(limit, position, _earlier(sight, lot.cohort)) if guess else None
        half_by = None if half is None else flowering + timedelta(days=half)
        return LimitDays(limit, position, missing=missing, newest=newest, half_by=half_by, back=back)
    trend = _trend(_rows(deciding), limit, _earlier(sight, lot.cohort))
    assert trend.limit_days is not None, lot.id
    earliest, likely, latest = (
        None if day is None else flowering + timedelta(days=day) for day in trend.limit_days[1:]
    )
    over = {flowering + timedelta(days=int(band.day)): band.p_over or 0.0 for band in trend.days}
    return LimitDays(
        limit, position, earliest, likely, latest, 0, trend.provisional, newest, None, over, back
    )


def _counts(one: Used, lot: Lot, cut: Collection[str]) -> bool:
    """Whether a result speaks of what is left of this lot, as a share that the trend can take."""
    thc = one.figures.thc
    of_lot = one.sample.lot in ("", lot.id) and one.sample.position not in cut
    return of_lot and thc is not None and 0 < thc.high <= _WHOLE


def _deciding(own: Sequence[Used]) -> str:
    """The top; where it is not sampled, or cut already, the position with the highest latest result."""
    newest = {one.sample.position: one for one in own}
    if TOP in newest or not newest:
        return TOP
    return max(
        newest.values(), key=lambda one: one.figures.thc.high if one.figures.thc else 0
    ).sample.position


def _rows(used: tuple[Used, ...]) -> _Rows:
    from calendar_tui.planning.results.trend import results_for

    return tuple(results_for(used, "thc"))


def _earlier(sight: Sight, cohort: str) -> tuple[_Rows, ...]:
    """The results of the cohorts of its variety that flowered before it, which are carried in."""
    if not sight.results.used:
        return ()
    from calendar_tui.nature.cannabinoid_trend.results import since_flowering
    from calendar_tui.planning.results.trend import earlier_cohorts

    good = [
        tuple(
            one
            for one in sight.results.of_cohort(name)
            if one.figures.thc and 0 < one.figures.thc.high <= _WHOLE
        )
        for name in earlier_cohorts(sight, cohort)
    ]
    rows = [since_flowering(_rows(used)) for used in good]
    return tuple(one for one in rows if one)


@lru_cache(maxsize=128)
def _prior(earlier: tuple[_Rows, ...]) -> Prior:
    from calendar_tui.nature.cannabinoid_trend.carried import carried, taught
    from calendar_tui.nature.cannabinoid_trend.curve_fit import fit
    from calendar_tui.nature.cannabinoid_trend.prior import TOTAL_THC

    return carried(TOTAL_THC, [taught(fit(rows, TOTAL_THC)) for rows in earlier])


# Re-planning lays the season out anew for each change, with the same results.
@lru_cache(maxsize=512)
def _trend(rows: _Rows, limit: float, earlier: tuple[_Rows, ...]) -> PositionTrend:
    from calendar_tui.nature.cannabinoid_trend.trend import AHEAD_D, trend

    last = int(max(row.day for row in rows))
    return trend(rows, range(last, last + AHEAD_D + 1), limit, _prior(earlier)).positions[0]


@lru_cache(maxsize=64)
def _half_by(limit: float, position: str, earlier: tuple[_Rows, ...]) -> int | None:
    from calendar_tui.nature.cannabinoid_trend.guess import guess

    return guess(limit, _prior(earlier), position).half_by
