"""The dates on which work was due that was not done before its stage happened."""

from __future__ import annotations

from collections.abc import Callable, Mapping
from dataclasses import replace
from datetime import date

from calendar_tui.planning.laying_out.timeline import Timeline
from calendar_tui.planning.plan import Plan
from calendar_tui.planning.tasks.chore_dates import applies, span_of, stage_for
from calendar_tui.season.records import Chore, Task

_PICK: Mapping[str, Callable[..., tuple[date, Timeline]]] = {"first": min, "last": max}


def as_it_was_due(plan: Plan, old: Task, new: Task) -> Task:
    """The task as it is laid out, but on its old date where it comes before a stage that has happened: it was not done.

    To count it back from the recorded date would say that it had been due on another day than anybody was told.
    """
    return replace(new, date=old.date, why=old.why) if _before_happened(plan, new) else new


def is_too_late(plan: Plan, new: Task) -> bool:
    """Whether a new task lies before today and comes before a stage that has happened: it was never asked for in time."""
    return new.date < plan.today and _before_happened(plan, new)


def _before_happened(plan: Plan, task: Task) -> bool:
    """Whether a task as it is laid out comes before the stage that it is counted from, and that has happened."""
    chore = plan.season.chores[task.chore]
    timeline = _counted_from(plan, chore, task) if chore.offset_d < 0 else None
    if timeline is None:
        return False
    happened = timeline.cohort.recorded.get(stage_for(chore, timeline.cohort))
    return happened is not None and task.date <= happened


def _counted_from(plan: Plan, chore: Chore, task: Task) -> Timeline | None:
    """The cohort from whose stage the date of a task is counted, of work together the first or the last; or None."""
    near = (plan.timelines[name] for name in task.about or plan.timelines if name in plan.timelines)
    firsts = [
        (span[0], timeline)
        for timeline in near
        if applies(plan.season, chore, timeline) and (span := span_of(chore, timeline)) is not None
    ]
    if not firsts:
        return None
    return _PICK[chore.season_cohort](firsts, key=lambda first: first[0])[1]
