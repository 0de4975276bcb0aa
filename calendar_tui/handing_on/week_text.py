"""The week's work as plain text. Reads saved tasks only, and loads little: it is run at every login."""

from __future__ import annotations

import textwrap
from collections.abc import Iterator, Mapping
from datetime import date

from calendar_tui.planning.week import UNKNOWN, ChoreWords, Week
from calendar_tui.planning.wording import cohorts_text, full_day_text, task_hours_text, weekday_text
from calendar_tui.season.records import Task

BOXES = {"open": "[ ]", "done": "[x]", "skipped": "[-]"}


def week_text(
    week: Week, season: str, today: date, chores: Mapping[str, ChoreWords], width: int = 80
) -> Iterator[str]:
    """The week in lines: overdue, each day, what is coming, and the cautions of the work in it.

    chores: what the week tells of each chore, by its id.
    """
    yield f"Week of {full_day_text(week.monday)}" + (f" - {season}" if season else "")
    if week.overdue:
        yield f"Overdue: {len(week.overdue)}"
        for task in week.overdue:
            yield from _task_lines(task, chores, width, f"{weekday_text(task.date)}: ")
    for day, tasks in week.days:
        mark = "  <- today" if day == today else ""
        yield f"{weekday_text(day)}{mark}" + ("" if tasks else "  no tasks")
        for task in tasks:
            yield from _task_lines(task, chores, width)
    yield f"Next week: {week.next_week} task{'' if week.next_week == 1 else 's'}"
    shown = [chores.get(t.chore, UNKNOWN) for t in (*week.overdue, *(t for _, ts in week.days for t in ts))]
    if any(chore.guessed for chore in shown):
        yield "~ hours are a guess"
    for caution in dict.fromkeys(chore.caution for chore in shown if chore.caution):
        yield from textwrap.wrap(
            caution, width, initial_indent="Caution: ", subsequent_indent="  ", break_on_hyphens=False
        )


def _task_lines(task: Task, chores: Mapping[str, ChoreWords], width: int, when: str = "") -> list[str]:
    chore = chores.get(task.chore, UNKNOWN)
    where = " ".join(part for part in (cohorts_text(task.about), task.place) if part)
    text = f"{when}{where}{'  ' if where else ''}{chore.time}{' ' if chore.time else ''}{task.what}"
    about = (task.who, task_hours_text(task.hours, chore.guessed), task.amount)
    if said := ", ".join(part for part in about if part):
        text += f" ({said})"
    for label, more in (
        ("", task.why),
        ("write down: ", "" if task.fact else chore.asks),
        ("found: ", task.fact),
    ):
        text += f"; {label}{more}" if more else ""
    return textwrap.wrap(
        text,
        width,
        initial_indent=f"  {task.id:<4} {BOXES[task.state]} ",
        subsequent_indent=" " * 11,
        break_on_hyphens=False,
    )
