"""What tasks move, in words: one by one, or those of one work that change alike together."""

from __future__ import annotations

from collections import Counter
from collections.abc import Callable, Iterable, Iterator, Sequence
from dataclasses import replace
from datetime import date
from itertools import islice

from calendar_tui.handing_on.words.plain_text import WIDTH, hanging, wrapped
from calendar_tui.language.speaking import chore_text, marked, tr, tr_n, translated
from calendar_tui.planning.changes.proposal import TaskMove
from calendar_tui.season.records import Task
from calendar_tui.season.wording import (
    cohorts_text,
    dates_in_turn,
    day_move_text,
    day_text,
)

# Of one cohort, so many tasks are told each by itself.
_MOST_EACH = 60
# So many kinds of work are told of a group.
MOST_KINDS = 6
# How the date of a task changes where it has none before, or none after.
_NEW, _GONE = marked("new"), marked("gone")
# How those of a group change besides.
_LATER, _EARLIER, _STAY = marked("later"), marked("earlier"), marked("on the same day, with other details")
# More cohorts, or more tasks moved by hand, are told by group.
MOST_ALONE = 4


def task_lines(tasks: Sequence[TaskMove], everything: bool) -> Iterator[str]:
    """Each task; of many, those of one work that change alike together."""
    count, by_work = len(tasks), len(tasks) > _MOST_EACH and not everything
    more = tr("; --all lists each:") if by_work else ":" if count else ""
    yield f"  {_moving_text(count)}{more}"
    for text in _alike_tasks(tasks) if by_work else map(task_move_text, tasks):
        yield from wrapped(text, " " * 9, first="    ")


def _moving_text(count: int) -> str:
    return tr_n("{count} task moves", "{count} tasks move", count)


def _alike_tasks(tasks: Iterable[TaskMove]) -> Iterator[str]:
    """A sentence for the tasks of one work that change alike, as `task_move_text` has it where there is only one.

    Such as "9 x Scout pests  9 d later: 5 Jun - 31 Jul -> 14 Jun - 9 Aug; A1", "9 x Scout pests  5 Jun - 31 Jul stay (with A2)".
    """
    alike: dict[tuple[str, int | str, str], list[TaskMove]] = {}
    for move in tasks:
        alike.setdefault((move.task.what, _change_of_date(move), task_details_text(move)), []).append(move)
    for (what, change, details), moves in alike.items():
        if len(moves) == 1:
            yield task_move_text(moves[0])
            continue
        old, new = (
            [t.date for t in side if t] for side in zip(*((m.old, m.new) for m in moves), strict=True)
        )
        if not change:
            yield f"{len(moves)} x {chore_text(what)}  {tr('{days} stay', days=spans_text(new))}{details}"
            continue
        dates = spans_text(*filter(None, (old, new)))
        whose = cohorts_text(tuple(dict.fromkeys(name for move in moves for name in move.task.about)))
        how = tr(change) if isinstance(change, str) else moved_by_text(change)
        yield f"{len(moves)} x {chore_text(what)}  {how}: {dates}" + (f"; {whose}" if whose else "")


def _change_of_date(move: TaskMove) -> int | str:
    """By how many days a task moves, or that it is new or gone."""
    if move.old is None or move.new is None:
        return _NEW if move.old is None else _GONE
    return (move.new.date - move.old.date).days


def group_task_lines(tasks: Sequence[TaskMove], width: int = WIDTH, kinds: int = MOST_KINDS) -> Iterator[str]:
    """How many tasks move how, and so many kinds of work, those that move most."""
    changes = Counter(map(_direction, tasks))
    parts = [f"{count} {tr(change)}" for change, count in changes.most_common()]
    yield from wrapped(
        _moving_text(len(tasks)) + (f": {', '.join(parts)}" if parts else ""),
        "    ",
        width,
        "  ",
    )
    works = Counter(move.task.what for move in tasks).most_common()
    for what, count in works[:kinds]:
        yield from wrapped(f"{count} x {chore_text(what)}", " " * 9, width, "    ")
    if (left := len(works) - kinds) > 0:
        more = tr_n(
            "and {count} more kind of work; --all lists every task",
            "and {count} more kinds of work; --all lists every task",
            left,
        )
        yield f"    {more}"


def _direction(move: TaskMove) -> str:
    """How a task changes, without by how many days."""
    change = _change_of_date(move)
    if isinstance(change, str):
        return change
    return (_LATER if change > 0 else _EARLIER) if change else _STAY


