"""Stages that run on heat: moments at which a cohort has had a sum of it, year by year, and their range over the years."""

from __future__ import annotations

from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass
from datetime import date, timedelta
from functools import lru_cache
from math import inf
from operator import attrgetter
from typing import TYPE_CHECKING, NamedTuple

from calendar_tui.nature.futures import shares, values
from calendar_tui.nature.heat import GERMINATION_BASE_C, median_day, reached, sum_at
from calendar_tui.nature.plant import Response, induction
from calendar_tui.nature.rounding import whole
from calendar_tui.planning.laying_out.figures import figures_of, flowering_span, spread
from calendar_tui.planning.laying_out.stages import Course, StageDate, likely_response, narrowed
from calendar_tui.planning.laying_out.stays import stays_of
from calendar_tui.season.records import Cohort, Season, Span, Variety
from calendar_tui.season.stages import FIRST

if TYPE_CHECKING:
    from calendar_tui.planning.laying_out.warmth import Warmth, YearHeat
    from calendar_tui.season.weather import Heat

# Moments are days from the start of the season's first day; None: not within the season.
Year = tuple[float | None, ...]


class Moments(NamedTuple):
    """A moment a year with the likely figures, and a moment a future, which has a year and figures of its own."""

    by_year: Year
    by_future: Year


class Amounts(NamedTuple):
    """A sum of heat that is needed: the likely one, and one a future."""

    likely: float
    by_future: tuple[float, ...]


class Warm(NamedTuple):
    """A cohort in one place up to the day number `until`, and the place's years."""

    place: str
    until: float
    years: tuple[YearHeat, ...]


@dataclass(frozen=True, slots=True)
class Heating:
    """The heat a cohort gets, year by year, in each place where it stands in turn.

    first: the season's first day; last: the number of its last day.
    """

    heat: Heat
    first: date
    last: int
    turns: tuple[Warm, ...]

    @property
    def years(self) -> tuple[YearHeat, ...]:
        """The years of the place where it stands last; those of every place have the same names."""
        return self.turns[-1].years

    def turn_on(self, n: int) -> Warm:
        """Where it stands on the day of this number."""
        return next(turn for turn in self.turns if n < turn.until)

    def steady(self, course: Course) -> Moments:
        """The same day in every year, and its own in each future."""
        likely = float((course.likely - self.first).days)
        first = self.first.toordinal()
        return Moments(
            (likely,) * len(self.years), tuple([None if day == inf else day - first for day in course.days])
        )

    def after(self, starts: Moments, amounts: Amounts) -> Moments:
        """When so much heat (C x days) has come since each of the starts."""
        return self._each("heat", starts, amounts)

    def germinated(self, starts: Moments, amounts: Amounts) -> Moments:
        """When half of the seed has germinated, with amounts in C x hours."""
        return self._each("germination", starts, amounts)

    def _each(self, kind: str, starts: Moments, amounts: Amounts) -> Moments:
        sums = self._sums(kind)
        own = years_of_futures(len(self.years), len(amounts.by_future))
        return Moments(
            self._row(sums, range(len(sums)), starts.by_year, (amounts.likely,) * len(sums)),
            self._row(sums, own, starts.by_future, amounts.by_future),
        )

    def _sums(self, kind: str) -> tuple[tuple[Sequence[float], ...], ...]:
        """The running sums of a kind, year by year, in each turn."""
        of_kind = attrgetter(kind)
        return tuple(zip(*(map(of_kind, turn.years) for turn in self.turns), strict=True))

    def _row(
        self,
        sums: Sequence[Sequence[Sequence[float]]],
        years: Iterable[int],
        starts: Year,
        amounts: Iterable[float],
    ) -> Year:
        """When so much has come since each start, in its year."""
        return tuple(
            [
                None if start is None or start < 0 else self._moment(sums[year], start, amount)
                for year, start, amount in zip(years, starts, amounts, strict=True)
            ]
        )

    def _moment(self, sums: Sequence[Sequence[float]], start: float, amount: float) -> float | None:
        """When so much has come since the start; sums: of one year, a row a turn."""
        for turn, here in zip(self.turns, sums, strict=True):
            if start >= turn.until:
                continue
            moment = reached(here, start, amount)
            if moment is not None and moment <= turn.until:
                return moment
            if turn.until < inf:
                amount -= sum_at(here, turn.until) - sum_at(here, start)
                start = turn.until
        return None

    def over_years(self, moments: Moments) -> Course | None:
        """The median over the years, and the day of each future; None where the median does not come within the season."""
        likely = median_day(None if m is None else whole(m) for m in moments.by_year)
        if likely is None:
            return None
        first = self.first.toordinal()
        days = tuple([inf if m is None else first + whole(m) for m in moments.by_future])
        return Course(self.first + timedelta(days=likely), days)

    @property
    def text(self) -> str:
        """The method, and whose temperatures: "single-sine, 30 years 1990 to 2019"."""
        names = [year.name for year in self.years]
        whose = names[0] if len(names) == 1 else f"{len(names)} years {names[0]} to {names[-1]}"
        return f"{self.heat.method}, {whose}"


