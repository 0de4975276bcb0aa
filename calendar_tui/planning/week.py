"""This week's work, from the saved tasks alone: nothing is worked out again."""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from dataclasses import dataclass
from datetime import date, timedelta
from difflib import get_close_matches
from typing import Any, NamedTuple

from calendar_tui.season.marks import UNTOLD
from calendar_tui.season.records import DECIDED, Task


@dataclass(frozen=True, slots=True)
class Week:
    """overdue: open tasks before Monday; days: Monday to Sunday with their tasks; next_week: open tasks after it."""

    monday: date
    overdue: tuple[Task, ...]
    days: tuple[tuple[date, tuple[Task, ...]], ...]
    next_week: int


class ChoreWords(NamedTuple):
    """What a week's work tells of the chore that made a task; guessed: whether its hours are a guess."""

    caution: str = ""
    asks: str = ""
    time: str = ""
    records: str = ""
    guessed: bool = False


UNKNOWN = ChoreWords()
_TOLD = ("caution", "asks", "time", "records")


def chore_words(chores: Any) -> dict[str, ChoreWords]:
    """What there is to tell of each chore in the plain data of a season, by its id; it need not have been checked."""
    rows = [c for c in chores if isinstance(c, dict)] if isinstance(chores, list) else []
    return {c["id"]: _words(c) for c in rows if isinstance(c.get("id"), str)}


def _words(chore: Mapping[str, Any]) -> ChoreWords:
    told = {key: value for key in _TOLD if isinstance(value := chore.get(key), str)}
    mark = chore.get("hours_mark") or chore.get("mark") or UNTOLD
    return ChoreWords(**told, guessed=mark == UNTOLD)


def week_of(tasks: Iterable[Task], day: date) -> Week:
    """The week, Monday to Sunday (ISO 8601), that holds `day`."""
    monday = day - timedelta(days=day.weekday())
    following = monday + timedelta(days=7)
    overdue: list[Task] = []
    days: dict[date, list[Task]] = {monday + timedelta(days=i): [] for i in range(7)}
    coming = 0
    for task in tasks:
        if task.date in days:
            days[task.date].append(task)
        elif task.state != "open":
            continue
        elif task.date < monday:
            overdue.append(task)
        elif task.date < following + timedelta(days=7):
            coming += 1
    return Week(
        monday,
        tuple(sorted(overdue, key=_by_date)),
        tuple((d, tuple(sorted(ts, key=_by_place))) for d, ts in days.items()),
        coming,
    )


def _by_date(task: Task) -> tuple[object, ...]:
    return task.date, task.about, task.what


def _by_place(task: Task) -> tuple[object, ...]:
    return task.state != "open", task.place, task.about, task.what


def stage_of_work(stage: str, offset_d: int, repeat: str) -> str:
    """The stage that a chore with these figures is itself the work of, so that its date is to be recorded; or ""."""
    return stage if stage in DECIDED and not offset_d and not repeat else ""


def find_task(tasks: Iterable[Task], typed: str) -> tuple[Task, ...]:
    """The task with this id, or else those whose id begins with it in any case of letters."""
    wanted = typed.strip()
    tasks = tuple(tasks)
    exact = tuple(t for t in tasks if t.id == wanted)
    begun = wanted.casefold()
    return exact or tuple(t for t in tasks if begun and t.id.casefold().startswith(begun))


def near_ids(tasks: Iterable[Task], typed: str) -> list[str]:
    """The ids most like what was typed, at most three."""
    return get_close_matches(typed.strip().casefold(), [t.id for t in tasks], n=3, cutoff=0.5)
