"""A date slips: a stage is recorded, or planned again, and lights-off is held or moved with it."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import replace
from datetime import date, timedelta

from calendar_tui.planning.evidence import SEEN
from calendar_tui.planning.evidence_text import record_evidence
from calendar_tui.planning.plan import Plan
from calendar_tui.planning.replan import Proposal, propose, with_dates
from calendar_tui.planning.ticks import skipped_before, ticked
from calendar_tui.planning.wording import day_text, days_text, delay_text, stage_text
from calendar_tui.season.checks import order_problem, stage_problem
from calendar_tui.season.edits import Edit
from calendar_tui.season.readers import choices
from calendar_tui.season.records import CHAINS, DECIDED, STAGES, Cohort, Season

HOLD, SHIFT = "hold", "shift"
# Stages whose delay raises the question whether lights-off moves along.
ASKS = ("seeding", "sticking", "emergence", "rooted", "transplant", "lights_on")

# A record this many days before the earliest projected date is questioned; a starting value, no source.
SURPRISING_D = 10


class SlipError(ValueError):
    """A date that cannot be recorded or planned. The message says why and what would be right."""


def find_cohort(season: Season, name: str) -> Cohort:
    """The cohort of this id, in any case of letters. Raises SlipError."""
    by_folded = {c.id.casefold(): c for c in season.cohorts.values()}
    if name.casefold() in by_folded:
        return by_folded[name.casefold()]
    raise SlipError(f'"{name}" is not a cohort of this season{choices(name, season.cohorts)}')


def find_stage(season: Season, cohort: Cohort, typed: str, table: str = "recorded") -> str:
    """The stage as typed, where the cohort can have it under that table. Raises SlipError."""
    name = stage_named(typed)
    if message := stage_problem(season, cohort, table, name):
        raise SlipError(message)
    return name


def stage_named(typed: str) -> str:
    """The stage of this name, "lights off" and "lights-off" too. Raises SlipError."""
    name = typed.strip().casefold().replace("-", "_").replace(" ", "_")
    if name not in STAGES:
        raise SlipError(f'"{typed}" is not a stage{choices(name, STAGES, "Stages")}')
    return name


def delay_d(cohort: Cohort, stage: str, day: date) -> int:
    """Days by which `day` is later than the date intended for the stage, 0 where none is."""
    meant = cohort.intended(stage)
    return 0 if meant is None else (day - meant).days


def asks_for_lights_off(plan: Plan, cohort: Cohort, stage: str, day: date) -> bool:
    """Whether this date raises the question of holding or moving lights-off."""
    pending = cohort.intended("lights_off") is not None and "lights_off" not in cohort.recorded
    return pending and stage in ASKS and delay_d(cohort, stage, day) != 0


def record_date(
    plan: Plan, cohort: Cohort, stage: str, day: date, lights_off: str | date = HOLD, fact: str = ""
) -> Proposal:
    """The proposal that records a stage of a cohort on a day, and ticks the task that is its work.

    lights_off: "hold" it, "shift" it by the delay, or a date for it. fact: what to write down with the task. Raises
    SlipError where the date cannot be.
    """
    if day > plan.today:
        raise SlipError(
            f"{stage_text(stage)} on {day} is after today, {plan.today}; record what has happened, plan what is to come"
        )
    _refuse_outside(plan.season, cohort, stage, day)
    recorded = {**cohort.recorded, stage: day}
    if message := next(filter(None, (order_problem(cohort, recorded, s) for s in recorded)), ""):
        raise SlipError(message)
    new = replace(cohort, recorded=recorded)
    edits = [Edit("set", "cohort", (cohort.id,), ("recorded", stage), day)]
    note = f" ({delay_text(delay_d(cohort, stage, day))})" if cohort.intended(stage) else ""
    what = f"{cohort.id} {stage_text(stage)} recorded {day_text(day)}{note}"
    if asks_for_lights_off(plan, cohort, stage, day):
        new, more, said = _lights_off(plan, cohort, new, stage, day, lights_off)
        edits += more
        what += said
    season, ticks = ticked(with_dates(plan.season, new), cohort.id, stage, day, fact)
    what += f"; ticked {', '.join(dict.fromkeys(e.ident[0] for e in ticks))}" if ticks else ""
    proposal = propose(plan, season, what, (*edits, *ticks), cohort.id)
    doubts = tuple(_doubts(plan, cohort, stage, day))
    evidence = (
        record_evidence(proposal.plan.evidence_of(cohort.id), cohort.id, stage) if stage in SEEN else ()
    )
    return replace(
        proposal,
        new_clashes=(*doubts, *proposal.new_clashes),
        evidence=evidence,
        notes=tuple(skipped_before(plan.season, cohort.id, stage)),
    )


def _doubts(plan: Plan, cohort: Cohort, stage: str, day: date) -> Iterator[str]:
    """What makes one look again at a record before it is saved: the wrong stage or cohort is easily typed."""
    stages = plan.timelines[cohort.id].stages
    expected = stages.get(stage)
    if expected is not None and (expected.earliest - day).days > SURPRISING_D:
        early = days_text((expected.earliest - day).days)
        yield (
            f"{cohort.id} {stage_text(stage)} on {day_text(day)} is {early} before its earliest date, "
            f"{day_text(expected.earliest)}: is it the right cohort and stage?"
        )
    passed = [s for s in DECIDED if s in stages and s in _before(stage) and s not in cohort.recorded]
    if passed:
        yield f"{cohort.id} {stage_text(passed[-1])} is not recorded yet, and comes before {stage_text(stage)}"


def _before(stage: str) -> set[str]:
    return {earlier for chain in CHAINS if stage in chain for earlier in chain[: chain.index(stage)]}


def plan_date(plan: Plan, cohort: Cohort, stage: str, day: date, lights_off: str | date = HOLD) -> Proposal:
    """The proposal that plans a stage of a cohort for a day; the date first planned is kept beside it."""
    _refuse_outside(plan.season, cohort, stage, day)
    if stage in cohort.recorded:
        raise SlipError(
            f"{cohort.id} {stage_text(stage)} is recorded on {cohort.recorded[stage]}; it can't be planned again"
        )
    new, edit = _planned(cohort, stage, day)
    _refuse_order(new, stage)
    edits = [edit]
    what = f"{cohort.id} {stage_text(stage)} planned for {day_text(day)}"
    if asks_for_lights_off(plan, cohort, stage, day):
        new, more, said = _lights_off(plan, cohort, new, stage, day, lights_off)
        edits += more
        what += said
    return propose(plan, with_dates(plan.season, new), what, edits, cohort.id)


def _refuse_outside(season: Season, cohort: Cohort, stage: str, day: date) -> None:
    if not season.first_day <= day <= season.last_day:
        raise SlipError(
            f"cohort {cohort.id}: {stage_text(stage)} on {day} is outside the season, {season.first_day} to {season.last_day}"
        )


def _refuse_order(cohort: Cohort, stage: str) -> None:
    intended = {**cohort.planned, **cohort.replanned}
    if message := next(filter(None, (order_problem(cohort, intended, s) for s in intended)), ""):
        raise SlipError(message)


def _planned(cohort: Cohort, stage: str, day: date) -> tuple[Cohort, Edit]:
    """The cohort with a new intention; the first one ever goes under planned, later ones under replanned."""
    table = "replanned" if stage in cohort.planned else "planned"
    dates = {**getattr(cohort, table), stage: day}
    changed = replace(cohort, replanned=dates) if table == "replanned" else replace(cohort, planned=dates)
    return changed, Edit("set", "cohort", (cohort.id,), (table, stage), day)


def _lights_off(
    plan: Plan, cohort: Cohort, new: Cohort, stage: str, day: date, answer: str | date
) -> tuple[Cohort, list[Edit], str]:
    """The cohort, the edits and the words that the answer to the lights-off question adds."""
    meant = cohort.intended("lights_off")
    assert meant is not None
    if answer == HOLD:
        return new, [], f"; lights off held on {day_text(meant)}"
    if answer == SHIFT:
        moved = meant + timedelta(days=delay_d(cohort, stage, day))
    elif isinstance(answer, date):
        moved = answer
    else:
        raise SlipError(f'lights-off "{answer}" is not known; say hold, shift, or a date')
    _refuse_outside(plan.season, cohort, "lights_off", moved)
    arrival = new.fixed("transplant") or new.fixed(new.first_stage)
    if arrival is not None and moved < arrival:
        raise SlipError(
            f"lights off on {moved} is before the plants come on {arrival}; it must be on {arrival} or later"
        )
    new, edit = _planned(new, "lights_off", moved)
    _refuse_order(new, "lights_off")
    return new, [edit], f"; lights off moved from {day_text(meant)} to {day_text(moved)}"
