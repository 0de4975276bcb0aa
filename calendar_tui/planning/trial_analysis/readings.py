"""The values of a measure, plot by plot, from the records of a season: no guard, nothing from the day on which a plot was lost."""

from __future__ import annotations

from collections.abc import Callable, Iterator, Mapping, Sequence
from datetime import date
from typing import NamedTuple

from calendar_tui.nature.rises import around_half, half_date
from calendar_tui.planning.field_book.findings import share_of
from calendar_tui.planning.field_book.walking import is_measured
from calendar_tui.planning.results.figures import percent_text
from calendar_tui.planning.results.used import Used
from calendar_tui.planning.trial_analysis.measures import (
    CUT,
    OBSERVED,
    RISEN,
    SPREAD_OUT,
    TESTED,
    Measure,
    total_of,
)
from calendar_tui.season.observing import Observation, amount_of, counted_in, is_below
from calendar_tui.season.records import Season
from calendar_tui.season.trials import SPACING, TrialPlot, level_spacing
from calendar_tui.season.wording import plots_text

BELOW, ABOVE = "<", ">"


class Reading(NamedTuple):
    """A value of a plot, or of a plant in it. value: None of words, and where it is beyond a limit.

    counted: how many of how many. beyond: BELOW or ABOVE a limit; text: as it was written.
    """

    plot: TrialPlot
    day: date
    plant: int | None
    value: float | None
    counted: tuple[int, int] | None = None
    beyond: str = ""
    text: str = ""

    @property
    def spot(self) -> tuple[str, int | None]:
        """Where it was read: one value a day."""
        return self.plot.id, self.plant


class Readings(NamedTuple):
    """remarks: what is left out and why, in sentences."""

    values: tuple[Reading, ...]
    remarks: tuple[str, ...] = ()


def readings_of(
    season: Season, plots: Sequence[TrialPlot], measure: Measure, used: Sequence[Used] = ()
) -> Readings:
    """In the order of days, then of plots. plots: those of a trial that are no guards; used: the results that count."""
    readings, remarks = _SOURCES[measure.source](
        _Records(season, used), {plot.id: plot for plot in plots}, measure
    )
    in_order = sorted(readings, key=lambda one: (one.day, one.plot.id, one.plant or 0))
    return Readings(tuple(in_order), tuple(remarks))


class _Records(NamedTuple):
    season: Season
    used: Sequence[Used]


_Plots = Mapping[str, TrialPlot]
_Read = tuple[list[Reading], list[str]]


def _observations(season: Season, plots: _Plots, variable: str) -> Iterator[tuple[TrialPlot, Observation]]:
    """Those with a value, of plots that were not lost by then."""
    for one in season.observations:
        plot = plots.get(one.unit) if one.variable == variable and one.value else None
        if plot is not None and is_measured(plot, one.date):
            yield plot, one


def _observed(records: _Records, plots: _Plots, measure: Measure) -> _Read:
    pairs = _observations(records.season, plots, measure.variable)
    return [_reading(plot, one, measure) for plot, one in pairs], []


def _reading(plot: TrialPlot, one: Observation, measure: Measure) -> Reading:
    if measure.is_words:
        return Reading(plot, one.date, one.plant, None, text=one.value)
    if is_below(one.value):
        beyond = ABOVE if one.value.startswith(ABOVE) else BELOW
        return Reading(plot, one.date, one.plant, None, beyond=beyond, text=one.value)
    amount = amount_of(one.value, measure.unit)
    value = None if amount is None else float(amount)
    counted = counted_in(one.value)
    if measure.is_planned and plot.plants and amount is not None:
        counted = (int(amount), plot.plants)
    return Reading(plot, one.date, one.plant, value, counted, text=one.value)


def _spread_out(records: _Records, plots: _Plots, measure: Measure) -> _Read:
    """Each value by the plants of a square metre at the spacing of its plot; none of a plot without one."""
    readings, _ = _observed(records, plots, measure)
    return [
        one if one.value is None else one._replace(value=one.value / _plant_m2(one.plot))
        for one in readings
        if one.plot.treatment.get(SPACING)
    ], []