def moved_by_hand_text(moves: Iterable[tuple[Task, date]], everything: bool = False) -> Iterator[str]:
    """Where tasks would be moved by hand; of many, those of one work that move by as many days, or to one day, together.

    everything: one by one.
    """
    moved = [TaskMove(task, replace(task, date=day)) for task, day in moves if day != task.date]
    if everything or len(moved) <= MOST_ALONE:
        texts: Iterable[str] = map(task_move_text, moved)
    else:
        works: dict[str, list[TaskMove]] = {}
        for move in moved:
            works.setdefault(move.task.what, []).append(move)
        texts = (text for of_work in works.values() for text in _work_moved_texts(of_work))
    for text in texts:
        yield from hanging(f"{tr('would move')}  {text}")


def _work_moved_texts(moves: Sequence[TaskMove]) -> Iterable[str]:
    """The moves by hand of the tasks of one work: a text for each number of days, or one where many come to one day."""
    old = [move.old.date for move in moves if move.old]
    changes = {_change_of_date(move) for move in moves}
    (day, *other_days) = {move.task.date for move in moves}
    if other_days or len(changes) <= MOST_ALONE:
        return _alike_tasks(moves)
    least, most = (moved_by_text((day - was).days) for was in (min(old), max(old)))
    span = tr("{first} to {last}", first=least, last=most)
    whose = cohorts_text(tuple(dict.fromkeys(name for move in moves for name in move.task.about)))
    return [
        f"{len(moves)} x {chore_text(moves[0].task.what)}  {span}: {spans_text(old, [day])}"
        + (f"; {whose}" if whose else "")
    ]


def task_move_text(move: TaskMove) -> str:
    """ "k3f7 A1 Scout pests  8 Nov -> 17 Nov"."""
    whose = cohorts_text(move.task.about) or move.task.place
    name = " ".join(part for part in (move.task.id, whose, chore_text(move.task.what)) if part)
    day = day_text(move.task.date)
    if move.old is None:
        return f"{name}  {tr('new on {day}', day=day)}"
    if move.new is None:
        return f"{name}  {tr('{day} falls away', day=day)}"
    if move.old.date == move.new.date:
        return f"{name}  {tr('{day} stays', day=day)}{task_details_text(move)}"
    return f"{name}  {day_move_text(move.old.date, move.new.date)}"


def task_details_text(move: TaskMove) -> str:
    """ " (hours 3.1 -> 2.8 h)": what is new about a task besides its date; "" for nothing that is shown."""
    if move.old is None or move.new is None:
        return ""
    old, new = move.old, move.new
    details = ((name, words(old), words(new), unit) for name, words, unit in _DETAILS)
    changed = [
        f"{tr(name)} {translated(was) or tr('none')} -> {f'{translated(now)}{unit}' if now else tr('none')}"
        for name, was, now, unit in details
        if was != now
    ]
    changed[:0] = _cohorts_change(old.about, new.about)
    return f" ({', '.join(changed)})" if changed else ""


def _cohorts_change(old: Sequence[str], new: Sequence[str]) -> Iterator[str]:
    """The cohorts that share a task from now on, and those that no longer do: "with A2G1a"."""
    if old and new:
        if more := tuple(name for name in new if name not in old):
            yield tr("with {cohorts}", cohorts=cohorts_text(more))
        if fewer := tuple(name for name in old if name not in new):
            yield tr("without {cohorts}", cohorts=cohorts_text(fewer))
    elif old or new:
        before, after = (cohorts_text(names) or tr("none") for names in (old, new))
        yield tr("cohorts {before} -> {after}", before=before, after=after)


# What a task says besides its date and its cohorts: the name it has in a message, how it is put, and its unit.
_DETAILS: tuple[tuple[str, Callable[[Task], str], str], ...] = (
    (marked("what"), lambda task: task.what, ""),
    (marked("place"), lambda task: task.place, ""),
    (marked("who"), lambda task: task.who, ""),
    (marked("hours"), lambda task: f"{task.hours:g}" if task.hours else "", " h"),
    (marked("amount"), lambda task: task.amount, ""),
    (marked("why"), lambda task: task.why, ""),
)


def moved_by_text(days: int) -> str:
    """ "9 d later", "2 d earlier"."""
    return tr("{days} d later", days=days) if days > 0 else tr("{days} d earlier", days=-days)


def spans_text(*sides: Iterable[date]) -> str:
    """ "26 May -> 4 Jun - 9 Jun": the first and the last date of each side where they differ; "none" for none."""
    ends = [sorted({min(days), max(days)}) if (days := list(side)) else [] for side in sides]
    texts = iter(dates_in_turn(*(day for of_side in ends for day in of_side)))
    return " -> ".join(" - ".join(islice(texts, len(of_side))) or tr("none") for of_side in ends)
