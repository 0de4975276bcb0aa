"""A date slips: a stage is recorded, or planned again, and lights-off is held or moved with it."""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Mapping, Sequence
from dataclasses import replace
from datetime import date, timedelta

from calendar_tui.language.speaking import file_text, phrase
from calendar_tui.planning.changes.doubts import (
    ahead_doubts,
    late_doubt,
    one_day_doubts,
    tick_doubts,
)
from calendar_tui.planning.changes.held_season import in_words
from calendar_tui.planning.changes.kept_forecasts import forecast_before, forecasts_last, with_later_forecasts
from calendar_tui.planning.changes.looks import looked_without, refuse_looks
from calendar_tui.planning.changes.proposal import Proposal
from calendar_tui.planning.changes.replan import propose
from calendar_tui.planning.changes.stage_days import refuse_outside, typed_doubts, with_days
from calendar_tui.planning.changes.ticks import (
    StageDay,
    Tick,
    open_cohorts,
    skipped_before,
    spent_edits,
    spent_text,
    stage_to_record,
    tick_change,
    work_of_records,
    works_of_stages,
)
from calendar_tui.planning.cutting.holds import tick_holds
from calendar_tui.planning.evidence.words import record_evidence
from calendar_tui.planning.laying_out.last_pass import standing_after
from calendar_tui.planning.plan import Plan
from calendar_tui.season.checks import order_problem
from calendar_tui.season.edits import Edit
from calendar_tui.season.records import Cohort, Season, Task
from calendar_tui.season.refusal import Refusal
from calendar_tui.season.stages import BEFORE, BY_NAME, DECIDED, SHOWING_VARIETY, STAGES
from calendar_tui.season.wording import (
    alike_text,
    day_text,
    days_text,
    delay_text,
    full_day_text,
    stage_text,
)

HOLD, SHIFT = "hold", "shift"

# A record this many days before the earliest projected date is questioned; a starting value, no source.
SURPRISING_D = 10


def delay_d(cohort: Cohort, stage: str, day: date) -> int:
    """Days by which `day` is later than the date intended for the stage, 0 where none is."""
    meant = cohort.intended(stage)
    return 0 if meant is None else (day - meant).days


def asks_for_lights_off(plan: Plan, cohort: Cohort, stage: str, day: date) -> bool:
    """Whether this date raises the question of holding or moving lights-off."""
    pending = cohort.intended("lights_off") is not None and "lights_off" not in cohort.recorded
    return pending and BY_NAME[stage].asks_lights_off and delay_d(cohort, stage, day) != 0


def record_date(
    plan: Plan, cohort: Cohort, stage: str, day: date, lights_off: str | date = HOLD, fact: str = ""
) -> Proposal:
    """The proposal that records a stage of a cohort on a day, as `record_dates` does with several."""
    return record_dates(plan, [StageDay(cohort.id, stage, day, fact)], lights_off)


def record_as_proposed(plan: Plan, records: Sequence[StageDay], lights_off: str | date = HOLD) -> Proposal:
    """As `record_dates`, where today was only proposed for the day: questioned where the work was due long before."""
    proposal = record_dates(plan, records, lights_off)
    works = works_of_stages(plan.season, [(r.cohort, r.stage) for r in records])
    late = (
        late_doubt(task, record.stage, record.day, plan.today)
        for record in records
        for task in works[record.cohort, record.stage]
        if task.state == "open"
    )
    texts = alike_text(filter(None, late), [record.cohort for record in records])
    return replace(proposal, doubts=(*texts, *proposal.doubts))


