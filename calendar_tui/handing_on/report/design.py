"""The design of the trials of a growers' page: what was compared, how it was drawn, where the plots lay."""

from __future__ import annotations

from collections.abc import Iterator

from calendar_tui.handing_on.paper.trial_map import trial_drawing
from calendar_tui.handing_on.report.parts import Drawing, Listed, Part, Section, Text, section
from calendar_tui.handing_on.report.subject import Subject
from calendar_tui.handing_on.words.plain_text import count_text
from calendar_tui.planning.trials.drawing import plots_of_trial, size_text
from calendar_tui.planning.trials.ground_map import level_name
from calendar_tui.planning.trials.layout import laid_out
from calendar_tui.planning.trials.power import finding_texts
from calendar_tui.season.refusal import Refusal
from calendar_tui.season.trials import LIGHT, Trial
from calendar_tui.season.wording import some_text

_NO_TRIAL = (
    "No trial was laid out. What follows shows cohorts side by side: each stood in one place, on its own ground, and no test tells "
    "their differences from those of the ground."
)


def design_section(subject: Subject) -> Section:
    return section(
        "How it was laid out", [part for one in subject.trials for part in _trial(subject, one)], _NO_TRIAL
    )


def _trial(subject: Subject, trial: Trial) -> Iterator[Part]:
    season = subject.plan.season
    if len(subject.trials) > 1:
        yield Text(f"Trial {trial.id}{f', {trial.name}' if trial.name else ''}:")
    yield Listed(tuple(_facts(subject, trial)))
    if any(plot.trial == trial.id for plot in season.plots.values()):
        yield Drawing(
            f"map-{trial.id}",
            trial_drawing(season, trial, trial.name or trial.id),
            f"The plots of {trial.id} as they lay on the ground, with what each got. Grey: guards, never measured. Marked lost: in no mean.",
        )


def _facts(subject: Subject, trial: Trial) -> Iterator[str]:
    for factor, levels in trial.factors.items():
        yield f"{factor}: {', '.join(level_name(factor, one) for one in levels)}"
    for level, lights in trial.places.items():
        yield f"{LIGHT} {level}: {', '.join(lights)}"
    try:
        yield size_text(trial, laid_out(trial))
        yield from finding_texts(trial)
    except Refusal as missing:
        yield str(missing)
    plots = plots_of_trial(subject.plan.season, trial.id)
    measured = [plot for plot in plots if not plot.is_guard]
    guards = len(plots) - len(measured)
    rows, ends = count_text(trial.guard_rows, "row"), count_text(trial.guard_plants, "plant")
    whole = f"; {count_text(guards, 'whole guard plot')}" if guards else ""
    yield f"Guards: {rows} on each side and {ends} at each end of a plot{whole}. No guard is measured."
    if not measured:
        yield "Its plots are not drawn yet."
        return
    drawn = "drawn at random" if trial.seed is not None else "laid out; from which numbers is not recorded"
    seed = "" if trial.seed is None else f" (seed {trial.seed}), and never redrawn for their looks"
    yield f"{len(measured)} plots, {drawn}{seed}."
    if lost := [
        f"{plot.number}: {plot.why or 'why is not set'}" for plot in measured if plot.lost is not None
    ]:
        yield f"Lost: {some_text(lost, '; ')}."
