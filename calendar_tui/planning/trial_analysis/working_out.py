"""A trial of a season analysed: its plots and what was measured in them become the table and the question of the analysis."""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass, field, replace
from datetime import date

import numpy as np

from calendar_tui.nature.field_analysis.analysis import Analysis, Question, analyse
from calendar_tui.nature.field_analysis.diagnostics import FieldMap, field_map
from calendar_tui.nature.field_analysis.gathering import TrialProblem
from calendar_tui.nature.field_analysis.plots import Level, Plots, cells_of, order_of
from calendar_tui.nature.field_analysis.scales import PLAIN
from calendar_tui.nature.field_analysis.under_limit import Counted, counted
from calendar_tui.planning.results.used import Used
from calendar_tui.planning.trial_analysis.analysed import Analysed, PlotValue, WordCount
from calendar_tui.planning.trial_analysis.comparing import Coefficients, contrasts_of
from calendar_tui.planning.trial_analysis.layout import (
    Part,
    TrialLayout,
    density_ruler,
    has_light,
    is_measured_by,
    layout_of,
    parts_of,
    rulers_of,
)
from calendar_tui.planning.trial_analysis.measures import Measure, measures_of
from calendar_tui.planning.trial_analysis.readings import ABOVE, BELOW, Reading, readings_of
from calendar_tui.planning.trial_analysis.remarks import remarks_of, unfinished
from calendar_tui.planning.trial_analysis.rounds import Round, rounds_of
from calendar_tui.planning.trial_analysis.values import Row, Rows, rows_of
from calendar_tui.planning.trials.drawing import plots_of_trial
from calendar_tui.season.records import Season
from calendar_tui.season.refusal import Refusal
from calendar_tui.season.trials import LIGHT, SPACING, Trial, TrialPlot
from calendar_tui.season.wording import first_to_last_text, plots_text, some_text, year_day_text


@dataclass(frozen=True, slots=True, kw_only=True)
class Settings:
    """How a trial is analysed. day: one in the round that is meant, None for the newest; scale: "" for what suits the measure.

    level: of significance. contrasts: further ones, by factor, in the order of its levels that have values. used: the results that
    count, as a plan has them: totals of bags of one plot are measures too.
    """

    day: date | None = None
    scale: str = ""
    level: float = 0.05
    interactions: bool = True
    contrasts: Mapping[str, tuple[Coefficients, ...]] = field(default_factory=dict)
    used: Sequence[Used] = ()


USUAL = Settings()


def every_analysis(season: Season, trial: Trial, settings: Settings = USUAL) -> list[Analysed]:
    """By each measure, place by place where places are worked out apart. Raises Refusal where the trial has no plots."""
    plots = _plots_of(season, trial)
    return [
        one
        for measure in measures_of(season, trial, settings.used)
        for one in _analyses(season, trial, plots, measure, settings)
    ]


def analyses_by(season: Season, trial: Trial, measure: Measure, settings: Settings = USUAL) -> list[Analysed]:
    """By one measure. Raises Refusal where the trial has no plots."""
    return _analyses(season, trial, _plots_of(season, trial), measure, settings)


def measured(season: Season, trial: Trial, used: Sequence[Used] = ()) -> list[tuple[Measure, int, int]]:
    """What can be analysed of a trial: each measure with how many values it has, in how many rounds."""
    plots = [plot for plot in plots_of_trial(season, trial.id) if not plot.is_guard]
    counts = []
    for measure in measures_of(season, trial, used):
        readings = readings_of(season, plots, measure, used).values
        counts.append((measure, len(readings), len(rounds_of(readings))))
    return counts


def _plots_of(season: Season, trial: Trial) -> list[TrialPlot]:
    plots = [plot for plot in plots_of_trial(season, trial.id) if not plot.is_guard]
    if not plots:
        raise Refusal(f"trial {trial.id} has no plots yet; trial {trial.id} --draw makes them")
    return plots


def _analyses(
    season: Season, trial: Trial, plots: Sequence[TrialPlot], measure: Measure, settings: Settings
) -> list[Analysed]:
    kept, dropped = _with_levels(trial, plots)
    readings = readings_of(season, kept, measure, settings.used)
    rounds = rounds_of(readings.values)
    there = _round(rounds, settings.day)
    whole = Analysed(
        trial=trial,
        measure=measure,
        days=() if there is None else tuple(sorted({one.day for one in there.readings})),
        rounds=tuple((one.first, one.last) for one in rounds),
        remarks=(*dropped, *readings.remarks, *unfinished(rounds, there)),
    )
    if there is None:
        return [replace(whole, problem=_why_no_round(measure, rounds, settings.day))]
    return [_of_part(whole, part, there, settings) for part in parts_of(trial, kept)]


