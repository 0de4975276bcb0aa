"""The week's work as plain text. Reads saved tasks only, and loads little: it is run at every login."""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Mapping, Sequence
from datetime import date
from typing import TYPE_CHECKING, NamedTuple

from calendar_tui.handing_on.words.plain_text import hanging, task_count_text, unbroken
from calendar_tui.language.speaking import chore_text, tr, translated
from calendar_tui.planning.tasks.week import NO_CHORE, Week, all_tasks, cautions_by_task, overdue_text
from calendar_tui.season.records import Chore, Task
from calendar_tui.season.units_in_use import clock
from calendar_tui.season.wording import (
    amount_text,
    cohorts_text,
    full_day_text,
    task_hours_text,
    weekday_text,
)

if TYPE_CHECKING:
    from calendar_tui.planning.cutting.holds import Hold

BOXES = {"open": "[ ]", "done": "[x]", "skipped": "[-]"}
# Below this width a task's further lines begin under its box, and not under its words.
NARROW = 60
# How long a line to write on is at least, and how many there are for what was not planned.
_SHORTEST_LINE, _SPARE_LINES = 8, 4


class WeekLine(NamedTuple):
    """A line and what it is: "overdue", "today", "caution", "settled", "heading", or "" for the rest."""

    text: str
    tone: str = ""


class Head(NamedTuple):
    """What stands over the week: its heading, what nobody enters, and which plants to look at for what came between tasks.

    holds: by the ids of tasks that must not be done on their day, why.
    """

    heading: str
    closed: Sequence[str] = ()
    looks: Sequence[str] = ()
    holds: Mapping[str, Hold] = {}


def week_text(
    week: Week, head: Head, today: date, chores: Mapping[str, Chore], width: int = 80
) -> Iterator[WeekLine]:
    """The week in lines of at most `width`: overdue, each day and what is coming; each caution once, under its first work.

    chores: by id.
    """
    named, shown = set[str](), set[str]()
    cautions = _cautions(week, chores)
    yield from _head_lines(head, width)
    if week.overdue:
        yield WeekLine(overdue_text(week, today), "overdue")
    for task in week.overdue:
        yield from task_lines(task, chores, width, f"{weekday_text(task.date)}: ", _first(named, task))
        yield from hold_lines(head.holds, task, width, shown)
        yield from caution_lines(cautions, task, width)
    for day, tasks in week.days:
        yield _day_line(day, tasks, today)
        for task in tasks:
            yield from task_lines(task, chores, width, asks=_first(named, task))
            yield from hold_lines(head.holds, task, width, shown)
            yield from caution_lines(cautions, task, width)
    yield WeekLine(tr("Next week: {tasks}", tasks=task_count_text(week.next_week)))
    if any(chores.get(t.chore, NO_CHORE).guessed and t.hours for t in all_tasks(week)):
        yield WeekLine(tr("~ hours are a guess"))


def _head_lines(head: Head, width: int) -> Iterator[WeekLine]:
    yield from _wrapped(head.heading, width, "  ", "heading")
    for text in (*head.closed, *head.looks):
        yield from _wrapped(text, width, "  ", "caution")


def _cautions(week: Week, chores: Mapping[str, Chore]) -> Mapping[str, str]:
    return cautions_by_task(all_tasks(week), {name: chore.caution for name, chore in chores.items()})


def caution_lines(cautions: Mapping[str, str], task: Task, width: int) -> Iterator[WeekLine]:
    """What to take care of at a task, below it and in line with its words."""
    if caution := cautions.get(task.id):
        indent = _indent(width)
        yield from _wrapped(f"{indent}{caution_text(caution)}", width, f"{indent}  ", "caution")


def caution_text(caution: str) -> str:
    """A caution, named as one."""
    return tr("Caution: {caution}", caution=chore_text(caution))


def hold_text(hold: Hold) -> str:
    """Why a task must not be done on its day."""
    return tr("HOLD: {why}", why=translated(hold.text))


def hold_lines(
    holds: Mapping[str, Hold], task: Task, width: int, shown: set[str] | None = None
) -> Iterator[WeekLine]:
    """Why a task must not be done on its day, below it; in short where that stands under one before it.

    shown: what stands there already, added to; None where each task stands by itself, such as on paper.
    """
    if (hold := holds.get(task.id)) is None:
        return
    shown = set() if shown is None else shown
    again = tr("{hold}, as above", hold=f"{translated(hold.short)} {task.place}".rstrip())
    text = again if hold.text in shown else hold_text(hold)
    shown.add(hold.text)
    indent = _indent(width)
    yield from _wrapped(f"{indent}{text}", width, f"{indent}  ", "caution")


def _indent(width: int) -> str:
    """Where the further lines of a task begin."""
    return " " * (11 if width >= NARROW else 2)


def _first(named: set[str], task: Task) -> bool:
    """Whether this is the first task of its chore: what is to be written down is shown once."""
    first = task.chore not in named
    named.add(task.chore)
    return first


def _day_line(day: date, tasks: Iterable[Task], today: date) -> WeekLine:
    """ "Tue 8 Dec  <- today"; a day before it tells how many of its tasks are overdue."""
    late = sum(t.state == "open" for t in tasks) if day < today else 0
    mark, tone = (f"  {tr('<- today')}", "today") if day == today else ("", "")
    if late:
        mark, tone = f"  {tr('overdue: {late}', late=late)}", "overdue"
    return WeekLine(f"{weekday_text(day)}{mark}" + ("" if tasks else f"  {tr('no tasks')}"), tone)


