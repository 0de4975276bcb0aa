"""The trend of a cohort's results: what they say of its total THC and CBD on the days to come, and when the limit is reached.

Needs numpy, so nothing on the way to `week`, `done` or the first picture imports this file.
"""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from datetime import date, timedelta
from typing import NamedTuple, Protocol

from calendar_tui.nature.cannabinoid_trend.carried import Taught, carried, taught
from calendar_tui.nature.cannabinoid_trend.curve_fit import fit
from calendar_tui.nature.cannabinoid_trend.guess import Guess, guess
from calendar_tui.nature.cannabinoid_trend.prior import TOTAL_CBD, TOTAL_THC, Prior
from calendar_tui.nature.cannabinoid_trend.results import Result, check, since_flowering
from calendar_tui.nature.cannabinoid_trend.trend import AHEAD_D, PositionTrend, Trend, trend
from calendar_tui.nature.canopy import LEAST_DATES
from calendar_tui.nature.measured import Interval
from calendar_tui.planning.laying_out.timeline import Timeline
from calendar_tui.planning.results.allowance import Allowance, allowance_of
from calendar_tui.planning.results.used import Aside, Results, Used
from calendar_tui.season.lots import lot_within, rules_for
from calendar_tui.season.records import Season
from calendar_tui.season.rules import Lot, Profile


class LaidOut(Protocol):
    """What a plan has of it. trends: by lot, as far as they have been asked for."""

    @property
    def season(self) -> Season: ...
    @property
    def today(self) -> date: ...
    @property
    def timelines(self) -> Mapping[str, Timeline]: ...
    @property
    def results(self) -> Results: ...
    @property
    def trends(self) -> dict[str, CohortTrend]: ...


class CohortTrend(NamedTuple):
    """The trend of one lot's results. lot: its id, which is the cohort's where that is one lot.

    flowering: day 0, None where it has no such day. profile: the rules in force, and limit (%) of them; None for none.
    left_out: results that count, and that no crop can have, with why. earlier: the cohorts of the variety that are carried in.
    guess: what is expected before any result of its own; None without a limit. allowance: of the position that decides.
    aside: the results of its cohort that do not count, with why.
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
    """Whether a result of the deciding position is over the limit, or the likely curve has been at it by today."""
    decides = shown.deciding
    if decides is None or shown.limit is None:
        return False
    likely = None if decides.limit_days is None else shown.on(decides.limit_days.likely)
    over = any(one.low > shown.limit for one in decides.points)
    return over or (likely is not None and likely <= shown.today)


def trend_of(plan: LaidOut, lot: str) -> CohortTrend:
    """The trend of a lot, or of a cohort, kept with the plan. A cohort of several lots is taken as one, by its first lot's rules."""
    if lot not in plan.trends:
        plan.trends[lot] = _cohort_trend(plan, lot)
    return plan.trends[lot]


def _cohort_trend(plan: LaidOut, name: str) -> CohortTrend:
    season = plan.season
    lot = _lot(season, name)
    profile = rules_for(season, lot, plan.today)
    # A limit of 0 is one that every crop is over: there is no day on which it is reached.
    limit = None if profile is None or not profile.limit else float(profile.limit)
    own = tuple(_of_lot(plan.results, lot, lot.id == name))
    good, bad = _sorted_out(own)
    earlier = earlier_cohorts(plan, lot.cohort)
    thc_prior = _carried(plan, TOTAL_THC, earlier)
    thc = _made(results_for(good, "thc"), limit, thc_prior)
    return CohortTrend(
        lot.cohort,
        name,
        plan.timelines[lot.cohort].likely("flowering"),
        plan.today,
        profile,
        limit,
        good,
        bad,
        thc,
        _made(results_for(good, "cbd"), None, _carried(plan, TOTAL_CBD, earlier)),
        earlier,
        None if limit is None else guess(limit, thc_prior),
        _allowance(good, thc, profile, thc_prior),
        tuple(
            one for one in plan.results.aside if one.sample is not None and one.sample.cohort == lot.cohort
        ),
    )


def _allowance(good: tuple[Used, ...], thc: Trend, profile: Profile | None, prior: Prior) -> Allowance | None:
    decides = None if thc.deciding is None else position_of(thc, thc.deciding)
    if decides is None or not decides.days:
        return None
    own = tuple(one for one in good if one.sample.position == decides.position)
    days = range(int(decides.days[0].day), int(decides.days[-1].day) + 1)
    return allowance_of(own, results_for(own, "thc"), days, profile, prior)


def _lot(season: Season, name: str) -> Lot:
    """The lot of this id; of a cohort of several, the first. Raises KeyError for neither."""
    return lot_within(season, season.lots[name].cohort if name in season.lots else name, name)


def _of_lot(results: Results, lot: Lot, is_lot: bool) -> Iterator[Used]:
    """What counts of a lot: its own bags, and those of its cohort that are of no lot in particular."""
    for one in results.of_cohort(lot.cohort):
        if not is_lot or one.sample.lot in ("", lot.id):
            yield one


def _sorted_out(own: tuple[Used, ...]) -> tuple[tuple[Used, ...], tuple[tuple[Used, str], ...]]:
    good, bad = [], []
    for one in own:
        why = _wrong(one)
        if why:
            bad.append((one, why))
        else:
            good.append(one)
    return tuple(good), tuple(bad)


def _wrong(one: Used) -> str:
    """Why a total is none that a crop can have; "" for a good one."""
    try:
        check(results_for((one,), "thc"))
    except ValueError as why:
        return str(why)
    return ""


def results_for(used: tuple[Used, ...], analyte: str) -> list[Result]:
    """The results as the trend takes them, of "thc" or "cbd"; those in which it was not tested are left out."""
    out = []
    for one in used:
        found: Interval | None = getattr(one.figures, analyte)
        if found is None or (analyte == "cbd" and not found.high):
            continue
        laboratory = one.result.laboratory or one.sample.laboratory
        out.append(
            Result(float(one.day), one.sample.position, float(found.low), float(found.high), laboratory)
        )
    return out


def _made(results: list[Result], limit: float | None, prior: Prior) -> Trend:
    """On each day from the first sample to the last day on which a limit is looked for."""
    days = [int(row.day) for row in results]
    shown = range(min(days), max(days) + AHEAD_D + 1) if days else range(0)
    return trend(results, shown, limit, prior)


def earlier_cohorts(plan: LaidOut, cohort: str) -> tuple[str, ...]:
    """The cohorts of its variety with results that flowered before it; of one day, those before it in the season."""
    order = {name: at for at, name in enumerate(plan.season.cohorts)}
    variety = plan.season.cohorts[cohort].variety
    sampled = {one.sample.cohort for one in plan.results.used}

    def when(name: str) -> tuple[date, int]:
        return plan.timelines[name].likely("flowering") or date.max, order[name]

    own = [name for name in order if plan.season.cohorts[name].variety == variety and name in sampled]
    return tuple(sorted((name for name in own if when(name) < when(cohort)), key=when))


def _carried(plan: LaidOut, prior: Prior, earlier: tuple[str, ...]) -> Prior:
    """What is expected of a cohort once those before it are known."""
    analyte = "thc" if prior is TOTAL_THC else "cbd"
    return carried(prior, [one for name in earlier for one in _taught(plan, prior, name, analyte)])


def _taught(plan: LaidOut, prior: Prior, cohort: str, analyte: str) -> Iterator[Taught]:
    good, _bad = _sorted_out(plan.results.of_cohort(cohort))
    rows = since_flowering(results_for(good, analyte))
    if rows:
        yield taught(fit(rows, prior))
