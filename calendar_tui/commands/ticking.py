"""The command that ticks tasks; with a task that is the work of a stage it records the stage's date in the same change."""

from __future__ import annotations

import argparse
from collections.abc import Iterator, Mapping, Sequence
from datetime import date, timedelta
from functools import partial
from pathlib import Path
from typing import TYPE_CHECKING, Any

from calendar_tui.commands.changing import answers_for, confirm_and_save
from calendar_tui.commands.command_input import (
    Refusal,
    ask,
    at_terminal,
    emit,
    load_as_of,
    picked_season,
    save,
    table_of,
    today_of,
    zone_of,
)

if TYPE_CHECKING:
    from calendar_tui.planning.week import ChoreWords
    from calendar_tui.season.records import Task

# Days on either side of today in which a date without a year is looked for, where the season's days are not readable.
_NEAR = timedelta(days=183)


def done(args: argparse.Namespace) -> int:
    from calendar_tui.planning.week import UNKNOWN, chore_words
    from calendar_tui.storage.opening import need_tasks

    path, words = picked_season(args)
    tasks, data = need_tasks(path, load_as_of(args, path))
    if not words:
        raise Refusal("name the tasks to tick by their ids, as `calendar-tui week` shows them")
    chosen = list(dict.fromkeys(one_task(tasks, word) for word in words))
    chores = chore_words(data.get("chore"))
    stages = {t.id: _open_stage(data, chores, t) for t in chosen if t.state != "done"}
    recording = [t for t in chosen if stages.get(t.id)]
    _refuse_idle_flags(args, chosen, recording)
    today = today_of(args, zone_of(data))
    day = _day_told(args, data, today, chosen[0])
    if plain := [t for t in chosen if t not in recording]:
        fact = _fact(args, chores.get(plain[0].chore, UNKNOWN), plain)
        days = {t.id: day or _recorded_day(data, chores, t) or today for t in plain}
        _tick(args, path, plain, days, today, fact)
        left = [] if args.dry_run else [task for task in plain if task.state != "done"]
        emit(line for task in left for line in _left_open(data, chores, task, fact))
    for task in recording:
        _tick_and_record(args, path, task, stages[task.id], day, chores[task.chore])
    return 0


def _open_stage(data: Mapping[str, Any], chores: Mapping[str, ChoreWords], task: Task) -> str:
    """The stage that ticking a task records, while it is not recorded; or "". The data have not been checked."""
    stage = chores[task.chore].records if task.chore in chores else ""
    recorded = _record_of(data, "cohort", task.cohort).get("recorded", {})
    return "" if isinstance(recorded, dict) and stage in recorded else stage


def _recorded_day(data: Mapping[str, Any], chores: Mapping[str, ChoreWords], task: Task) -> date | None:
    """The day recorded for the stage that ticking a task records; None where none is. The data have not been checked."""
    recorded = table_of(_record_of(data, "cohort", task.cohort), "recorded")
    day = recorded.get(chores[task.chore].records) if task.chore in chores else None
    return day if type(day) is date else None


def _record_of(data: Mapping[str, Any], kind: str, name: str) -> Mapping[str, Any]:
    records = data.get(kind)
    found = records if isinstance(records, list) else []
    return next((r for r in found if isinstance(r, dict) and r.get("id") == name), {})


def _refuse_idle_flags(args: argparse.Namespace, chosen: Sequence[Task], recording: Sequence[Task]) -> None:
    if args.fact is not None and len(chosen) > 1:
        raise Refusal("--fact is what was found with one task; tick that one by itself")
    if args.lights_off and not recording:
        raise Refusal("--lights-off does not apply: none of these tasks records a date")


def _day_told(args: argparse.Namespace, data: Mapping[str, Any], today: date, task: Task) -> date | None:
    """The day in --on, or None. Raises Refusal for one that cannot be."""
    from calendar_tui.season.typed_dates import typed_date

    if args.on is None:
        return None
    season = table_of(data, "season")
    first, last = (
        day if type(day := season.get(key)) is date else today + side * _NEAR
        for key, side in (("first_day", -1), ("last_day", 1))
    )
    try:
        day = typed_date(args.on, today=today, planned=task.date, first_day=first, last_day=last)
    except ValueError as wrong:
        raise Refusal(f"--on {wrong}") from wrong
    if day > today:
        raise Refusal(f"--on {day} is after today, {today}; tick what has been done")
    return day


def _fact(args: argparse.Namespace, chore: ChoreWords, tasks: Sequence[Task]) -> str:
    """What was found: as told, else as the person answers where the task asks for it; "" for nothing."""
    if args.fact is not None:
        return str(args.fact).strip()
    if len(tasks) > 1 or not chore.asks or tasks[0].fact or args.yes or args.dry_run or not at_terminal():
        return ""
    return _typed(f"{chore.asks}? Enter leaves it open: ")


def _typed(question: str) -> str:
    try:
        return ask(question).strip()
    except EOFError:
        print()
        raise Refusal("nothing saved: no answer") from None