def record_dates(
    plan: Plan, records: Sequence[StageDay], lights_off: str | date = HOLD, ticks: Sequence[Tick] = ()
) -> Proposal:
    """The proposal that records stages, and ticks the tasks that are their work and all that `ticks` has: one change.

    lights_off: "hold" it, "shift" it by the delay, or a date for it, for each record that asks. Raises Refusal with a
    line for each date that cannot be.
    """
    in_order = sorted(records, key=lambda r: STAGES.index(r.stage))
    asking = dict.fromkeys(asking_records(plan, in_order))
    cohorts, edits, whats = with_days(
        plan, in_order, lambda cohort, r: _recorded(plan, cohort, r, lights_off if r in asking else None)
    )
    works = works_of_stages(plan.season, [(r.cohort, r.stage) for r in in_order])
    done = {t.task.id: _ticked(t) for t in ticks if t.is_new}
    worked, tick_edits, tick_words = work_of_records(plan.season, in_order, works, cohorts)
    edits += tick_edits
    done |= {task.id: task for task in worked}
    season = replace(
        plan.season, cohorts=cohorts, tasks=tuple([done.get(t.id, t) for t in plan.season.tasks])
    )
    names = tuple(dict.fromkeys(r.cohort for r in in_order))
    whats = [*alike_text(whats, names), *tick_words]
    if ticks and (plain := tick_change(ticks)).edits:
        edits += plain.edits
        whats.append(plain.what)
    proposal = propose(plan, season, "; ".join(whats), forecasts_last(edits), names)
    questions = tuple([text for r in in_order for text in _questions(plan, season.cohorts[r.cohort], r)])
    doubts = (
        *questions,
        *(text for r in in_order for text in _record_doubts(plan, season, r)),
        *(text for r in asking for text in _lights_off_doubts(plan, season.cohorts[r.cohort], lights_off)),
        *tick_doubts(plan.season, ticks, plan.today, typed=True),
    )
    return replace(
        proposal,
        doubts=alike_text(doubts, names),
        questions=alike_text(questions, names),
        evidence=tuple([text for r in in_order for text in _evidence(proposal.plan, r)]),
        notes=tuple(
            dict.fromkeys(
                (
                    *(text for r in in_order for text in skipped_before(works[r.cohort, r.stage])),
                    *proposal.notes,
                )
            )
        ),
    )


def tick_tasks(plan: Plan, ticks: Sequence[Tick], lights_off: str | date = HOLD) -> Proposal:
    """The proposal that ticks tasks, and records the stages whose work they are: one change. Raises Refusal."""
    recording = [(t, stage) for t in ticks if (stage := _stage_of(plan, t))]
    late = [late_doubt(t.task, stage, t.day, plan.today) for t, stage in recording]
    ahead = ahead_doubts((t.task, t.day) for t, _ in recording)
    plain = [t for t in ticks if not _stage_of(plan, t)]
    proposal = _with_spent(record_dates(plan, records_of(plan, ticks), lights_off, plain), recording)
    new = [(t.task, t.day) for t in ticks if t.is_new]
    holds = [phrase("HOLD: {why}", why=text) for text in tick_holds(plan.season, plan.ripe, new)]
    doubts = dict.fromkeys((*holds, *filter(None, late), *ahead, *proposal.doubts))
    return replace(proposal, doubts=tuple(doubts), questions=(*holds, *proposal.questions))


def _ticked(tick: Tick) -> Task:
    spent = tick.task.spent if tick.spent is None else tick.spent
    return replace(tick.task, state="done", done_on=tick.day, spent=spent, fact=tick.fact or tick.task.fact)


def _with_spent(proposal: Proposal, recording: Sequence[tuple[Tick, str]]) -> Proposal:
    """The proposal with the hours spent on work that records a stage."""
    ticks = [tick for tick, _ in recording]
    text = spent_text(ticks)
    change, tasks = proposal.change, {t.task.id: t.spent for t in ticks if t.times}
    if not text:
        return proposal
    plan, season = proposal.plan, proposal.plan.season
    timed = tuple(replace(t, spent=tasks[t.id]) if t.id in tasks else t for t in season.tasks)
    new = replace(change, what=f"{change.what}; {text}", edits=(*change.edits, *spent_edits(ticks)))
    return replace(proposal, change=new, plan=replace(plan, season=replace(season, tasks=timed)))


def records_of(plan: Plan, ticks: Iterable[Tick]) -> tuple[StageDay, ...]:
    """What these ticks record; a stage that is the work of several tasks once."""
    by_stage = {
        (name, stage): StageDay(name, stage, t.day, t.fact, cause=t.cause)
        for t in ticks
        if (stage := _stage_of(plan, t))
        for name in open_cohorts(plan.season, t.task)
    }
    return tuple(by_stage.values())


def _stage_of(plan: Plan, tick: Tick) -> str:
    """The stage that a tick records, or ""."""
    return stage_to_record(plan.season, tick.task) if tick.is_new else ""


