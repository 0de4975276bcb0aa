"""Looks at the plants: on a day they had not come to a stage yet."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import replace
from datetime import date

from calendar_tui.planning.changes.held_season import in_words
from calendar_tui.planning.changes.proposal import Proposal
from calendar_tui.planning.changes.replan import propose
from calendar_tui.planning.changes.stage_days import refuse_outside, typed_doubts, with_days
from calendar_tui.planning.changes.ticks import StageDay
from calendar_tui.planning.plan import Plan
from calendar_tui.season.checks import look_problem, stage_problem
from calendar_tui.season.edits import Edit
from calendar_tui.season.records import Cohort
from calendar_tui.season.refusal import Refusal
from calendar_tui.season.wording import alike_text, full_day_text, stage_text


def note_looks(plan: Plan, looks: Sequence[StageDay]) -> Proposal:
    """The proposal that notes of cohorts that on a day they had not come to a stage yet: one change.

    Raises Refusal with a line for each date that cannot be.
    """
    cohorts, edits, whats = with_days(plan, looks, lambda cohort, look: _not_yet(plan, cohort, look))
    names = tuple(dict.fromkeys(look.cohort for look in looks))
    season = replace(plan.season, cohorts=cohorts)
    proposal = propose(plan, season, "; ".join(alike_text(whats, names)), edits, names)
    doubts = [text for look in looks for text in _look_doubts(plan, look)]
    return replace(proposal, doubts=alike_text(doubts, names))


def _not_yet(plan: Plan, cohort: Cohort, look: StageDay) -> tuple[Cohort, list[Edit], str]:
    new, edit = looked_without(plan, cohort, look.stage, look.day)
    refuse_looks(new)
    return new, [edit], f"{cohort.id} {stage_text(look.stage)} not yet on {full_day_text(look.day)}"


def looked_without(plan: Plan, cohort: Cohort, stage: str, day: date) -> tuple[Cohort, Edit]:
    """The cohort with a look that did not see a stage yet. Raises Refusal."""
    if day > plan.today:
        raise Refusal(
            f"{full_day_text(day)} is after today, {full_day_text(plan.today)}; note a look that has been"
        )
    if message := stage_problem(plan.season, cohort, "not_yet", stage):
        raise Refusal(message)
    refuse_outside(plan.season, cohort, stage, day)
    new = replace(cohort, not_yet={**cohort.not_yet, stage: day})
    return new, Edit("set", "cohort", (cohort.id,), ("not_yet", stage), day)


def refuse_looks(cohort: Cohort) -> None:
    """Refuse what the looks at a cohort contradict."""
    for stage in cohort.not_yet:
        if message := look_problem(cohort, stage):
            raise Refusal(
                f"{in_words('cohort', message, named=False)}; a look that was wrong is taken back with undo, or noted again with its right date"
            )


def _look_doubts(plan: Plan, look: StageDay) -> Iterator[str]:
    """Why the date of a look may be mistyped."""
    cohort = plan.season.cohorts[look.cohort]
    was = cohort.not_yet.get(look.stage)
    if was is not None and was > look.day:
        there = f"{cohort.id} {stage_text(look.stage)} was not there yet on {full_day_text(was)}, later"
        yield f"{there}; this date replaces that one"
    yield from typed_doubts(plan, cohort, look.stage, look.day)
