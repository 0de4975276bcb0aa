"""The load as plain text and as plain data: hours by week and role, and the tasks behind weeks that are over-full."""

from __future__ import annotations

from collections.abc import Collection, Iterable, Iterator, Sequence
from datetime import date
from typing import Any

from calendar_tui.handing_on.words.plain_text import hanging
from calendar_tui.planning.capacity.hours import Load, by_week, figure_text, guessed_chores, hours_text
from calendar_tui.season.records import Season, Task
from calendar_tui.season.weeks import iso_week, monday_of
from calendar_tui.season.wording import day_text, weekday_text

# Tasks told of an over-full week, the largest first.
MOST_TASKS = 8
OVER, GUESS = "!", "~"
LEGEND = (
    (GUESS, "some of these hours are a guess: a placeholder in a chore, until you put in your own"),
    (OVER, "more work than the role has hours in that week"),
)


def load_text(season: Season, loads: Sequence[Load], today: date, width: int = 80) -> Iterator[str]:
    """A line a week with each role's hours and what it has; then the over-full weeks to come, with their tasks."""
    if not loads:
        yield "No hours: no task that is saved says how long it takes."
        return
    yield "Person-hours by week and role"
    shown = "".join(mark_of(load) for load in loads)
    for mark, meaning in LEGEND:
        if mark in shown:
            yield from hanging(f"{mark} {meaning}", width, "  ")
    for monday, of_week in by_week(loads).items():
        head = f"{iso_week(monday)}  {day_text(monday):<6}  "
        yield from hanging(
            head + ", ".join(map(role_load_text, of_week)), width, " " * min(len(head), width // 3)
        )
    if season.crew is None or not season.crew.hours_per_week:
        yield from hanging(
            "No hours per role are set. Add [crew] hours_per_week = { crew = 80 } to the season file.",
            width,
            "  ",
        )
    over = [load for load in loads if load.over_h and load.monday >= monday_of(today)]
    if over:
        yield "Over-full weeks"
    guesses = guessed_chores(season)
    for load in over:
        yield from _over_full_lines(load, guesses, width)


def mark_of(load: Load) -> str:
    """The marks of a load: "~", "!", both or none."""
    return (GUESS if load.guessed else "") + (OVER if load.over_h else "")


def role_load_text(load: Load) -> str:
    """ "crew ~41 of 40 h !"."""
    return f"{load.role} {load_figures(load)}" + (f" {OVER}" if load.over_h else "")


def load_figures(load: Load) -> str:
    """ "~41 of 40 h"."""
    has = "" if load.has_h is None else f" of {figure_text(load.has_h)}"
    return f"{GUESS if load.guessed else ''}{figure_text(load.hours)}{has} h"


def _over_full_lines(load: Load, guesses: Collection[str], width: int) -> Iterator[str]:
    head = f"{iso_week(load.monday)}  {weekday_text(load.monday)}  {role_load_text(load)}"
    yield from hanging(f"{head}, {hours_text(load.over_h)} over", width, "  ")
    for task in load.tasks[:MOST_TASKS]:
        yield from hanging("    " + task_figures(task, task.chore in guesses), width, " " * 12)
    if rest := load.tasks[MOST_TASKS:]:
        hours = hours_text(sum(t.hours for t in rest), any(t.chore in guesses for t in rest))
        yield from hanging(f"    and {len(rest)} more, {hours}", width, " " * 12)


def task_figures(task: Task, guessed: bool) -> str:
    """ "~22 h  k66g  Fri 11 Dec  A3 H3  Harvest"."""
    where = " ".join((*task.about, task.place)).strip()
    hours = hours_text(task.hours, guessed)
    parts = (f"{hours:>7}", task.id, weekday_text(task.date), where, task.what)
    return "  ".join(part for part in parts if part) + ("" if task.state == "open" else f" ({task.state})")


def load_rows(season: Season, loads: Iterable[Load]) -> list[dict[str, Any]]:
    """One row a week: week (its Monday), iso_week, hours in all, and by role hours, what it has and which are guesses.

    over: the roles with more work than hours, with by how much and the tasks, the largest first.
    """
    guesses = guessed_chores(season)
    return [
        {
            "week": monday,
            "iso_week": iso_week(monday),
            "hours": round(sum(load.hours for load in of_week), 2),
            "roles": {load.role: load.hours for load in of_week},
            "has": {load.role: load.has_h for load in of_week if load.has_h is not None},
            "guessed": [load.role for load in of_week if load.guessed],
            "over": [_over_row(load, guesses) for load in of_week if load.over_h],
        }
        for monday, of_week in by_week(loads).items()
    ]


def _over_row(load: Load, guesses: Collection[str]) -> dict[str, Any]:
    return {
        "role": load.role,
        "over": load.over_h,
        "tasks": [
            {
                "id": t.id,
                "date": t.date,
                "hours": t.hours,
                "guessed": t.chore in guesses,
                "cohorts": list(t.about),
                "place": t.place,
                "what": t.what,
                "state": t.state,
            }
            for t in load.tasks
        ],
    }