def _plant_m2(plot: TrialPlot) -> float:
    between, within = level_spacing(plot.treatment[SPACING])
    return between * within


def _risen(records: _Records, plots: _Plots, measure: Measure) -> _Read:
    """Days from the planting of a plot until half of it had come to a stage; none of a plot whose looks do not pass a half."""
    season = records.season
    variable = season.variables[measure.variable]
    shares: dict[str, dict[date, list[Observation]]] = {}
    for plot, one in _observations(season, plots, measure.variable):
        shares.setdefault(plot.id, {}).setdefault(one.date, []).append(one)
    readings: list[Reading] = []
    sooner: list[str] = []
    later: list[str] = []
    no_day: list[str] = []
    for name, by_day in shares.items():
        plot = plots[name]
        looks = [
            share for day, ones in by_day.items() if (share := share_of(variable, day, ones)) is not None
        ]
        planted = (
            None if (cohort := season.cohorts.get(plot.cohort)) is None else cohort.fixed(cohort.planting)
        )
        if (pair := around_half(looks)) is None:
            (later if looks and max(looks).share < 0.5 else sooner).append(str(plot.number))
        elif planted is None:
            no_day.append(str(plot.number))
        else:
            half = half_date(*pair).likely
            readings.append(Reading(plot, half, None, float((half - planted).days)))
    return readings, [
        *_left_out(sooner, "over a half at the first look, so that its day is not known"),
        *_left_out(later, "not yet at a half at the last look"),
        *_left_out(no_day, "of no cohort with a day of planting"),
        *(
            [
                "Means are of the other plots alone: those that are left out were sooner or later than they show."
            ]
            if sooner or later
            else []
        ),
    ]


def _cut(records: _Records, plots: _Plots, measure: Measure) -> _Read:
    """What the passes of one plot weighed, added up; none of a plot of which a pass was weighed together with others."""
    season = records.season
    sums: dict[str, tuple[date, float]] = {}
    shared: dict[str, None] = {}
    for one in sorted(season.passes.values(), key=lambda one: (one.date, one.id)):
        parts = [kg for part, kg in one.fresh_kg.items() if measure.part in ("", part)]
        if not parts:
            continue
        named = one.plots or _of_lot(season, plots, one.lot)
        own = [name for name in named if name in plots and is_measured(plots[name], one.date)]
        if len(named) > 1:
            shared |= dict.fromkeys(own)
        elif own:
            _, before = sums.get(own[0], (one.date, 0.0))
            sums[own[0]] = (one.date, before + sum(parts))
    readings = [Reading(plots[name], day, None, kg) for name, (day, kg) in sums.items() if name not in shared]
    cut_apart = [str(plots[name].number) for name in shared if name in sums]
    return readings, list(
        _left_out(cut_apart, "cut in passes of several plots too, whose weight is not known plot by plot")
    )


def _of_lot(season: Season, plots: _Plots, lot: str) -> list[str]:
    """The plots that a pass of a whole lot may have cut."""
    cohort = season.lots[lot].cohort if lot in season.lots else lot
    return [name for name, plot in plots.items() if plot.cohort == cohort]


def _tested(records: _Records, plots: _Plots, measure: Measure) -> _Read:
    """A total that is not exact, for a part of it is under its limit, is under that limit itself."""
    readings = []
    for used in records.used:
        sample, total = used.sample, total_of(used, measure.analyte)
        plot = plots.get(sample.plot)
        if plot is None or sample.position != measure.part or total is None:
            continue
        if is_measured(plot, sample.date):
            value, beyond = (float(total.low), "") if total.is_exact else (None, BELOW)
            readings.append(Reading(plot, sample.date, None, value, beyond=beyond, text=percent_text(total)))
    return readings, []


def _left_out(numbers: Sequence[str], why: str) -> Iterator[str]:
    if numbers:
        are = "is" if len(numbers) == 1 else "are"
        yield f"{plots_text(numbers).capitalize()} {are} {why}, and left out."


_SOURCES: Mapping[str, Callable[[_Records, _Plots, Measure], _Read]] = {
    OBSERVED: _observed,
    RISEN: _risen,
    CUT: _cut,
    TESTED: _tested,
    SPREAD_OUT: _spread_out,
}
