"""Commands for tasks by hand: skip, move, note, open again."""

from __future__ import annotations

import argparse
from collections.abc import Callable, Mapping, Sequence
from datetime import date
from pathlib import Path
from typing import TYPE_CHECKING

from calendar_tui.commands.changing import NOTHING_SAVED, saved_lines
from calendar_tui.commands.command_input import (
    emit,
    save,
    tell,
    today_of,
    typed_day,
)
from calendar_tui.commands.tasks_by_id import (
    SETTLED,
    act_on_tasks,
    are_chosen,
    day_by_task,
    emit_all,
    meant_tasks,
    settled,
)
from calendar_tui.language.speaking import speaking, tr, translated
from calendar_tui.season.refusal import Refusal

if TYPE_CHECKING:
    from calendar_tui.season.edits import Change
    from calendar_tui.season.records import Season, Task
    from calendar_tui.storage.opening import Opened

# The longest date has five words: 4 de diciembre de 2026.
MOST_DATE_WORDS = 5


def skip(args: argparse.Namespace) -> int:
    return act_on_tasks(args, _skip)


def move(args: argparse.Namespace) -> int:
    return act_on_tasks(args, _move)


def note(args: argparse.Namespace) -> int:
    return act_on_tasks(args, _note)


def reopen(args: argparse.Namespace) -> int:
    return act_on_tasks(args, _reopen)


def _change_of_open(tasks: Sequence[Task], make: Callable[[], Change]) -> Change:
    """A change as it is saved, in English. Raises Refusal where one of the tasks is settled, with how to open it again."""
    with speaking(None):
        try:
            return make()
        except Refusal as refused:
            why = str(refused)
    raise Refusal(_with_way_out(translated(why), tasks))


def _skip(args: argparse.Namespace, opened: Opened, season: Season, words: Sequence[str]) -> None:
    from calendar_tui.planning.changes.task_edits import skip_change, stage_stays
    from calendar_tui.planning.tasks.week import works_of

    chosen = meant_tasks(args, season, words, "skip", question=False)
    change = _change_of_open(chosen, lambda: skip_change(chosen, args.why or ""))
    emit_all(args, chosen)
    _ask(args, opened, chosen, "skip", change)
    _show_and_save(args, opened, change)
    emit(stage_stays(works_of(season), _recorded(season), chosen, "skip"))


def _move(args: argparse.Namespace, opened: Opened, season: Season, words: Sequence[str]) -> None:
    from calendar_tui.handing_on.words.task_moves_text import moved_by_hand_text
    from calendar_tui.planning.changes.doubts import move_doubts
    from calendar_tui.planning.changes.task_edits import move_change, plan_keeps
    from calendar_tui.planning.tasks.week import works_of

    choosing = are_chosen(args)
    if len(words) < (1 if choosing else 2):
        raise Refusal(tr("name the tasks and then the date, such as: k66g psrs 2026-12-09, or k66g +2"))
    named, typed = ((), " ".join(words)) if choosing else _cut(args, season, words)
    chosen = meant_tasks(args, season, named, "move", question=False)
    days = day_by_task(chosen, lambda task: _day_near_season(args, season, typed, task))
    moves = [(task, days[task.id]) for task in chosen]
    change = _change_of_open(chosen, lambda: move_change(moves))
    if choosing or args.dry_run:
        emit(moved_by_hand_text(moves, args.all))
    today = today_of(args, season.site.timezone)
    _ask(args, opened, chosen, "move", change, move_doubts(season, moves, today))
    if args.dry_run:
        emit([tr(NOTHING_SAVED) if change.edits else tr("Nothing saved: the tasks are there already.")])
    else:
        _save(opened, change)
    emit(plan_keeps(works_of(season), moves))
    tell(
        dict.fromkeys(_no_working_day(day) for _, day in moves if season.crew and not season.crew.works(day))
    )


def _note(args: argparse.Namespace, opened: Opened, season: Season, words: Sequence[str]) -> None:
    from calendar_tui.planning.changes.task_edits import note_change

    choosing = are_chosen(args)
    if len(words) < (1 if choosing else 2):
        raise Refusal(
            tr('name a task and then what to write, such as: k66g "two trays short"; "" takes it off')
        )
    ahead = 0 if choosing else 1
    chosen = meant_tasks(args, season, words[:ahead], "note it on")
    with speaking(None):
        change = note_change(chosen, " ".join(words[ahead:]))
    _show_and_save(args, opened, change)
    emit(dict.fromkeys(tr("the note before: {note}", note=task.note) for task in chosen if task.note))