def heading_text(week: Week, season: str, only: str = "") -> str:
    """ "Week of Mon 7 Dec 2026 - Two Rivers 2026-27, only crew"; a span that is no week is named by both its ends."""
    first, last = week.days[0][0], week.days[-1][0]
    if len(week.days) == 7 and first == week.first_day:
        when = tr("Week of {first}", first=full_day_text(first))
    elif first == last:
        when = full_day_text(first)
    else:
        when = tr("{first} to {last}", first=weekday_text(first), last=full_day_text(last))
    whose = f"{when} - {season}" if season else when
    return tr("{week}, only {only}", week=whose, only=only) if only else whose


def brief_text(
    tasks: Iterable[Task], week: Week, season: str, today: date, chores: Mapping[str, Chore]
) -> str:
    """One line for a login: "Two Rivers 2026-27: 2 overdue, 3 today, 9 this week; 21:00 Walk every lamp"."""
    overdue = sum(t.state == "open" and t.date < today for t in tasks)
    left = [t for day, ts in week.days for t in ts if t.state == "open" and day >= today]
    now = [t for t in left if t.date == today]
    counts = [tr("{count} overdue", count=overdue)] if overdue else []
    counts += [tr("{count} today", count=len(now)), tr("{count} this week", count=len(left))]
    timed = [
        (at, f"{clock(at)} {chore_text(t.what)}" + (f" {t.place}" if t.place else ""))
        for t in now
        if (at := chores.get(t.chore, NO_CHORE).time) is not None
    ]
    first = f"; {min(timed)[1]}" if timed else ""
    return f"{season or tr('This season')}: {', '.join(counts)}{first}"


def task_lines(
    task: Task, chores: Mapping[str, Chore], width: int, when: str = "", asks: bool = True
) -> Iterator[WeekLine]:
    """A task: id, box, whose, what, who and how long, and what else there is to know."""
    chore = chores.get(task.chore, NO_CHORE)
    where = " ".join(filter(None, (cohorts_text(task.about), task.place)))
    at = "" if chore.time is None else f"{clock(chore.time)} "
    text = f"{when}{where}{'  ' if where else ''}{at}{chore_text(task.what)}"
    hours = unbroken(task_hours_text(task.hours, chore.guessed))
    if whose := ", ".join(filter(None, (chore_text(task.who), hours, amount_text(task.amount)))):
        text += f" ({whose})"
    note = tr("skipped: {note}") if task.state == "skipped" else tr("note: {note}")
    for more, told in (
        (task.why, translated(task.why)),
        ("" if task.fact or not asks else chore.asks, tr("write down: {asks}", asks=chore_text(chore.asks))),
        (task.fact, tr("found: {fact}", fact=task.fact)),
        (task.note, note.format(note=task.note)),
    ):
        if more:
            text += f"; {told}"
    begin = "  " if width >= NARROW else ""
    head = f"{begin}{task.id:<4} {BOXES[task.state]} "
    yield from _wrapped(head + text, width, _indent(width), "" if task.state == "open" else "settled")


def _wrapped(text: str, width: int, indent: str, tone: str = "") -> Iterator[WeekLine]:
    for line in hanging(text, width, indent):
        yield WeekLine(line, tone)


# --- to print


def sheet_text(week: Week, head: Head, chores: Mapping[str, Chore], width: int = 80) -> Iterator[WeekLine]:
    """The week as a sheet to print: a box to tick, and lines for the day, the name and what was found."""
    cautions = _cautions(week, chores)
    yield from _head_lines(head, width)
    if week.overdue:
        yield WeekLine(tr("Overdue"))
    for task in week.overdue:
        yield from _sheet_lines(task, chores, width, cautions, head.holds, f"{weekday_text(task.date)}: ")
    for day, tasks in week.days:
        yield WeekLine(weekday_text(day) + ("" if tasks else f"  {tr('no tasks')}"))
        for task in tasks:
            yield from _sheet_lines(task, chores, width, cautions, head.holds)
    yield WeekLine("")
    yield WeekLine(tr("Also done, seen or short:"))
    for _ in range(_SPARE_LINES):
        yield WeekLine("_" * width)


def _sheet_lines(
    task: Task,
    chores: Mapping[str, Chore],
    width: int,
    cautions: Mapping[str, str],
    holds: Mapping[str, Hold],
    when: str = "",
) -> Iterator[WeekLine]:
    yield WeekLine("")
    yield from task_lines(task, chores, width, when, asks=False)
    yield from hold_lines(holds, task, width)
    yield from caution_lines(cautions, task, width)
    if task.state != "open":
        return
    indent = _indent(width)
    asks = "" if task.fact else chores.get(task.chore, NO_CHORE).asks
    yield from _to_fill((tr("done on"), tr("by"), tr("hours")), indent, width)
    if asks:
        yield from _to_fill((chore_text(asks),), indent, width)


def _to_fill(labels: tuple[str, ...], indent: str, width: int) -> Iterator[WeekLine]:
    """Labels with lines to write on, side by side, or where that leaves no room to write one below the other."""
    taken = len(indent) + sum(len(label) + 2 for label in labels) + 2 * (len(labels) - 1)
    line = (width - taken) // len(labels)
    if line >= _SHORTEST_LINE:
        yield WeekLine(indent + "  ".join(f"{label}: {'_' * line}" for label in labels))
    elif len(labels) > 1:
        for label in labels:
            yield from _to_fill((label,), indent, width)
    else:
        yield from _wrapped(f"{indent}{labels[0]}:", width, indent)
        yield WeekLine(indent + "_" * (width - len(indent)))