def asking_records(plan: Plan, records: Iterable[StageDay]) -> tuple[StageDay, ...]:
    """The records that raise the question of lights off: of several of a cohort only the last stage, so that it shifts once."""
    last = {r.cohort: r for r in sorted(records, key=lambda r: STAGES.index(r.stage))}
    cohorts = plan.season.cohorts
    return tuple([r for r in last.values() if asks_for_lights_off(plan, cohorts[r.cohort], r.stage, r.day)])


def _recorded(
    plan: Plan, cohort: Cohort, record: StageDay, lights_off: str | date | None
) -> tuple[Cohort, list[Edit], str]:
    """The cohort with this record, its edits, and what it is in words.

    lights_off: None where it is no question.
    """
    stage, day = record.stage, record.day
    if day > plan.today:
        raise Refusal(
            phrase(
                "{stage} on {day} is after today, {last}; record what has happened, plan what is to come",
                stage=stage_text(stage),
                day=full_day_text(day),
                last=full_day_text(plan.today),
            )
        )
    refuse_outside(plan.season, cohort, stage, day)
    recorded = {**cohort.recorded, stage: day}
    _refuse_order(cohort, recorded)
    new = replace(cohort, recorded=recorded)
    edits = [Edit("set", "cohort", (cohort.id,), ("recorded", stage), day)]
    what = file_text(
        "{names} {stage} recorded {day}", names=cohort.id, stage=stage_text(stage), day=full_day_text(day)
    )
    if cohort.intended(stage):
        what = file_text("{what} ({delay})", what=what, delay=delay_text(delay_d(cohort, stage, day)))
    if record.looked is not None:
        new, edit = looked_without(plan, new, stage, record.looked)
        edits.append(edit)
        what = file_text("{what}, not yet on {day}", what=what, day=day_text(record.looked))
    refuse_looks(new)
    if (before := forecast_before(plan, cohort.id, stage)) is not None:
        new = replace(new, forecast={**new.forecast, stage: before})
        edits.append(Edit("set", "cohort", (cohort.id,), ("forecast", stage), list(before)))
    new, kept = with_later_forecasts(plan, new, stage)
    edits += kept
    if record.cause:
        new = replace(new, causes={**new.causes, stage: record.cause})
        edits.append(Edit("set", "cohort", (cohort.id,), ("causes", stage), record.cause))
        what = file_text("{what}, because: {cause}", what=what, cause=record.cause)
    if lights_off is None:
        return new, edits, what
    new, more, lights = _lights_off(plan, cohort, new, stage, day, lights_off)
    return new, [*edits, *more], what + lights


def _evidence(plan: Plan, record: StageDay) -> tuple[str, ...]:
    """What a record says about its variety. plan: with the record."""
    if record.stage not in SHOWING_VARIETY:
        return ()
    return record_evidence(plan.evidence_of(record.cohort), record.cohort, record.stage)


def _lights_off_doubts(plan: Plan, cohort: Cohort, answer: str | date) -> tuple[str, ...]:
    """Why a date given for lights off may be mistyped."""
    if not isinstance(answer, date):
        return ()
    return typed_doubts(plan, cohort, "lights_off", answer, planned=True)


def _record_doubts(plan: Plan, season: Season, record: StageDay) -> Iterator[str]:
    """Why the date, the stage or the cohort of a record may be mistyped. season: with all that is recorded."""
    cohort = season.cohorts[record.cohort]
    yield from typed_doubts(plan, cohort, record.stage, record.day)
    yield from one_day_doubts(cohort, record.stage)
    yield from _doubts(plan, cohort, record.stage, record.day)


def _doubts(plan: Plan, cohort: Cohort, stage: str, day: date) -> Iterator[str]:
    """What makes one look again at a record before it is saved: the wrong stage or cohort is easily typed."""
    stages = plan.timelines[cohort.id].stages
    expected = stages.get(stage)
    if expected is not None and (expected.earliest - day).days > SURPRISING_D:
        yield phrase(
            "{names} {stage} on {day} is {span} before its earliest date, {first}: is it the right cohort and stage?",
            names=cohort.id,
            stage=stage_text(stage),
            day=day_text(day),
            span=days_text((expected.earliest - day).days),
            first=day_text(expected.earliest),
        )


