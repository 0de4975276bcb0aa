"""Commands for tasks by hand: skip, move, note, open again."""

from __future__ import annotations

import argparse
from collections.abc import Mapping, Sequence
from dataclasses import replace
from datetime import date
from pathlib import Path
from typing import TYPE_CHECKING, Any

from calendar_tui.commands.command_input import (
    emit,
    load_as_of,
    picked_season,
    rows_of,
    save,
    season_days,
    table_of,
    tell,
    today_of,
    typed_day,
    zone_of,
)
from calendar_tui.commands.tasks_by_id import cohort_starts, days_of, one_task, settle_doubts, tasks_of
from calendar_tui.season.refusal import Refusal

if TYPE_CHECKING:
    from calendar_tui.season.edits import Change
    from calendar_tui.season.records import Task

# The longest date has three words: fri 4 dec.
MOST_DATE_WORDS = 4
_Opened = tuple[Path, list[str], tuple["Task", ...], Mapping[str, Any]]


def skip(args: argparse.Namespace) -> int:
    from calendar_tui.planning.changes.task_edits import skip_change, stage_stays
    from calendar_tui.season.refusal import Refusal

    path, words, tasks, data = _read(args)
    chosen = tasks_of(tasks, words, "skip")
    try:
        change = skip_change(chosen, args.why or "")
    except Refusal as refused:
        raise Refusal(_with_way_out(str(refused), chosen)) from refused
    status = _saved(path, change)
    emit(stage_stays(_works(data), _recorded(data), chosen, "skip"))
    return status


def move(args: argparse.Namespace) -> int:
    from calendar_tui.planning.changes.doubts import task_doubts
    from calendar_tui.planning.changes.task_edits import move_change, plan_keeps, plan_keeps_text
    from calendar_tui.season.refusal import Refusal

    path, words, tasks, data = _read(args)
    if len(words) < 2:
        raise Refusal("name the tasks and then the date, such as: k66g psrs 2026-12-09, or k66g +2")
    named, typed = _cut(args, tasks, words, data)
    chosen = tasks_of(tasks, named, "move")
    days = days_of(chosen, lambda task: _day_near_season(args, data, typed, task))
    moves = [(task, days[task.id]) for task in chosen]
    try:
        change = move_change(moves)
    except Refusal as refused:
        raise Refusal(_with_way_out(str(refused), chosen)) from refused
    today = today_of(args, zone_of(data))
    doubts = task_doubts(moves, cohort_starts(data), today, season_days(data, today), moved=True)
    settle_doubts(doubts, unasked=args.yes or args.dry_run)
    if doubts:
        _refuse_settled(path, change)
    status = _shown(change, moves) if args.dry_run else _saved(path, change)
    emit(plan_keeps_text(*kept) for kept in plan_keeps(_works(data), moves))
    tell(dict.fromkeys(_no_working_day(data, day) for _, day in moves if _no_working_day(data, day)))
    return status


def _shown(change: Change, moves: Sequence[tuple[Task, date]]) -> int:
    """Print what would move, of a dry run."""
    from calendar_tui.handing_on.words.plain_text import task_move_text
    from calendar_tui.planning.changes.proposal import TaskMove

    moved = [TaskMove(task, replace(task, date=day)) for task, day in moves if day != task.date]
    emit(f"would move  {task_move_text(move)}" for move in moved)
    emit([f"Nothing saved{'' if change.edits else ': the tasks are there already'}."])
    return 0


def note(args: argparse.Namespace) -> int:
    from calendar_tui.planning.changes.task_edits import note_change

    path, words, tasks, _ = _read(args)
    if len(words) < 2:
        raise Refusal('name a task and then what to write, such as: k66g "two trays short"; "" takes it off')
    chosen = one_task(tasks, words[0])
    status = _saved(path, note_change([chosen], " ".join(words[1:])))
    if chosen.note:
        emit([f"the note before: {chosen.note}"])
    return status


def reopen(args: argparse.Namespace) -> int:
    from calendar_tui.planning.changes.task_edits import reopen_change, stage_stays

    path, words, tasks, data = _read(args)
    chosen = tasks_of(tasks, words, "open again")
    status = _saved(path, reopen_change(chosen))
    emit(stage_stays(_works(data), _recorded(data), chosen, "reopen"))
    kept = [task for task in chosen if task.state == "skipped" and task.note]
    emit(f'{t.id} keeps its note: {t.note}; to take it off: calendar-tui note {t.id} ""' for t in kept)
    return status


