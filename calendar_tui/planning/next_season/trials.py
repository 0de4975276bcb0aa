"""The trials of a season drawn anew for the next one, where their cohorts are planted then."""

from __future__ import annotations

from collections.abc import Iterator
from datetime import date

from calendar_tui.planning.trials.drawing import plots_of_trial
from calendar_tui.season.edits import Edit
from calendar_tui.season.records import Season
from calendar_tui.season.refusal import Refusal
from calendar_tui.season.trials import DATE, Trial

# Trials are drawn with seeds so far apart: each place of a trial takes the next one.
APART = 100


def drawn_trials(season: Season) -> list[Trial]:
    """Those that have plots, in the order of the file."""
    return [trial for trial in season.trials.values() if plots_of_trial(season, trial.id)]


def seed_edits(season: Season, seed: int | None, today: date) -> Iterator[Edit]:
    """A seed for each trial that was drawn, stated beforehand and not the one it had.

    seed: of the first one, None for today's date as a number. Raises Refusal where that is the seed a trial had.
    """
    begin = int(f"{today:%Y%m%d}") if seed is None else seed
    for n, trial in enumerate(drawn_trials(season)):
        own = begin + n * APART
        if own == trial.seed and seed is not None:
            raise Refusal(
                f"trial {trial.id} was drawn with seed {own}, and would come out the same; give another --seed"
            )
        yield Edit("set", "trial", (trial.id,), ("seed",), own + (own == trial.seed))


def date_edits(trial: Trial, old: Season, new: Season) -> Iterator[Edit]:
    """The planting dates of a trial where the cohorts of its plots are planned to be planted on another date.

    trial: of the new season, on the dates it had, moved. A cohort that came late has its planned date again.
    """
    levels = trial.factors.get(DATE, ())
    was = old.trials[trial.id].factors.get(DATE, ())
    anew = [_planned(trial, old, new, before) for before in was]
    texts = [level if day is None else day.isoformat() for level, day in zip(levels, anew, strict=True)]
    if texts != list(levels):
        yield Edit("set", "trial", (trial.id,), ("factors", DATE), texts)
    if not levels and (day := _planned(trial, old, new, "")) not in (None, trial.date):
        yield Edit("set", "trial", (trial.id,), ("date",), day)


def _planned(trial: Trial, old: Season, new: Season, level: str) -> date | None:
    """The one day on which the cohorts of its plots, of a level of the factor date, are to be planted; None for several."""
    names = {
        plot.cohort
        for plot in plots_of_trial(old, trial.id)
        if plot.cohort and plot.treatment.get(DATE, "") == level
    }
    days = {cohort.fixed(cohort.planting) for cohort in map(new.cohorts.__getitem__, names)}
    return days.pop() if len(days) == 1 else None