def _questions(plan: Plan, cohort: Cohort, record: StageDay) -> Iterator[str]:
    """That another record is replaced, the last stage the grower decides on before this one is not recorded, or passes go on.

    cohort: with all that is recorded.
    """
    stage, stages = record.stage, plan.timelines[cohort.id].stages
    was = plan.season.cohorts[cohort.id].recorded.get(stage)
    if was is not None and was != record.day:
        yield phrase(
            "{names} {stage} is recorded on {day} already; this date replaces that one",
            names=cohort.id,
            stage=stage_text(stage),
            day=full_day_text(was),
        )
    passed = [s for s in DECIDED if s in stages and s in BEFORE[stage] and s not in cohort.recorded]
    if passed:
        yield phrase(
            "{names} {stage} is not recorded yet, and comes before {other}",
            names=cohort.id,
            stage=stage_text(passed[-1]),
            other=stage_text(stage),
        )
    cut = standing_after(plan.season, cohort.id)
    if stage == "harvest" and cut is not None:
        yield phrase(
            "{cohort} is cut in passes, the latest on {day}, and none is its last; the last one records the harvest: {command}",
            cohort=cohort.id,
            day=full_day_text(cut),
            command=f"calendar-tui pass {cohort.id} top 12.5 kg why ripe last",
        )


def plan_dates(plan: Plan, days: Sequence[StageDay], lights_off: str | date = HOLD) -> Proposal:
    """The proposal that plans stages of cohorts for days, in one change; the dates first planned are kept beside them.

    lights_off: as in `record_dates`. Raises Refusal with a line for each date that cannot be.
    """
    cohorts, edits, whats = with_days(
        plan, days, lambda cohort, planned: _planned_again(plan, cohort, planned, lights_off)
    )
    names = tuple(dict.fromkeys(d.cohort for d in days))
    season = replace(plan.season, cohorts=cohorts)
    proposal = propose(plan, season, "; ".join(alike_text(whats, names)), edits, names)
    before = [(plan.season.cohorts[d.cohort], d) for d in days]
    doubts = (
        *(text for c, d in before for text in typed_doubts(plan, c, d.stage, d.day, planned=True)),
        *(text for c, _ in before for text in _lights_off_doubts(plan, c, lights_off)),
    )
    return replace(proposal, doubts=alike_text(doubts, names))


def _planned_again(
    plan: Plan, cohort: Cohort, planned: StageDay, lights_off: str | date
) -> tuple[Cohort, list[Edit], str]:
    """The cohort with this intention, its edits, and what it is in words."""
    stage, day = planned.stage, planned.day
    refuse_outside(plan.season, cohort, stage, day)
    if stage in cohort.recorded:
        raise Refusal(
            f"{cohort.id} {stage_text(stage)} is recorded on {cohort.recorded[stage]}; it can't be planned again"
        )
    new, edit = _planned(cohort, stage, day)
    _refuse_order(new, {**new.planned, **new.replanned})
    edits = [edit]
    what = f"{cohort.id} {stage_text(stage)} planned for {full_day_text(day)}"
    if asks_for_lights_off(plan, cohort, stage, day):
        new, more, lights = _lights_off(plan, cohort, new, stage, day, lights_off)
        edits += more
        what += lights
    return new, edits, what


def _refuse_order(cohort: Cohort, dates: Mapping[str, date]) -> None:
    if message := next(filter(None, (order_problem(cohort, dates, stage) for stage in dates)), ""):
        raise Refusal(in_words("cohort", message, named=False))


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
        return new, [], f"; {file_text('lights off held on {day}', day=day_text(meant))}"
    if answer == SHIFT:
        moved = meant + timedelta(days=delay_d(cohort, stage, day))
    elif isinstance(answer, date):
        moved = answer
    else:
        raise Refusal(f'lights-off "{answer}" is not known; use hold, shift, or a date')
    refuse_outside(plan.season, cohort, "lights_off", moved)
    arrival = new.fixed("transplant") or new.fixed(new.first_stage)
    if arrival is not None and moved < arrival:
        raise Refusal(
            f"lights off on {moved} is before the plants come on {arrival}; it must be on {arrival} or later"
        )
    new, edit = _planned(new, "lights_off", moved)
    _refuse_order(new, {**new.planned, **new.replanned})
    days = file_text(
        "lights off moved from {first} to {last}", first=day_text(meant), last=full_day_text(moved)
    )
    return new, [edit], f"; {days}"