def _tick(
    args: argparse.Namespace,
    path: Path,
    chosen: Sequence[Task],
    days: Mapping[str, date],
    today: date,
    fact: str,
) -> None:
    """Tick tasks, each as done on its day in `days`, by its id; a dry run only says so."""
    from calendar_tui.planning.replan import tick_edits
    from calendar_tui.planning.ticks import fact_edits
    from calendar_tui.season.edits import Change

    ticked = [t for t in chosen if t.state != "done"]
    noted = [t for t in chosen if fact and t.fact != fact]
    if (ticked or noted) and not args.dry_run:
        named = ", ".join(_about(t) for t in ticked or noted)
        what = f"done: {named}" if ticked else f"found: {named}"
        ticks = [edit for task in ticked for edit in tick_edits([task], days[task.id])]
        edits = (*ticks, *fact_edits(noted, fact))
        save(path, Change(what + (f" ({fact})" if fact else ""), edits))
    told = [(task, task in ticked, fact if task in noted else "") for task in chosen]
    emit(("would be " if args.dry_run and now else "") + _ticked_text(t, now, today, f) for t, now, f in told)
    if args.dry_run:
        print("Nothing saved.")


def _about(task: Task) -> str:
    from calendar_tui.planning.wording import cohorts_text

    return " ".join(part for part in (cohorts_text(task.about) or task.place, task.what) if part)


def _ticked_text(task: Task, now: bool, today: date, fact: str) -> str:
    when = f", on {task.done_on}" if task.done_on else ""
    due = "" if task.date == today else f" (due {task.date})"
    noted = f"; found: {fact}" if fact else ""
    return f"done  {task.id}  {_about(task)}{due}" + ("" if now else f" (already{when})") + noted


def _tick_and_record(
    args: argparse.Namespace, path: Path, task: Task, stage: str, day: date | None, chore: ChoreWords
) -> None:
    """Ask for what is not told, show what the date moves, and save date and tick as one change."""
    from calendar_tui.planning.plan import make_plan
    from calendar_tui.planning.slips import record_date
    from calendar_tui.storage.opening import need_season

    _, season = need_season(path)
    now = make_plan(season, today_of(args, season.site.timezone))
    cohort = now.season.cohorts.get(task.cohort)
    if cohort is None:
        raise Refusal(f'task {task.id} is for "{task.cohort}", which is no cohort of this season')
    on = day or _day_asked(args, now.season.first_day, now.season.last_day, now.today, task, stage)
    fact = _fact(args, chore, [task])
    proposals = answers_for(args, now, cohort, stage, on, partial(record_date, fact=fact))
    confirm_and_save(args, path, proposals)


def _day_asked(
    args: argparse.Namespace, first: date, last: date, today: date, task: Task, stage: str
) -> date:
    from calendar_tui.planning.wording import stage_text
    from calendar_tui.season.typed_dates import typed_date

    if args.yes or args.dry_run or not at_terminal():
        return today
    typed = _typed(f"{task.cohort} {stage_text(stage)} on which day? Enter for today, {today}: ")
    try:
        return typed_date(typed or "today", today=today, planned=task.date, first_day=first, last_day=last)
    except ValueError as wrong:
        raise Refusal(str(wrong)) from wrong


def _left_open(
    data: Mapping[str, Any], chores: Mapping[str, ChoreWords], task: Task, fact: str
) -> Iterator[str]:
    """What a ticked task leaves to be written down: a date that no task records, or what its chore asks for.

    data: of a season that has just been saved, and so checked; fact: what was written down with the tick.
    """
    from calendar_tui.planning.week import stage_of_work
    from calendar_tui.planning.wording import stage_text

    chore, cohort = _record_of(data, "chore", task.chore), _record_of(data, "cohort", task.cohort)
    stage = stage_of_work(chore.get("stage", ""), chore.get("offset_d", 0), chore.get("repeat", ""))
    told_elsewhere = any(other.records == stage for other in chores.values())
    if stage and not told_elsewhere and stage not in cohort.get("recorded", {}):
        yield f"{task.cohort} {stage_text(stage)} is not recorded yet: calendar-tui record {task.cohort} {stage} DATE"
    if chore.get("asks") and not (fact or task.fact) and not at_terminal():
        yield (
            f"{task.id} is ticked without what it asks for, {chore['asks']}: "
            f"calendar-tui done {task.id} --fact TEXT"
        )


def one_task(tasks: Sequence[Task], word: str) -> Task:
    """The task of this id, or of a beginning of it. Raises Refusal."""
    from calendar_tui.planning.week import find_task, near_ids

    found = [t for t in tasks if t.id == word] or find_task(tasks, word)
    if len(found) > 1:
        fits = ", ".join(t.id for t in found[:8]) + (", ..." if len(found) > 8 else "")
        raise Refusal(f'"{word}" fits {len(found)} tasks: {fits}; type more of it')
    if not found:
        near = near_ids(tasks, word)
        guess = f"; did you mean {_either(near)}?" if near else "; `calendar-tui week` shows the ids"
        raise Refusal(f'"{word}" is no task of this season{guess}')
    return found[0]


def _either(names: Sequence[str]) -> str:
    quoted = [f'"{name}"' for name in names]
    return quoted[0] if len(quoted) == 1 else f"{', '.join(quoted[:-1])} or {quoted[-1]}"
