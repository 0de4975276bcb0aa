"""The trend of a cohort's results: what they say of its total THC and CBD on the days to come, and when the limit is reached.

Needs numpy, so nothing on the way to `week`, `done` or the first picture imports this file.
"""

from __future__ import annotations

from datetime import date, timedelta
from typing import NamedTuple, Protocol

from calendar_tui.nature.cannabinoid_trend.guess import Guess
from calendar_tui.nature.cannabinoid_trend.trend import AHEAD_D, PositionTrend, Trend, trend
from calendar_tui.nature.canopy import LEAST_DATES, TOP
from calendar_tui.planning.results.allowance import Allowance, allowance_of
from calendar_tui.planning.results.fits import Earlier, fit_after, guess_after, prior_after
from calendar_tui.planning.results.taken_in import (
    Rows,
    Sampled,
    earlier_cohorts,
    earlier_rows,
    of_lot,
    results_for,
    rows_of,
    what_decides,
    why_not,
)
from calendar_tui.planning.results.used import Aside, Used
from calendar_tui.planning.results.weighted import WeightedMean, weighted_means
from calendar_tui.season.lots import cut_on, lot_within, lots_of_cohort, parts_cut, rules_for, rules_to_come
from calendar_tui.season.records import Season
from calendar_tui.season.rules import Lot, Profile


class LaidOut(Sampled, Protocol):
    """What a plan has of it. trends: by lot, as far as they have been asked for."""

    @property
    def today(self) -> date: ...
    @property
    def trends(self) -> dict[str, CohortTrend]: ...


class CohortTrend(NamedTuple):
    """The trend of one lot's results. lot: its id, which is the cohort's where that is one lot.

    flowering: day 0, None where it has no such day. profile: the rules in force, and limit (%) of them; None for none.
    left_out: results that count, and that no crop can have, with why. earlier: the cohorts of the variety that are carried in.
    guess: what is expected before any result of its own; None without a limit. allowance: of the position that decides.
    aside: the results of its cohort that do not count, with why. cut: the day since which nothing of it stands, None where
    something does. parts_cut: positions that are cut on
    the whole of it while others stand; one of those decides. to_come: rules that begin to hold after today. weighted: of the
    newest cut of several positions of each of its lots.
    """

    cohort: str
    lot: str
    flowering: date | None
    today: date
    profile: Profile | None
    limit: float | None
    used: tuple[Used, ...]
    left_out: tuple[tuple[Used, str], ...]
    thc: Trend
    cbd: Trend
    earlier: tuple[str, ...]
    guess: Guess | None
    allowance: Allowance | None
    aside: tuple[Aside, ...]
    cut: date | None = None
    parts_cut: tuple[str, ...] = ()
    to_come: tuple[Profile, ...] = ()
    weighted: tuple[WeightedMean, ...] = ()

    def on(self, day: float | None) -> date | None:
        """The calendar date of a day after flowering."""
        return None if day is None or self.flowering is None else self.flowering + timedelta(days=int(day))

    @property
    def today_day(self) -> int | None:
        """Today in days after flowering; less than 0 before."""
        return None if self.flowering is None else (self.today - self.flowering).days

    @property
    def deciding(self) -> PositionTrend | None:
        """The position that is held against the limit: the top, where it was sampled."""
        return None if self.thc.deciding is None else position_of(self.thc, self.thc.deciding)


class LimitDates(NamedTuple):
    """When the limit is reached: dates, None where not within 35 d after the last sample, or under three dates.

    missing: dates of samples that are still needed; provisional: there are just three. is_passed: a result of the deciding
    position is over the limit, or the crop's likely curve has been at it by today. limit: %, None without rules.
    guess_half_by: the day by which half of such crops that reach it are there, for what is known before results; it moves nothing.
    """

    earliest: date | None
    likely: date | None
    latest: date | None
    missing: int
    provisional: bool
    is_passed: bool
    position: str | None
    limit: float | None
    guess_half_by: date | None


def position_of(shown: Trend, position: str) -> PositionTrend | None:
    """What one position comes to; None where it was not sampled."""
    return next((one for one in shown.positions if one.position == position), None)


def limit_dates(plan: LaidOut, lot: str) -> LimitDates:
    """When a lot, or a cohort that is one, reaches the limit of its rules."""
    shown = trend_of(plan, lot)
    decides = shown.deciding
    half_by = None if shown.guess is None else shown.on(shown.guess.half_by)
    if decides is None:
        return LimitDates(
            None, None, None, LEAST_DATES, False, False, shown.thc.deciding, shown.limit, half_by
        )
    days = decides.limit_days
    dates = (None,) * 3 if days is None else (days.earliest, days.likely, days.latest)
    earliest, likely, latest = map(shown.on, dates)
    return LimitDates(
        earliest,
        likely,
        latest,
        decides.missing,
        decides.provisional,
        is_passed(shown),
        decides.position,
        shown.limit,
        half_by,
    )