def heating(
    season: Season, cohort: Cohort, warmth: Warmth | None, out: Mapping[str, StageDate]
) -> Heating | None:
    """The heat of a cohort, or None where its stages run on days. `out`: its stages up to the transplant.

    Until a stage is settled, the stay that begins with it has not begun.
    """
    if warmth is None or season.heat is None or not warmth.places[cohort.place]:
        return None
    last = (season.last_day - season.first_day).days
    turns = tuple(
        Warm(stay.place, _day_number(season, stay.end), warmth.places[stay.place])
        for stay in stays_of(cohort, out)
    )
    return Heating(season.heat, season.first_day, last, (*turns[:-1], turns[-1]._replace(until=inf)))


def _day_number(season: Season, day: date) -> int:
    """The day's number, held inside the season; the one after the last day for all that follow."""
    return (min(max(day, season.first_day), season.last_day + timedelta(days=1)) - season.first_day).days


@lru_cache(maxsize=64)
def years_of_futures(years: int, count: int) -> tuple[int, ...]:
    """The number of the weather year of each future: each year as often as any other."""
    return tuple([int(share * years) for share in shares("weather", count)])


def _amounts(figure: str, span: Span, count: int) -> Amounts:
    return Amounts(span.likely, values(figure, span, count))


def juvenile_sums(heat: Heating, cohort: Cohort, variety: Variety) -> Span:
    """The heat (C x days) of the juvenile time."""
    days = spread(variety, "juvenile_d")
    return _sums(heat.heat, cohort, variety, variety.juvenile_cd, days)


def flower_sums(heat: Heating, cohort: Cohort, variety: Variety) -> Span:
    """What a day-neutral cohort needs from its emergence or rooting to flowering, another from its induction, C x days."""
    of_age = variety.response == "day-neutral"
    sums = variety.emergence_to_flowering_cd if of_age else variety.induced_to_flowering_cd
    return _sums(heat.heat, cohort, variety, sums, flowering_span(variety))


def _sums(heat: Heat, cohort: Cohort, variety: Variety, sums: Span | None, days: Span) -> Span:
    """The sums of a span: the variety's own, else its days at the reference temperature."""
    by_days = Span(*(n * (heat.reference_c - heat.base_c) for n in days))
    return narrowed(by_days if sums is None else sums, cohort.start, variety.cutting_spread)


def germination(heat: Heating, variety: Variety, out: Mapping[str, StageDate]) -> Moments:
    """When half of the seed has germinated."""
    sown = out["seeding"].course
    return heat.germinated(heat.steady(sown), _amounts("shoot_d", variety.germination_ch, len(sown.days)))


