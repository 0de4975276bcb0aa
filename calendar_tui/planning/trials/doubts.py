"""Where the plots of a trial disagree with its design, or with the cohorts whose plants stand in them: told, never mended."""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterable, Iterator, Sequence

from calendar_tui.nature.layouts.designs import AUGMENTED, COMPLETE
from calendar_tui.nature.layouts.plots import Treatment, combinations
from calendar_tui.planning.trials.growing import planting_day
from calendar_tui.season.records import Season
from calendar_tui.season.trials import DATE, LIGHT, VARIETY, Trial, TrialPlot, level_date
from calendar_tui.season.wording import full_day_text, some_text


def trial_doubts(season: Season) -> Iterator[str]:
    """A sentence each, trial by trial."""
    for trial in season.trials.values():
        yield from doubts_of(season, trial)


def doubts_of(season: Season, trial: Trial) -> Iterator[str]:
    """Those of one trial; none before it is drawn."""
    plots = [p for p in season.plots.values() if p.trial == trial.id and not p.is_guard]
    if plots:
        yield from _unknown_levels(trial, plots)
        yield from _uneven(trial, plots)
        yield from _other_cohorts(season, trial, plots)


def _unknown_levels(trial: Trial, plots: Iterable[TrialPlot]) -> Iterator[str]:
    levels = {**trial.factors, **({LIGHT: tuple(trial.places)} if len(trial.places) > 1 else {})}
    for plot in plots:
        for factor, level in plot.treatment.items():
            if factor != LIGHT and level not in levels.get(factor, ()):
                yield f'plot {plot.id}: {factor} "{level}" is not a level of trial {trial.id}'


def _uneven(trial: Trial, plots: Sequence[TrialPlot]) -> Iterator[str]:
    """Treatments that a block lacks or has twice; of a completely randomised trial the whole is one block."""
    wanted = _in_every_block(trial)
    if trial.design == COMPLETE:
        yield from _counted(trial, "", plots, wanted, len(plots) // max(1, len(wanted)))
        return
    for block in sorted({plot.block for plot in plots if plot.block is not None}):
        held = [plot for plot in plots if plot.block == block]
        yield from _counted(trial, f" in block {block}", held, wanted, 1)


def _in_every_block(trial: Trial) -> list[Treatment]:
    every = combinations(tuple(trial.factors.items()))
    if trial.design != AUGMENTED:
        return every
    return [one for one in every if one[0][1] in trial.checks]


def _counted(
    trial: Trial, where: str, plots: Iterable[TrialPlot], wanted: Sequence[Treatment], times: int
) -> Iterator[str]:
    counts = Counter(_without_light(plot) for plot in plots)
    for treatment in wanted:
        count = counts[tuple(sorted(treatment))]
        if count != times:
            name = ", ".join(level for _, level in treatment)
            yield f"trial {trial.id}: {name} stands {_times(count)}{where}, and should stand {_times(times)}"


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
        yield f"trial {trial.id}: plot{'s' * (len(numbers) > 1)} {some_text(numbers)}: {asked}, but {grown}"


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
    planted = planting_day(cohort)
    if wanted is not None and planted is not None and planted != wanted:
        done = (
            "was" if "transplant" in cohort.recorded or cohort.first_stage in cohort.recorded else "is to be"
        )
        yield (
            f"it is to be planted on {full_day_text(wanted)}",
            f"{cohort.id} {done} planted on {full_day_text(planted)}",
        )
