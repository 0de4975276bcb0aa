"""What to know of the values of a trial's analysis, in sentences: what has no value, what was lost, whether a round is whole."""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterable, Iterator, Sequence
from datetime import date

from calendar_tui.planning.field_book.walking import is_measured
from calendar_tui.planning.trial_analysis.analysed import Analysed
from calendar_tui.planning.trial_analysis.layout import Part, has_light
from calendar_tui.planning.trial_analysis.measures import OBSERVED
from calendar_tui.planning.trial_analysis.readings import Reading
from calendar_tui.planning.trial_analysis.rounds import Round
from calendar_tui.season.trials import LIGHT, Trial, TrialPlot
from calendar_tui.season.wording import first_to_last_text, plots_text, year_day_text

# A round with a smaller part of the plots that the one before it had may still be going on (a choice).
_MOSTLY = 0.75


def remarks_of(of: Analysed, part: Part, readings: Sequence[Reading]) -> Iterator[str]:
    """Which plots have no value, over how many days it was measured, and what the design does not reach."""
    there = {one.plot.id for one in readings}
    missing = [plot for plot in part.plots if plot.id not in there]
    for lost, why in ((True, "lost"), (False, "no value")):
        if numbers := [str(plot.number) for plot in missing if (plot.lost is not None) == lost]:
            yield f"{plots_text(numbers).capitalize()}: {why}."
    yield from _lost_later([plot for plot in part.plots if plot.id in there])
    days = sorted({one.day for one in readings})
    if of.measure.source == OBSERVED and len(days) > 1:
        span = (days[-1] - days[0]).days + 1
        yield (
            f"Measured over {span} days, {first_to_last_text(days[0], days[-1])}: what grows meanwhile differs by its day too."
        )
    if has_light(of.trial):
        yield from _light_remarks(of.trial, part, readings)


def _lost_later(plots: Iterable[TrialPlot]) -> Iterator[str]:
    """Of plots with values those that were lost after that, by the day of the loss."""
    by_day: dict[date, list[str]] = {}
    for plot in plots:
        if plot.lost is not None:
            by_day.setdefault(plot.lost, []).append(str(plot.number))
    for day, numbers in sorted(by_day.items()):
        yield f"{plots_text(numbers).capitalize()}: lost on {year_day_text(day)}; what was measured before that day stays in."


def _light_remarks(trial: Trial, part: Part, readings: Sequence[Reading]) -> Iterator[str]:
    if part.place:
        yield f"{LIGHT} is compared apart, by the means of whole places; a {trial.design} trial is worked out place by place."
    elif tuple(part.factors) == (LIGHT,):
        there = Counter(one.plot.place for one in {one.plot.id: one for one in readings}.values())
        if len({*there.values()}) > 1:
            yield (
                "Places have different plots with a value, and the mean of a place is of those that it has: "
                f"{', '.join(f'{place} {n}' for place, n in there.items())}."
            )


def unfinished(rounds: Sequence[Round], there: Round | None) -> Iterator[str]:
    """That the round has fewer plots than the one before it, lost ones aside, as while it is being measured."""
    if there is None or there == rounds[0]:
        return
    before = rounds[rounds.index(there) - 1]
    here = {one.plot.id for one in there.readings}
    then = {one.plot.id for one in before.readings if is_measured(one.plot, there.first)}
    if len(here) < _MOSTLY * len(then):
        yield (
            f"This round has {len(here)} plots of the {len(then)} that were measured on {first_to_last_text(before.first, before.last)} and still "
            "stand: where it is not finished, wait for the rest, or take that round."
        )