def emergence(heat: Heating, variety: Variety, out: Mapping[str, StageDate]) -> Moments:
    """When the seedlings are up: half of the seed germinates, then it comes up."""
    begun = germination(heat, variety, out)
    needed = _amounts("shoot_d", variety.germination_to_emergence_cd, len(begun.by_future))
    return heat.after(begun, needed)


def shoot_of(cohort: Cohort) -> str:
    """The stage from which its shoot's age counts."""
    return FIRST[cohort.start][1]


def shoot_moments(heat: Heating, cohort: Cohort, variety: Variety, out: Mapping[str, StageDate]) -> Moments:
    """When the cohort has emerged or rooted."""
    shoot = shoot_of(cohort)
    if shoot == "rooted" or shoot in cohort.recorded:
        return heat.steady(out[shoot].course)
    return emergence(heat, variety, out)


def ready_moments(heat: Heating, cohort: Cohort, variety: Variety, out: Mapping[str, StageDate]) -> Moments:
    """The end of the juvenile time of a cohort from seed."""
    begun = shoot_moments(heat, cohort, variety, out)
    return heat.after(begun, _juvenile(heat, cohort, variety, len(begun.by_future)))


def _juvenile(heat: Heating, cohort: Cohort, variety: Variety, count: int) -> Amounts:
    """The heat of the juvenile time in each future; that of the sets which records have left, where there are any."""
    sums = juvenile_sums(heat, cohort, variety)
    if not variety.sets or variety.juvenile_cd is not None:
        return _amounts("juvenile_d", sums, count)
    a_day = heat.heat.reference_c - heat.heat.base_c
    days = figures_of(variety, cohort.start, count).juvenile_d
    return Amounts(sums.likely, tuple([n * a_day for n in days]))


def induced_moments(
    heat: Heating, cohort: Cohort, variety: Variety, out: Mapping[str, StageDate], felt_h: Sequence[float]
) -> Moments:
    """When a short-day cohort is induced: by the light, from the day it is ready in each year."""
    steady = heat.steady(out["induced"].course)
    if cohort.start == "cutting" or not cohort.recorded.keys().isdisjoint(("trigger", "induced")):
        return steady
    ready = ready_moments(heat, cohort, variety, out).by_year
    return Moments(_induced(felt_h, ready, likely_response(variety)), steady.by_future)


def _induced(felt_h: Sequence[float], ready: Year, response: Response) -> Year:
    # The light is the same in every year of record; only the day on which plants are ready differs. Plants are ready on
    # the same day in many years, and the count is run once for each such day.
    starts = [None if moment is None else whole(moment) for moment in ready]
    by_start = {n: induction(felt_h, n, response) for n in {n for n in starts if n is not None}}
    runs = [None if n is None else by_start[n] for n in starts]
    return tuple([None if run is None else float(run.induced) for run in runs])


def flowering(heat: Heating, cohort: Cohort, variety: Variety, begun: Moments) -> Moments:
    """When a cohort flowers, once the heat for it has come since it was begun."""
    needed = _amounts("flowering_d", flower_sums(heat, cohort, variety), len(begun.by_future))
    return heat.after(begun, needed)


def emergence_reason(heat: Heating, variety: Variety) -> str:
    return (
        f"seeding + {sum_text(variety.germination_ch, 'C h')} over {GERMINATION_BASE_C:g} C to germinate + "
        f"{heat_text(heat, variety.germination_to_emergence_cd)} to emerge ({heat.text})"
    )


def heat_text(heat: Heating, amounts: Span) -> str:
    """ "475 C d over 1 C"."""
    return f"{sum_text(amounts, 'C d')} over {heat.heat.base_c:g} C"


def sum_text(amounts: Span, unit: str) -> str:
    early, likely, late = (whole(n) for n in amounts)
    return f"{likely} {unit}" if early == late else f"{likely} {unit} ({early}-{late})"