def _with_levels(trial: Trial, plots: Sequence[TrialPlot]) -> tuple[list[TrialPlot], list[str]]:
    """The plots whose treatment the trial still has, and a sentence about the others."""
    levels = {**({LIGHT: tuple(trial.places)} if has_light(trial) else {}), **trial.factors}
    odd: dict[str, list[str]] = {}
    kept = []
    for plot in plots:
        wrong = next((f for f, known in levels.items() if plot.treatment.get(f) not in known), "")
        if wrong:
            level = plot.treatment.get(wrong)
            what = (
                f"{wrong} {level}, which is no level of the trial any more"
                if level
                else f"no level of {wrong}"
            )
            odd.setdefault(what, []).append(str(plot.number))
        else:
            kept.append(plot)
    return kept, [
        f"{plots_text(numbers).capitalize()} with {what}: left out." for what, numbers in odd.items()
    ]


def _round(rounds: Sequence[Round], day: date | None) -> Round | None:
    """The newest, or the one that holds a day; None where there is none."""
    held = [one for one in rounds if day is None or one.first <= day <= one.last]
    return held[-1] if held else None


def _why_no_round(measure: Measure, rounds: Sequence[Round], day: date | None) -> str:
    if day is None or not rounds:
        return f"no plot has a value of {measure.name} yet"
    days = some_text([first_to_last_text(one.first, one.last) for one in rounds])
    return f"nothing was measured on {year_day_text(day)}; it was on {days}"


# --- plots that are worked out together


def _of_part(whole: Analysed, part: Part, there: Round, settings: Settings) -> Analysed:
    names = {plot.id for plot in part.plots}
    readings = [one for one in there.readings if one.plot.id in names]
    of = replace(
        whole,
        place=part.place,
        factors=tuple(part.factors),
        days=tuple(sorted({one.day for one in readings})),
        remarks=(*whole.remarks, *remarks_of(whole, part, readings)),
    )
    try:
        return _worked_out(of, readings, settings)
    except TrialProblem as wrong:
        return replace(of, problem=str(wrong))


def _worked_out(of: Analysed, readings: Sequence[Reading], settings: Settings) -> Analysed:
    """Raises TrialProblem where there is no analysis."""
    if not readings:
        raise TrialProblem("no plot has a value")
    if of.measure.is_words:
        return replace(of, marks=_marks(of.factors, readings))
    if above := [one.text for one in readings if one.beyond == ABOVE]:
        raise TrialProblem(
            f"{len(above)} of {len(readings)} values are over a limit, such as {above[0]}: no number is made of them, so there is no "
            "mean and no test"
        )
    if any(one.beyond == BELOW for one in readings):
        return replace(of, counted=_counted(of.factors, readings))
    laid_out = layout_of(of.trial, [one.plot for one in readings], of.factors)
    rows = rows_of(of.measure, readings, settings.scale, by_plant=_by_plant(laid_out))
    if len(rows.rows) < 2:
        raise TrialProblem("one value only; what is compared needs two or more")
    return _with_analysis(of, laid_out, rows, settings)


def _by_plant(laid_out: TrialLayout) -> bool:
    """Whether plants are samples of plots; where plots are averaged to places, each plot counts once, however many plants it has."""
    return "unit" not in laid_out.layout.columns


def _with_analysis(of: Analysed, laid_out: TrialLayout, rows: Rows, settings: Settings) -> Analysed:
    labels = {name: tuple(label(row.plot) for row in rows.rows) for name, label in laid_out.labels.items()}
    table = Plots(labels, rows.values)
    question, remarks = _question(of, laid_out, table, rows, settings)
    analysis = analyse(table, question)
    rows_by_value = [[rows.rows[n] for n in numbers] for numbers in analysis.gathered.rows]
    residuals = _residuals(analysis, rows_by_value)
    return replace(
        of,
        analysis=analysis,
        factor=rows.factor,
        points=tuple(rows.factor * _shown(some) for some in rows_by_value),
        row_plots=tuple(row.plot.id for row in rows.rows),
        values=tuple(_plot_values(rows, residuals)),
        maps=tuple(_maps(analysis, rows_by_value, laid_out)),
        remarks=(*of.remarks, *remarks),
    )


