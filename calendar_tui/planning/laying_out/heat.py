"""Stages that run on heat: moments at which a cohort has had a sum of it, year by year, and their range over the years."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass, field
from datetime import date, timedelta
from math import inf
from operator import attrgetter
from typing import NamedTuple

from calendar_tui.nature.heat import GERMINATION_BASE_C, reached, sum_at, tenths
from calendar_tui.nature.plant import Response, induction
from calendar_tui.nature.rounding import whole
from calendar_tui.planning.laying_out.stages import Range, StageDate, narrowed
from calendar_tui.planning.laying_out.stays import stays_of
from calendar_tui.planning.laying_out.warmth import Warmth, YearHeat
from calendar_tui.season.records import Cohort, Season, Span, Variety
from calendar_tui.season.stages import FIRST
from calendar_tui.season.weather import Heat

# Moments are days from the start of the season's first day; None: not within the season.
Year = tuple[float | None, ...]
# A row for the early, the likely and the late figure, each with a moment a year.
Moments = tuple[Year, Year, Year]


class Warm(NamedTuple):
    """A cohort in one place up to the day number `until`, and the place's years."""

    place: str
    until: float
    years: tuple[YearHeat, ...]


@dataclass(frozen=True, slots=True)
class Heating:
    """The heat a cohort gets, year by year, in each place where it stands in turn.

    first: the season's first day; last: the number of its last day. known: rows worked out before, since stages rest on
    one another and the three rows are often the same.
    """

    heat: Heat
    first: date
    last: int
    turns: tuple[Warm, ...]
    known: dict[tuple[str, Year, float], Year] = field(default_factory=dict, compare=False, repr=False)

    @property
    def years(self) -> tuple[YearHeat, ...]:
        """The years of the place where it stands last; those of every place have the same names."""
        return self.turns[-1].years

    def turn_on(self, n: int) -> Warm:
        """Where it stands on the day of this number."""
        return next(turn for turn in self.turns if n < turn.until)

    def steady(self, days: Range) -> Moments:
        """The same day in every year."""
        early, likely, late = ((float((day - self.first).days),) * len(self.years) for day in days)
        return early, likely, late

    def after(self, starts: Moments, amounts: Span) -> Moments:
        """When so much heat (C x days) has come since each of the starts."""
        return self._each("heat", starts, amounts)

    def germinated(self, starts: Moments, amounts: Span) -> Moments:
        """When half of the seed has germinated, with amounts in C x hours."""
        return self._each("germination", starts, amounts)

    def _each(self, kind: str, starts: Moments, amounts: Span) -> Moments:
        early, likely, late = (self._row(kind, *pair) for pair in zip(starts, amounts, strict=True))
        return early, likely, late

    def _row(self, kind: str, starts: Year, amount: float) -> Year:
        """When so much of a kind of sum has come since each year's start."""
        key = kind, starts, amount
        if key not in self.known:
            of_kind = attrgetter(kind)
            by_year = zip(*(map(of_kind, turn.years) for turn in self.turns), strict=True)
            self.known[key] = tuple(
                None if start is None or start < 0 else self._moment(sums, start, amount)
                for start, sums in zip(starts, by_year, strict=True)
            )
        return self.known[key]

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

    def over_years(self, moments: Moments) -> Range | None:
        """The 10th percentile over years of the early row, the 50th of the likely, the 90th of the late one.

        None where the likely one does not come within the season; a latest that does not is the season's last day.
        """
        early, likely, late = (tenths(row)[i] for i, row in enumerate(_whole_days(moments)))
        if likely is None:
            return None
        late = self.last if late is None else late
        early = likely if early is None else early
        numbers = min(early, likely), likely, max(late, likely)
        return Range(*(self.first + timedelta(days=n) for n in numbers))

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


def amounts(heat: Heat, cohort: Cohort, variety: Variety, sums: Span | None, days: Span) -> Span:
    """The sums (C x days) of a span: the variety's own, else its days at the reference temperature."""
    by_days = Span(*(n * (heat.reference_c - heat.base_c) for n in days))
    return narrowed(by_days if sums is None else sums, cohort, variety.cutting_spread)


def germination(heat: Heating, variety: Variety, out: Mapping[str, StageDate]) -> Moments:
    """When half of the seed has germinated, year by year."""
    return heat.germinated(heat.steady(out["seeding"].range), variety.germination_ch)


def emergence(heat: Heating, variety: Variety, out: Mapping[str, StageDate]) -> Moments:
    """When the seedlings are up, year by year: half of the seed germinates, then it comes up."""
    return heat.after(germination(heat, variety, out), variety.germination_to_emergence_cd)


def shoot_of(cohort: Cohort) -> str:
    """The stage from which its shoot's age counts."""
    return FIRST[cohort.start][1]


def shoot_by_year(heat: Heating, cohort: Cohort, variety: Variety, out: Mapping[str, StageDate]) -> Moments:
    """When the cohort has emerged or rooted, year by year."""
    shoot = shoot_of(cohort)
    if shoot == "rooted" or shoot in cohort.recorded:
        return heat.steady(out[shoot].range)
    return emergence(heat, variety, out)


def juvenile_amounts(heat: Heating, cohort: Cohort, variety: Variety) -> Span:
    return amounts(heat.heat, cohort, variety, variety.juvenile_cd, variety.juvenile_d)


def flower_amounts(heat: Heating, cohort: Cohort, variety: Variety) -> Span:
    """What a day-neutral cohort needs from its emergence or rooting to flowering, another from its induction."""
    if variety.response == "day-neutral":
        sums, days = variety.emergence_to_flowering_cd, variety.emergence_to_flowering_d
    else:
        sums, days = variety.induced_to_flowering_cd, variety.induced_to_flowering_d
    return amounts(heat.heat, cohort, variety, sums, days)


def ready_by_year(heat: Heating, cohort: Cohort, variety: Variety, out: Mapping[str, StageDate]) -> Moments:
    """The end of the juvenile time of a cohort from seed, year by year."""
    return heat.after(shoot_by_year(heat, cohort, variety, out), juvenile_amounts(heat, cohort, variety))


def induced_by_year(
    heat: Heating, cohort: Cohort, variety: Variety, out: Mapping[str, StageDate], felt_h: Sequence[float]
) -> Moments:
    """When a short-day cohort is induced, year by year: by the light, from the day it is ready in that year."""
    if cohort.start == "cutting" or not cohort.recorded.keys().isdisjoint(("trigger", "induced")):
        return heat.steady(out["induced"].range)
    early, likely, late = (
        _induced(felt_h, row, Response(variety.critical_day, variety.full_response_day, count))
        for row, count in zip(ready_by_year(heat, cohort, variety, out), variety.inductive_days, strict=True)
    )
    return early, likely, late


def _induced(felt_h: Sequence[float], ready: Year, response: Response) -> Year:
    # The light is the same in every year of record; only the day on which plants are ready differs. Plants are ready on
    # the same day in many years, and the count is run once for each such day.
    starts = [None if moment is None else whole(moment) for moment in ready]
    by_start = {n: induction(felt_h, n, response) for n in {n for n in starts if n is not None}}
    runs = [None if n is None else by_start[n] for n in starts]
    return tuple([None if run is None else float(run.induced) for run in runs])


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


def _whole_days(moments: Moments) -> list[list[int | None]]:
    return [[None if m is None else whole(m) for m in row] for row in moments]