def _reopen(args: argparse.Namespace, opened: Opened, season: Season, words: Sequence[str]) -> None:
    from calendar_tui.handing_on.words.plain_text import hanging
    from calendar_tui.planning.changes.task_edits import reopen_change, stage_stays
    from calendar_tui.planning.tasks.week import works_of

    chosen = meant_tasks(args, season, words, "open again", states=SETTLED)
    with speaking(None):
        change = reopen_change(chosen)
    _show_and_save(args, opened, change)
    emit(stage_stays(works_of(season), _recorded(season), chosen, "reopen"))
    kept = [task for task in chosen if task.state == "skipped" and task.note]
    if len(kept) > 1 and are_chosen(args):
        text = tr(
            "{number} keep their notes; to take them off with the same flags: {command}",
            number=len(kept),
            command='calendar-tui note ""',
        )
        emit(hanging(text))
    else:
        emit(
            tr(
                "{task} keeps its note: {note}; to take it off: {command}",
                task=one.id,
                note=one.note,
                command=f'calendar-tui note {one.id} ""',
            )
            for one in kept
        )


def _recorded(season: Season) -> dict[str, Mapping[str, date]]:
    """By cohort id, the dates recorded."""
    return {name: cohort.recorded for name, cohort in season.cohorts.items()}


def _show_and_save(args: argparse.Namespace, opened: Opened, change: Change) -> None:
    from calendar_tui.handing_on.words.plain_text import hanging

    if args.dry_run:
        emit([*hanging(tr("would be {change}", change=translated(change.what))), tr(NOTHING_SAVED)])
    else:
        _save(opened, change)


def _save(opened: Opened, change: Change) -> None:
    saved = bool(change.edits) and save(opened.path, change, opened)
    emit(saved_lines(translated(change.what), saved))


def _ask(
    args: argparse.Namespace,
    opened: Opened,
    tasks: Sequence[Task],
    verb: str,
    change: Change,
    doubts: Sequence[str] = (),
) -> None:
    """Ask as `settled` does. Raises Refusal too where somebody else has settled one of the tasks by the answer."""
    if settled(args, tasks, verb, doubts):
        _refuse_settled(opened.path, change)


def _refuse_settled(path: Path, change: Change) -> None:
    """Raise Refusal where somebody else has settled one of the tasks while the question stood."""
    from calendar_tui.planning.changes.task_edits import settled_by_others
    from calendar_tui.storage.opening import need_tasks

    edited = {edit.ident[0] for edit in change.edits}
    now = [task for task in need_tasks(path)[1].tasks if task.id in edited]
    if why := settled_by_others(change.edits, now):
        raise Refusal(_with_way_out(why, now))


def _with_way_out(refusal: str, tasks: Sequence[Task]) -> str:
    shut = " ".join(task.id for task in tasks if task.state != "open")
    return f"{refusal}: calendar-tui reopen {shut}"


def _cut(args: argparse.Namespace, season: Season, words: Sequence[str]) -> tuple[Sequence[str], str]:
    """The words that name tasks, and the date behind them, of as many words as make one: "fri 4 dec"."""
    ids = {task.id.casefold() for task in season.tasks}
    refused: list[Refusal] = []
    for count in range(min(len(words) - 1, MOST_DATE_WORDS), 0, -1):
        behind = words[-count:]
        if count > 1 and any(word.casefold() in ids for word in behind):
            continue
        try:
            _day(args, season, " ".join(behind), today_of(args, season.site.timezone))
        except Refusal as wrong:
            refused.append(wrong)
        else:
            return words[:-count], " ".join(behind)
    raise refused[-1]


def _day(args: argparse.Namespace, season: Season, text: str, planned: date) -> date:
    """The date a person means; +2 and -1 count from the planned one."""
    from calendar_tui.planning.changes.doubts import season_days

    today = today_of(args, season.site.timezone)
    first, last = season_days(season, today)
    return typed_day(text, today=today, planned=planned, first_day=first, last_day=last, past=False)


def _day_near_season(args: argparse.Namespace, season: Season, text: str, task: Task) -> date:
    """The date a person means for a task. Raises Refusal where it is years from the season."""
    from calendar_tui.planning.changes.doubts import season_days
    from calendar_tui.planning.changes.task_edits import near_season

    day = _day(args, season, text, task.date)
    return near_season(day, *season_days(season, today_of(args, season.site.timezone)))


def _no_working_day(day: date) -> str:
    from calendar_tui.season.wording import weekday_text

    return tr("{day} is no working day of the farm.", day=weekday_text(day))