def is_passed(shown: CohortTrend) -> bool:
    """Whether a result of the deciding position is over the limit, or the likely curve was at it by today, or by the day it was cut."""
    decides = shown.deciding
    if decides is None or shown.limit is None:
        return False
    likely = None if decides.limit_days is None else shown.on(decides.limit_days.likely)
    over = any(one.low > shown.limit for one in decides.points)
    return over or (likely is not None and likely <= (shown.cut or shown.today))


def trend_of(plan: LaidOut, lot: str) -> CohortTrend:
    """The trend of a lot, or of a cohort, kept with the plan. A cohort of several lots is taken as one, by its first lot's rules."""
    if lot not in plan.trends:
        plan.trends[lot] = _cohort_trend(plan, lot)
    return plan.trends[lot]


def _cohort_trend(plan: LaidOut, name: str) -> CohortTrend:
    lot = _lot(plan.season, name)
    profile = rules_for(plan.season, lot, plan.today)
    # A limit of 0 is one that every crop is over: there is no day on which it is reached.
    limit = None if profile is None or not profile.limit else float(profile.limit)
    own = of_lot(plan.results, lot) if lot.id == name else plan.results.of_cohort(lot.cohort)
    whys = [(one, why_not(one)) for one in own]
    good = tuple(one for one, why in whys if not why)
    earlier = earlier_cohorts(plan, lot.cohort)
    before = {analyte: earlier_rows(plan, earlier, analyte) for analyte in ("thc", "cbd")}
    parts, cut = _cut(plan, lot, lot.id == name)
    thc = _by_what_stands(_made(good, "thc", limit, before["thc"]), rows_of(good, "thc"), parts)
    return CohortTrend(
        lot.cohort,
        name,
        plan.timelines[lot.cohort].likely("flowering"),
        plan.today,
        profile,
        limit,
        good,
        tuple((one, why) for one, why in whys if why),
        thc,
        _made(good, "cbd", None, before["cbd"]),
        earlier,
        None if limit is None else guess_after(limit, TOP, before["thc"]),
        _allowance(good, thc, profile, before["thc"]),
        tuple(
            one for one in plan.results.aside if one.sample is not None and one.sample.cohort == lot.cohort
        ),
        cut,
        parts,
        rules_to_come(plan.season, lot, plan.today),
        tuple(weighted_means(plan.season, good)),
    )


def _cut(plan: LaidOut, lot: Lot, alone: bool) -> tuple[tuple[str, ...], date | None]:
    """The parts that are cut, and the day since which nothing stands; of a cohort of several lots, not `alone`, that of all of them."""
    if alone:
        day = cut_on(plan.season, lot, plan.today)
        return tuple(sorted(parts_cut(plan.season, lot, plan.today))) if day is None else (), day
    days = [cut_on(plan.season, one, plan.today) for one in lots_of_cohort(plan.season, lot.cohort)]
    return (), None if None in days else max(day for day in days if day is not None)


def _by_what_stands(thc: Trend, rows: Rows, parts: tuple[str, ...]) -> Trend:
    """What is cut decides no more, once what stands was sampled on enough dates."""
    return thc._replace(deciding=what_decides(rows, parts)[0])


def _allowance(
    good: tuple[Used, ...], thc: Trend, profile: Profile | None, earlier: Earlier
) -> Allowance | None:
    decides = None if thc.deciding is None else position_of(thc, thc.deciding)
    if decides is None or not decides.days:
        return None
    own = tuple(one for one in good if one.sample.position == decides.position)
    days = range(int(decides.days[0].day), int(decides.days[-1].day) + 1)
    return allowance_of(own, days, profile, fit_after(decides.points, "thc", earlier))


def _lot(season: Season, name: str) -> Lot:
    """The lot of this id; of a cohort of several, the first. Raises KeyError for neither."""
    return lot_within(season, season.lots[name].cohort if name in season.lots else name, name)


def _made(used: tuple[Used, ...], analyte: str, limit: float | None, earlier: Earlier) -> Trend:
    """On each day from the first sample to the last day on which a limit is looked for."""
    results = results_for(used, analyte)
    days = [int(row.day) for row in results]
    shown = range(min(days), max(days) + AHEAD_D + 1) if days else range(0)
    prior = prior_after(analyte, earlier)
    return trend(results, shown, limit, prior, fitted=lambda rows, _prior: fit_after(rows, analyte, earlier))
