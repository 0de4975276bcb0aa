"""Days of stages of several cohorts, all or none: what recording, planning and looking have in common."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from datetime import date

from calendar_tui.language.speaking import phrase
from calendar_tui.planning.changes.doubts import date_doubts
from calendar_tui.planning.changes.ticks import StageDay
from calendar_tui.planning.plan import Plan
from calendar_tui.season.edits import Edit
from calendar_tui.season.records import Cohort, Season
from calendar_tui.season.refusal import Refusal, refuse_all
from calendar_tui.season.wording import full_day_text, stage_text, year_day_text


def with_days(
    plan: Plan, days: Sequence[StageDay], change: Callable[[Cohort, StageDay], tuple[Cohort, list[Edit], str]]
) -> tuple[dict[str, Cohort], list[Edit], list[str]]:
    """The cohorts with these days, one after another, their edits, and what each is in words.

    change: of one cohort by one day. Raises Refusal with a line for each day that cannot be.
    """
    cohorts, edits, whats, refused = dict(plan.season.cohorts), list[Edit](), list[str](), list[str]()
    for day in days:
        try:
            cohorts[day.cohort], more, what = change(cohorts[day.cohort], day)
        except Refusal as wrong:
            refused.append(str(wrong))
        else:
            edits += more
            whats.append(what)
    refuse_all(refused, len(days))
    return cohorts, edits, whats


def typed_doubts(
    plan: Plan, cohort: Cohort, stage: str, day: date, *, planned: bool = False
) -> tuple[str, ...]:
    """Why the date typed for a stage may be another than the one meant; a cohort's first stage may come sooner than it was."""
    later = None if stage == cohort.first_stage else cohort
    return date_doubts(plan.season, plan.today, day, later, planned=planned)


def refuse_outside(season: Season, cohort: Cohort, stage: str, day: date) -> None:
    if not season.first_day <= day <= season.last_day:
        raise Refusal(
            phrase(
                "cohort {cohort}: {stage} on {day} is outside the season, {first} to {last}",
                cohort=cohort.id,
                stage=stage_text(stage),
                day=full_day_text(day),
                first=year_day_text(season.first_day),
                last=year_day_text(season.last_day),
            )
        )