def _question(
    of: Analysed, laid_out: TrialLayout, table: Plots, rows: Rows, settings: Settings
) -> tuple[Question, tuple[str, ...]]:
    """What is asked, and what of the trial's contrasts cannot be."""
    factors = laid_out.layout.factors()
    there = {name: tuple(level[0] for level in cells_of(table, (name,)).levels) for name in factors}
    rulers = rulers_of(there)
    is_of_ground = of.measure.is_of_ground and rows.scale == PLAIN
    by_density = density_ruler(there[SPACING]) if is_of_ground and SPACING in there else None
    contrasts, remarks = contrasts_of(of.trial.contrasts, of.trial.factors, there)
    for name, more in settings.contrasts.items():
        contrasts[name] = (*contrasts.get(name, ()), *more)
    question = Question(
        laid_out.layout._replace(interactions=settings.interactions),
        rows.scale,
        settings.level,
        responses=tuple(name for name in factors if is_measured_by(there[name], rulers.get(name))),
        contrasts=contrasts,
        sampled=len({row.plot.id for row in rows.rows}) < len(rows.rows),
        row=laid_out.row if laid_out.is_mapped else "",
        column=laid_out.column if laid_out.is_mapped else "",
        rulers=rulers,
        densities=() if by_density is None else (SPACING,),
        density_rulers={} if by_density is None else {SPACING: by_density},
    )
    return question, remarks


# --- what becomes of the plots


def _shown(rows: Sequence[Row]) -> float:
    return float(np.mean([row.shown for row in rows]))


def _residuals(analysis: Analysis, rows_by_value: Sequence[Sequence[Row]]) -> dict[str, float]:
    """By plot, in standard deviations; of none where whole places are averaged, or all residuals are 0."""
    scale = float(np.sqrt(np.mean(analysis.residuals**2)))
    by_plot = [{row.plot.id for row in rows} for rows in rows_by_value]
    if not scale > 0 or any(len(names) > 1 for names in by_plot):
        return {}
    return {
        name: float(residual) / scale
        for names, residual in zip(by_plot, analysis.residuals, strict=True)
        for name in names
    }


def _plot_values(rows: Rows, residuals: Mapping[str, float]) -> Iterator[PlotValue]:
    """In walking order."""
    by_plot: dict[str, list[Row]] = {}
    for row in rows.rows:
        by_plot.setdefault(row.plot.id, []).append(row)
    for held in sorted(by_plot.values(), key=lambda held: (held[0].plot.number or 0, held[0].plot.id)):
        plot = held[0].plot
        readings = [reading for row in held for reading in row.readings]
        days = tuple(sorted({reading.day for reading in readings}))
        yield PlotValue(plot, rows.factor * _shown(held), len(readings), days, residuals.get(plot.id))


def _maps(
    analysis: Analysis, rows_by_value: Sequence[Sequence[Row]], laid_out: TrialLayout
) -> Iterator[tuple[str, FieldMap]]:
    """Residuals on the ground of each place; none where whole places are averaged."""
    places = [rows[0].plot.place for rows in rows_by_value]
    if laid_out.is_mapped:
        if analysis.residual_map is not None:
            yield places[0], analysis.residual_map
        return
    if any(len({row.plot.id for row in rows}) > 1 for rows in rows_by_value):
        return
    for place in dict.fromkeys(places):
        here = np.array([one == place for one in places])
        plots, residuals = analysis.gathered.plots.kept(here), analysis.residuals[here]
        if (ground := field_map(plots, residuals, laid_out.row, laid_out.column)) is not None:
            yield place, ground


def _marks(factors: Sequence[str], readings: Sequence[Reading]) -> tuple[WordCount, ...]:
    words = Counter((_level(factors, one.plot), one.text) for one in readings)
    levels = sorted({level for level, _ in words}, key=lambda level: tuple(map(order_of, level)))
    return tuple(
        WordCount(level, {text: count for (own, text), count in sorted(words.items()) if own == level})
        for level in levels
    )


def _level(factors: Sequence[str], plot: TrialPlot) -> Level:
    return tuple(plot.treatment[factor] for factor in factors)


def _counted(factors: Sequence[str], readings: Sequence[Reading]) -> tuple[Counted, ...]:
    labels = {factor: tuple(one.plot.treatment[factor] for one in readings) for factor in factors}
    values = np.array([np.nan if one.value is None else one.value for one in readings], dtype=float)
    under = np.array([one.beyond == BELOW for one in readings], dtype=bool)
    return counted(Plots(labels, values), under, tuple(factors))
