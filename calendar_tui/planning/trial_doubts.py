"""Where the plots of a trial disagree with its design, their ground, or the cohorts whose plants stand in them: told, never mended."""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterable, Iterator, Mapping, Sequence
from collections.abc import Set as AbstractSet

from calendar_tui.nature.layouts.designs import AUGMENTED, COMPLETE
from calendar_tui.nature.layouts.plots import Treatment, combinations
from calendar_tui.planning.tasks.amounts import area_of_light_m2, planted_plots
from calendar_tui.season.measures import area_text
from calendar_tui.season.records import Season
from calendar_tui.season.trials import DATE, LIGHT, VARIETY, Trial, TrialPlot, level_date
from calendar_tui.season.wording import full_day_text, plots_text, some_text

# Areas are written in whole square metres.
_ROUNDED_M2 = 1.0


def trial_doubts(season: Season) -> Iterator[str]:
    """A sentence each, trial by trial."""
    for trial in season.trials.values():
        yield from doubts_of(season, trial)


def new_doubts(before: Season, after: Season) -> tuple[str, ...]:
    """What a change of a season adds to them."""
    if not after.plots:
        return ()
    there = set(trial_doubts(before))
    return tuple(text for text in trial_doubts(after) if text not in there)


def doubts_of(season: Season, trial: Trial) -> Iterator[str]:
    """Those of one trial; none before it is drawn."""
    plots = [p for p in season.plots.values() if p.trial == trial.id and not p.is_guard]
    if plots:
        unknown = _unknown_levels(trial, plots)
        yield from _unknown_texts(trial, unknown)
        yield from _uneven(trial, plots, {factor for factor, _ in unknown})
        yield from _other_cohorts(season, trial, plots)
        yield from _too_few_plants(season, trial)
        yield from _too_little_ground(season, trial)


_Unknown = Mapping[tuple[str, str], Sequence[str]]


def _unknown_levels(trial: Trial, plots: Iterable[TrialPlot]) -> _Unknown:
    """By factor and level the numbers of the plots that have what is no level of the trial."""
    levels = {**trial.factors, LIGHT: tuple(trial.places)}
    unknown: dict[tuple[str, str], list[str]] = {}
    for plot in plots:
        for factor, level in plot.treatment.items():
            if level not in levels.get(factor, ()):
                unknown.setdefault((factor, level), []).append(str(plot.number))
    return unknown


def _unknown_texts(trial: Trial, unknown: _Unknown) -> Iterator[str]:
    levels = {**trial.factors, LIGHT: tuple(trial.places)}
    for (factor, level), numbers in unknown.items():
        own = levels.get(factor, ())
        known = f"levels of {factor}: {', '.join(own)}" if own else f"{factor} is no factor of it"
        yield (
            f'trial {trial.id}: {plots_text(numbers)} {"has" if len(numbers) == 1 else "have"} {factor} "{level}", which is no level '
            f"of it ({known}); where a level was renamed, give it the old name back, or these plots the new one"
        )


def _uneven(trial: Trial, plots: Sequence[TrialPlot], unknown: AbstractSet[str]) -> Iterator[str]:
    """Treatments that a block lacks or has twice; of a completely randomised trial the whole is one block.

    unknown: factors with levels that are not known, of which that is told instead.
    """
    if not unknown.isdisjoint(trial.factors):
        return
    wanted = _in_every_block(trial)
    if trial.design == COMPLETE:
        times = len(plots) // max(1, len(wanted))
        yield from (
            f"trial {trial.id}: {name} stands {_times(count)}, and should stand {_times(times)}"
            for name, count in _counted(plots, wanted, times)
        )
        return
    wrong: dict[tuple[str, int], list[str]] = {}
    for block in sorted({plot.block for plot in plots if plot.block is not None}):
        held = [plot for plot in plots if plot.block == block]
        for odd in _counted(held, wanted, 1):
            wrong.setdefault(odd, []).append(str(block))
    for (name, count), blocks in wrong.items():
        where = f"in block{'s' * (len(blocks) > 1)} {some_text(blocks)}"
        yield f"trial {trial.id}: {name} stands {_times(count)} {where}, and should stand once"


def _in_every_block(trial: Trial) -> list[Treatment]:
    every = combinations(tuple(trial.factors.items()))
    if trial.design != AUGMENTED:
        return every
    return [one for one in every if one[0][1] in trial.checks]


