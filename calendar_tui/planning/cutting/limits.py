"""When a lot reaches the limit of its rules, by the trend of its results; before there is one, what is likely of any crop."""

from __future__ import annotations

from collections.abc import Collection, Mapping, Sequence
from dataclasses import replace
from datetime import date, timedelta
from typing import TYPE_CHECKING, NamedTuple

from calendar_tui.nature.cannabinoid_trend.results import dates_missing, is_provisional
from calendar_tui.nature.canopy import TOP
from calendar_tui.planning.results.due import due_of
from calendar_tui.planning.results.judged import judged_of
from calendar_tui.planning.results.taken_in import (
    Rows,
    earlier_cohorts,
    earlier_rows,
    of_lot,
    rows_of,
    what_decides,
    why_not,
)
from calendar_tui.planning.results.used import Results, Used
from calendar_tui.season.lots import rules_to_come
from calendar_tui.season.records import Season
from calendar_tui.season.rules import MEAN_OF_VARIETY, TAKEN_OFF, Lot, Profile

if TYPE_CHECKING:
    from calendar_tui.planning.laying_out.timeline import Timeline
    from calendar_tui.planning.spraying.closures import Closure

# The earliest, likely and latest day; None where it is not reached.
Reached = tuple[date | None, date | None, date | None]


class Sight(NamedTuple):
    """What all lots of a season are looked at by. timelines: by ripeness alone; closures: those that are not over on the day."""

    season: Season
    timelines: Mapping[str, Timeline]
    today: date
    results: Results
    closures: tuple[Closure, ...] = ()


class LimitDays(NamedTuple):
    """When a lot reaches a limit, %, at the canopy position that decides.

    judged: what a result is held against, %: the limit, and the uncertainty of the newest report where the rules take that off.
    earliest: the first day on which a new result may be over it (95 % edge); likely: the crop's median; latest: its 5 % edge;
    None where not within 35 d after the newest bag. plain: the same three by the limit alone, where that is another. missing: dates still needed before any of them is known; provisional:
    just enough dates. newest: when the newest bag that counts was cut. half_by: before there is a trend, the day by which
    half of such crops that ever reach it have; it moves nothing. over: the chance to be over what is judged, by day. back: when a bag
    that is cut today, and goes where the newest went, is likely known. is_cut: whether that position is cut, and decides because what
    stands has results of too few dates. is_of_mean: whether the rules judge the mean of the variety, and no lot by itself.
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
    judged: float | None = None
    uncertainty: str = ""
    is_taken_off: bool = False
    plain: Reached | None = None
    is_cut: bool = False
    is_of_mean: bool = False


class RulesToCome(NamedTuple):
    """Rules that begin on a day to come, and when a lot reaches their limit; None where it has none."""

    begins: date
    profile: Profile
    limit: LimitDays | None


def limits_to_come(sight: Sight, lot: Lot, cut: Collection[str] = ()) -> tuple[RulesToCome, ...]:
    """The limits that begin to hold for a lot after today, in turn. cut: positions that are cut already."""
    return tuple(
        RulesToCome(profile.starts, profile, limit_days(sight, lot, profile, cut, guess=False))
        for profile in rules_to_come(sight.season, lot, sight.today)
        if profile.starts is not None
    )


def limit_days(
    sight: Sight, lot: Lot, profile: Profile, cut: Collection[str] = (), *, guess: bool = True
) -> LimitDays | None:
    """The limit of a lot; None where its rules have none or it does not flower. cut: positions that are cut already.

    guess: whether `half_by` is worked out, which needs numpy.
    """
    flowering = sight.timelines[lot.cohort].likely("flowering")
    if not profile.limit or flowering is None:
        return None
    own, limit = [*of_lot(sight.results, lot)], float(profile.limit)
    decides, rows = what_decides(rows_of(own, "thc"), cut)
    position = decides or TOP
    bags = [one for one in own if one.sample.position == position and not why_not(one)]
    newest, back = _newest(sight, bags)
    if missing := dates_missing(rows):
        half = _half_by(sight, lot, limit, position) if guess else None
        half_by = None if half is None else flowering + timedelta(days=half)
        return LimitDays(limit, position, missing=missing, newest=newest, half_by=half_by, back=back)
    judged, earlier = judged_of(bags, profile), _earlier(sight, lot)
    highest = limit if judged is None else judged.highest
    days, over = _reached(rows, highest, earlier, flowering)
    return LimitDays(
        limit,
        position,
        *days,
        provisional=is_provisional(rows),
        newest=newest,
        over=over,
        back=back,
        judged=highest,
        is_cut=position in cut,
        is_of_mean=profile.judged == MEAN_OF_VARIETY,
        uncertainty="" if judged is None else judged.uncertainty,
        is_taken_off=profile.uncertainty == TAKEN_OFF,
        plain=None if judged is None else _reached(rows, limit, earlier, flowering)[0],
    )


def _reached(
    rows: Rows, limit: float, earlier: tuple[Rows, ...], flowering: date
) -> tuple[Reached, Mapping[date, float]]:
    """The earliest, likely and latest day at a limit, and the chance to be over it by day."""
    from calendar_tui.planning.results.fits import limit_after

    reached, chances = limit_after(rows, limit, earlier)
    first, likely, last = (None if day is None else flowering + timedelta(days=day) for day in reached[1:])
    return (first, likely, last), {flowering + timedelta(days=day): chance for day, chance in chances.items()}


def _newest(sight: Sight, bags: Sequence[Used]) -> tuple[date | None, date | None]:
    """When the newest of these bags was cut, and when one that is cut today is likely known; None for no bag."""
    if not bags:
        return None, None
    newest = max((one.sample for one in bags), key=lambda sample: sample.date)
    return newest.date, due_of(sight.season, replace(newest, date=sight.today, sent=None)).likely


def _half_by(sight: Sight, lot: Lot, limit: float, position: str) -> int | None:
    from calendar_tui.planning.results.fits import guess_after

    return guess_after(limit, position, _earlier(sight, lot)).half_by


def _earlier(sight: Sight, lot: Lot) -> tuple[Rows, ...]:
    """The results of the cohorts of its variety that flowered before it, which are carried in."""
    return earlier_rows(sight, earlier_cohorts(sight, lot.cohort), "thc")
