"""The week's work as plain text. Reads saved tasks only, and loads little: it is run at every login."""

from __future__ import annotations

import textwrap
from collections.abc import Iterator, Mapping
from datetime import date

from calendar_tui.planning.week import Week
from calendar_tui.planning.wording import full_day_text, weekday_text
from calendar_tui.season.records import Task

BOXES = {"open": "[ ]", "done": "[x]", "skipped": "[-]"}


def week_text(
    week: Week, season: str, today: date, cautions: Mapping[str, str], width: int = 80
) -> Iterator[str]:
    """The week in lines: overdue, each day, what is coming, and the cautions of the work in it.

    cautions: chore id to caution.
    """
    yield f"Week of {full_day_text(week.monday)}" + (f" - {season}" if season else "")
    if week.overdue:
        yield f"Overdue: {len(week.overdue)}"
        for task in week.overdue:
            yield from _task_lines(task, width, f"{weekday_text(task.date)}: ")
    for day, tasks in week.days:
        mark = "  <- today" if day == today else ""
        yield f"{weekday_text(day)}{mark}" + ("" if tasks else "  no tasks")
        for task in tasks:
            yield from _task_lines(task, width, "")
    yield f"Next week: {week.next_week} task{'' if week.next_week == 1 else 's'}"
    shown = [*week.overdue, *(t for _, tasks in week.days for t in tasks)]
    for caution in dict.fromkeys(cautions[t.chore] for t in shown if cautions.get(t.chore)):
        yield from textwrap.wrap(
            caution, width, initial_indent="Caution: ", subsequent_indent="  ", break_on_hyphens=False
        )


def _task_lines(task: Task, width: int, when: str) -> list[str]:
    about = ", ".join(part for part in (task.who, f"{task.hours:g} h" if task.hours else "") if part)
    where = " ".join(part for part in (task.cohort, task.place) if part)
    text = f"{when}{where}{'  ' if where else ''}{task.what}" + (f" ({about})" if about else "")
    return textwrap.wrap(
        text,
        width,
        initial_indent=f"  {task.id:<4} {BOXES[task.state]} ",
        subsequent_indent=" " * 11,
        break_on_hyphens=False,
    )