def _counted(
    plots: Iterable[TrialPlot], wanted: Sequence[Treatment], times: int
) -> Iterator[tuple[str, int]]:
    """The treatments that do not stand so many times, and how often they do."""
    counts = Counter(_without_light(plot) for plot in plots)
    for treatment in wanted:
        if (count := counts[tuple(sorted(treatment))]) != times:
            yield ", ".join(level for _, level in treatment), count


def _without_light(plot: TrialPlot) -> Treatment:
    return tuple(sorted((factor, level) for factor, level in plot.treatment.items() if factor != LIGHT))


def _times(count: int) -> str:
    return ("in no plot", "once", "twice")[count] if count < 3 else f"{count} times"


def _other_cohorts(season: Season, trial: Trial, plots: Iterable[TrialPlot]) -> Iterator[str]:
    """What a cohort shares with no plot of its treatment, told once with all plots of which that is so."""
    by_text: dict[tuple[str, str], list[str]] = {}
    for plot in plots:
        for asked, grown in _differences(season, trial, plot):
            by_text.setdefault((asked, grown), []).append(str(plot.number))
    for (asked, grown), numbers in by_text.items():
        yield f"trial {trial.id}: {plots_text(numbers)}: {asked}, but {grown}"


def _too_few_plants(season: Season, trial: Trial) -> Iterator[str]:
    """Cohorts with fewer plants than their plots have, those of other trials counted too."""
    own = {plot.cohort for plot in season.plots.values() if plot.trial == trial.id}
    for cohort in (season.cohorts[name] for name in season.cohorts if name in own):
        plots = planted_plots(season, cohort)
        needed = sum(plot.plants or 0 for plot in plots)
        if cohort.plants is not None and cohort.plants < needed:
            others = sorted({plot.trial for plot in plots} - {trial.id})
            also = f", those of {some_text(others)} counted too" if others else ""
            yield f"trial {trial.id}: {cohort.id} has {cohort.plants} plants, and its plots take {needed}{also}; set its plants"


def _too_little_ground(season: Season, trial: Trial) -> Iterator[str]:
    """Places that are smaller than the plots of all trials there."""
    own = (plot.place for plot in season.plots.values() if plot.trial == trial.id and plot.place)
    for light in dict.fromkeys(own):
        area, by_trial_m2 = area_of_light_m2(season, light), _plot_area_by_trial_m2(season, light)
        if area is None or sum(by_trial_m2.values()) <= area + _ROUNDED_M2:
            continue
        parts = " and ".join(f"{name} {area_text(m2)}" for name, m2 in by_trial_m2.items())
        right = "make plots, blocks or border smaller" + (
            "" if len(by_trial_m2) == 1 else ", or lay one elsewhere"
        )
        yield f"trial {trial.id}: {light} has {area_text(area)}, and plots take {parts}; {right}"


def _plot_area_by_trial_m2(season: Season, light: str) -> dict[str, float]:
    """By trial the area (m2) of its plots in a place, guard plots too; those of which no spacing is set left out."""
    by_trial_m2: dict[str, float] = {}
    for plot in season.plots.values():
        size = season.trials[plot.trial].plot_m2
        if plot.place == light and size is not None:
            by_trial_m2[plot.trial] = by_trial_m2.get(plot.trial, 0.0) + size
    return by_trial_m2


def _differences(season: Season, trial: Trial, plot: TrialPlot) -> Iterator[tuple[str, str]]:
    cohort = season.cohorts.get(plot.cohort)
    if cohort is None:
        return
    variety = plot.treatment.get(VARIETY, trial.variety)
    if variety and variety != cohort.variety:
        yield f"the treatment is {variety}", f"{cohort.id} is of {cohort.variety}"
    if plot.place and plot.place not in cohort.growing_lights:
        yield f"it lies in {plot.place}", f"{cohort.id} grows in {some_text(cohort.growing_lights)}"
    level = plot.treatment.get(DATE, "")
    wanted = level_date(level) if level else trial.date
    planted = cohort.fixed(cohort.planting)
    if wanted is not None and planted is not None and planted != wanted:
        done = "was" if cohort.planting in cohort.recorded else "is to be"
        yield (
            f"it is to be planted on {full_day_text(wanted)}",
            f"{cohort.id} {done} planted on {full_day_text(planted)}",
        )