def _works(data: Mapping[str, Any]) -> dict[str, str]:
    """By chore id, the stage that it is the work of, or ""; the data have not been checked."""
    from calendar_tui.planning.tasks.week import stage_of_work

    return {
        c["id"]: stage_of_work(c.get("stage", ""), c.get("offset_d", 0), c.get("repeat", ""))
        for c in rows_of(data, "chore")
        if isinstance(c.get("id"), str)
    }


def _recorded(data: Mapping[str, Any]) -> dict[str, Mapping[str, date]]:
    """By cohort id, the dates recorded; the data have not been checked."""
    return {c["id"]: table_of(c, "recorded") for c in rows_of(data, "cohort") if isinstance(c.get("id"), str)}


def _read(args: argparse.Namespace) -> _Opened:
    """The season file, the words left after its name, its tasks, and its data, of which the rest is unchecked."""
    from calendar_tui.storage.opening import need_tasks

    path, words = picked_season(args)
    tasks, data = need_tasks(path, load_as_of(args, path))
    return path, words, tasks, data


def _saved(path: Path, change: Change) -> int:
    from calendar_tui.handing_on.words.plain_text import hanging

    saved = bool(change.edits) and save(path, change)
    emit(hanging(f"Saved: {change.what}") if saved else ["No change: already saved."])
    return 0


def _refuse_settled(path: Path, change: Change) -> None:
    """Raise Refusal where somebody else has settled one of the tasks while the question stood."""
    from calendar_tui.planning.changes.task_edits import settled_by_others
    from calendar_tui.storage.opening import need_tasks
    from calendar_tui.storage.season_file import load

    edited = {edit.ident[0] for edit in change.edits}
    now = [task for task in need_tasks(path, load(path))[0] if task.id in edited]
    if why := settled_by_others(change.edits, now):
        raise Refusal(_with_way_out(why, now))


def _with_way_out(refusal: str, tasks: Sequence[Task]) -> str:
    shut = " ".join(task.id for task in tasks if task.state != "open")
    return f"{refusal}: calendar-tui reopen {shut}"


def _cut(
    args: argparse.Namespace, tasks: Sequence[Task], words: Sequence[str], data: Mapping[str, Any]
) -> tuple[Sequence[str], str]:
    """The words that name tasks, and the date behind them, of as many words as make one: "fri 4 dec"."""
    ids = {task.id.casefold() for task in tasks}
    refused: list[Refusal] = []
    for count in range(min(len(words) - 1, MOST_DATE_WORDS), 0, -1):
        behind = words[-count:]
        if count > 1 and any(word.casefold() in ids for word in behind):
            continue
        try:
            _day(args, data, " ".join(behind), today_of(args, zone_of(data)))
        except Refusal as wrong:
            refused.append(wrong)
        else:
            return words[:-count], " ".join(behind)
    raise refused[-1]


def _day(args: argparse.Namespace, data: Mapping[str, Any], text: str, planned: date) -> date:
    """The date a person means; +2 and -1 count from the planned one."""
    today = today_of(args, zone_of(data))
    first, last = season_days(data, today)
    return typed_day(text, today=today, planned=planned, first_day=first, last_day=last, past=False)


def _day_near_season(args: argparse.Namespace, data: Mapping[str, Any], text: str, task: Task) -> date:
    """The date a person means for a task. Raises Refusal where it is years from the season."""
    from calendar_tui.planning.changes.task_edits import near_season

    day = _day(args, data, text, task.date)
    return near_season(day, *season_days(data, today_of(args, zone_of(data))))


def _no_working_day(data: Mapping[str, Any], day: date) -> str:
    """That the farm does not work on this day, or ""."""
    from calendar_tui.season.wording import weekday_text
    from calendar_tui.season.work import WORK_DAYS

    crew = table_of(data, "crew")
    blocked, worked = crew.get("blocked", []), crew.get("work_days", WORK_DAYS)
    if not isinstance(worked, list | tuple) or not isinstance(blocked, list):
        return ""
    if day in blocked or WORK_DAYS[day.weekday()] not in worked:
        return f"{weekday_text(day)} is no working day of the farm."
    return ""
