"""This week's work: overdue tasks first, then each day's, ticked with one key."""

from __future__ import annotations

from collections.abc import Collection, Iterable, Iterator, Mapping, Sequence
from datetime import date, timedelta
from typing import ClassVar, NamedTuple

from textual.app import ComposeResult
from textual.binding import Binding, BindingType
from textual.screen import Screen

from calendar_tui.planning.replan import tick_edits, untick_edits
from calendar_tui.planning.ticks import fact_edits, stage_to_record
from calendar_tui.planning.week import Week, stage_of_work, week_of
from calendar_tui.planning.wording import (
    cohorts_text,
    day_text,
    full_day_text,
    stage_text,
    task_hours_text,
    weekday_text,
)
from calendar_tui.screens.actions import bindings
from calendar_tui.screens.drawing import (
    BOLD,
    DIM,
    HEADING,
    PLAIN,
    WARNING,
    Bar,
    Picker,
    Row,
    fitted,
    keys_row,
    row,
    wrapped,
)
from calendar_tui.screens.fact_view import FactView
from calendar_tui.screens.host import host
from calendar_tui.screens.record_view import RecordView
from calendar_tui.season.edits import Change
from calendar_tui.season.records import Season, Task

BOXES = {"open": "[ ]", "done": "[x]", "skipped": "[-]"}
KEYS = "up/down task  space tick  left/right week  t this week  u undo  esc back"
LONGEST_WHO, LONGEST_NAME, HOURS_WIDTH = 10, 8, 7
MOST_DETAIL_LINES = 5
WEEK = timedelta(days=7)
# The group of the app's workers that read and write the file, and how often to look whether they are done.
FILE_WORK, SETTLE_S = "file", 0.3


class Columns(NamedTuple):
    """The widths of a task's fields, in columns of the screen."""

    cohort: int
    place: int
    what: int
    who: int


def columns(tasks: Sequence[Task], width: int) -> Columns:
    """Widths that fit these tasks into `width`; what is to be done gets all that is left."""

    def longest(words: Iterable[str], most: int) -> int:
        return min(max(map(len, words), default=0), most)

    cohort = longest((cohorts_text(t.about) for t in tasks), LONGEST_NAME)
    place = longest((t.place for t in tasks), LONGEST_NAME)
    who = longest((t.who for t in tasks), LONGEST_WHO)
    taken = sum(n + 1 for n in (4, 3, cohort, place, who)) + HOURS_WIDTH
    return Columns(cohort, place, max(width - taken, 10), who)


def what_text(task: Task, monday: date) -> str:
    """What is to be done; an overdue task says since when."""
    return f"{day_text(task.date)}: {task.what}" if task.date < monday else task.what


def task_row(task: Task, state: str, monday: date, at: Columns, guessed: bool) -> Row:
    """One task on one line."""
    hours = task_hours_text(task.hours, guessed)
    parts = (
        (task.id, 4),
        (BOXES.get(state, "[?]"), 3),
        (cohorts_text(task.about), at.cohort),
        (task.place, at.place),
        (what_text(task, monday), at.what),
        (task.who, at.who),
    )
    text = " ".join(fitted(word, width) for word, width in parts) + hours.rjust(HOURS_WIDTH)
    return row((text, PLAIN if state == "open" else DIM), key=task.id)


def week_rows(
    week: Week, today: date, states: Mapping[str, str], width: int, guesses: Collection[str] = ()
) -> Iterator[Row]:
    """The week line by line. `states` holds the states of tasks whose saving is under way; `guesses` the chores
    whose hours are a guess."""
    at = columns(all_tasks(week), width)
    if week.overdue:
        yield row((f"Overdue ({len(week.overdue)})", WARNING))
    for task in week.overdue:
        yield task_row(task, states.get(task.id, task.state), week.monday, at, task.chore in guesses)
    for day, tasks in week.days:
        name = weekday_text(day)
        mark = ("  today", WARNING) if day == today else ("", PLAIN)
        yield row((name, HEADING), mark, ("" if tasks else "  no tasks", DIM))
        for task in tasks:
            yield task_row(task, states.get(task.id, task.state), week.monday, at, task.chore in guesses)
    yield row((f"next week: {week.next_week} task{'' if week.next_week == 1 else 's'}", BOLD))


def shown_week(tasks: Sequence[Task], day: date, ticked: Iterable[str]) -> Week:
    """The week in an order that ticking does not change; overdue tasks ticked in this view stay."""
    week = week_of(tasks, day)
    here = set(ticked)
    kept = [t for t in tasks if t.id in here and t.date < week.monday and t.state != "open"]
    overdue = sorted((*week.overdue, *kept), key=lambda t: (t.date, t.about, t.what, t.n))
    days = tuple((d, tuple(sorted(ts, key=lambda t: (t.place, t.about, t.what, t.n)))) for d, ts in week.days)
    return Week(week.monday, tuple(overdue), days, week.next_week)


def all_tasks(week: Week) -> list[Task]:
    """The tasks of a week in the order shown."""
    return [*week.overdue, *(t for _, tasks in week.days for t in tasks)]


def named(task: Task) -> str:
    """A task as a change names it."""
    whose = cohorts_text(task.about) or task.place
    return f"{task.id} {task.what}" + (f" ({whose})" if whose else "")


def caution_of(season: Season, task: Task) -> str:
    """The caution of the chore that made the task, or ""."""
    chore = season.chores.get(task.chore)
    return "" if chore is None else chore.caution


def detail_rows(season: Season, task: Task, monday: date, at: Columns, width: int) -> list[Row]:
    """What the line of a task has no room for, what ticking it asks for, and its caution."""
    chore = season.chores.get(task.chore)
    more = [task.what] if len(what_text(task, monday)) > at.what else []
    more += [" ".join(task.about)] if len(cohorts_text(task.about)) > at.cohort else []
    more += [f"by {task.who}"] if len(task.who) > at.who else []
    more += [f"from {chore.time:%H:%M}"] if chore is not None and chore.time is not None else []
    more += [part for part in (task.amount, task.why, task.note) if part]
    if task.fact:
        more.append(f"found: {task.fact}")
    elif chore is not None and chore.asks:
        more.append(f"write down: {chore.asks}")
    rows = wrapped("; ".join(more), width) if more else []
    if caution := caution_of(season, task):
        rows += wrapped(caution, width, "Caution: ", "  ", WARNING)
    if said := _record_text(season, task):
        rows += wrapped(said, width)
    return rows


def _record_text(season: Season, task: Task) -> str:
    """That a tick records a date, or that it does not and the date is still to be recorded; or ""."""
    if stage := stage_to_record(season, task):
        return f"A tick asks for the date of {task.cohort} {stage_text(stage)} and records it."
    chore, cohort = season.chores.get(task.chore), season.cohorts.get(task.cohort)
    if chore is None or cohort is None or chore.records:
        return ""
    stage = stage_of_work(chore.stage, chore.offset_d, chore.repeat)
    if not stage or stage in cohort.recorded:
        return ""
    if any(other.records == stage for other in season.chores.values()):
        return ""
    return f"A tick does not record the date: {task.cohort} {stage_text(stage)} is recorded with r in the season view."


class WeekView(Screen[None]):
    """One week's tasks, Monday to Sunday, and before them what is overdue."""

    UNDOES = True
    BINDINGS: ClassVar[list[BindingType]] = [
        *bindings("week", "view"),
        Binding("left,left_square_bracket", "week(-1)", "week before", show=False),
        Binding("right,right_square_bracket", "week(1)", "week after", show=False),
        Binding("t", "this_week", "this week", show=False),
    ]

    def __init__(self, day: date | None = None) -> None:
        super().__init__()
        self._day = day
        # By task id: the states asked for, and those handed down and not yet seen in the file.
        self._wanted: dict[str, str] = {}
        self._saving: dict[str, str] = {}
        self._touched: set[str] = set()
        # By task id: what was found, until its tick is handed down.
        self._facts: dict[str, str] = {}
        self._week = week_of((), date(1, 1, 1))
        self._details: dict[str, list[Row]] = {}
        self._heading, self._detail = Bar(), Bar()
        self._list = Picker(self._rows)

    def compose(self) -> ComposeResult:
        yield self._heading
        yield self._list
        yield self._detail
        yield Bar(keys_row(KEYS))

    def show_plan(self) -> None:
        """Draw the tasks as the file has them now, and save what was wanted while a tick was under way."""
        tasks = {t.id: t for t in self._tasks()}
        self._wanted = {i: s for i, s in self._wanted.items() if i in tasks}
        self._saving = {i: s for i, s in self._saving.items() if i in tasks and tasks[i].state != s}
        for name, state in list(self._wanted.items()):
            if name in self._saving:
                continue
            if tasks[name].state == state:
                del self._wanted[name]
            else:
                self._save(tasks[name])
        self._list.redraw()

    @property
    def text(self) -> str:
        """All that the view shows, as plain text."""
        return "\n".join(part.text for part in (self._heading, self._list, self._detail))

    def _tasks(self) -> tuple[Task, ...]:
        plan = host(self).plan
        return () if plan is None else plan.season.tasks

    def _guesses(self) -> frozenset[str]:
        plan = host(self).plan
        return frozenset(() if plan is None else (c.id for c in plan.season.chores.values() if c.guessed))

    def _rows(self, width: int) -> Iterable[Row]:
        today = host(self).today
        self._week = shown_week(self._tasks(), self._day or today, self._touched)
        self._say_heading(self._week, today)
        self._fit_details(width)
        return week_rows(self._week, today, self._wanted, width, self._guesses())

    def _say_heading(self, week: Week, today: date) -> None:
        ahead = (week.monday - today + timedelta(days=today.weekday())).days // 7
        where = {0: "  this week", 1: "  next week", -1: "  last week"}.get(ahead, f"  {ahead:+d} weeks")
        self._heading.say(row((f"Week of {full_day_text(week.monday)}", HEADING), where))

    def _fit_details(self, width: int) -> None:
        """Room for the longest caution of this week, so that no cursor move changes the layout."""
        plan, tasks = host(self).plan, all_tasks(self._week)
        at = columns(tasks, width)
        self._details = {}
        if plan is not None:
            self._details = {t.id: detail_rows(plan.season, t, self._week.monday, at, width) for t in tasks}
        lines = max(map(len, self._details.values()), default=0)
        self._detail.styles.height = min(lines, MOST_DETAIL_LINES)

    def _pointed(self) -> Task | None:
        return next((t for t in self._tasks() if t.id == self._list.key), None)

    def on_picker_moved(self) -> None:
        self._detail.say(*self._details.get(self._list.key, ()))

    def action_tick(self) -> None:
        """Tick the task under the cursor, or open it again, and save that at once; asks first for what it asks for."""
        task, plan = self._pointed(), host(self).plan
        if task is None or plan is None:
            return
        chore = plan.season.chores.get(task.chore)
        ticks = self._wanted.get(task.id, task.state) == "open"
        if ticks and chore is not None and chore.asks:
            self.app.push_screen(
                FactView(named(task), chore.asks, task.fact), lambda fact: self._found(task, fact)
            )
        elif ticks and stage_to_record(plan.season, task):
            self._found(task, "")
        else:
            self._want(task, "done" if ticks else "open")

    def _found(self, task: Task, fact: str | None) -> None:
        """Go on with a tick once it is known what was found: a stage's date is asked for, with all that it moves."""
        plan = host(self).plan
        if fact is None or plan is None:
            return
        if stage := stage_to_record(plan.season, task):
            self._touched.add(task.id)
            self.app.push_screen(RecordView(task.cohort, stage, fact))
            return
        self._facts[task.id] = fact
        self._want(task, "done")

    def _want(self, task: Task, state: str) -> None:
        self._wanted[task.id] = state
        self._touched.add(task.id)
        self._list.redraw()
        self._save(task)

    def _save(self, task: Task) -> None:
        """Hand the wanted state down; while the task's last tick is being saved, `show_plan` does that later."""
        if task.id in self._saving:
            return
        self._saving[task.id] = self._wanted[task.id]
        if self._wanted[task.id] == "done":
            fact = self._facts.pop(task.id, "")
            edits = (*tick_edits([task], host(self).today), *fact_edits([task], fact))
            change = Change(f"ticked {named(task)}" + (f": {fact}" if fact else ""), edits)
        else:
            change = Change(f"opened again {named(task)}", untick_edits([task]))
        host(self).save(change)
        self.set_timer(SETTLE_S, self._settle)

    def _settle(self) -> None:
        """Once the app's file work is over, a tick not seen in the file was refused: show what the file holds."""
        if any(worker.group == FILE_WORK and not worker.is_finished for worker in self.app.workers):
            self.set_timer(SETTLE_S, self._settle)
        elif self._saving:
            self._saving.clear()
            self._wanted.clear()
            host(self).reload()

    def action_week(self, by: int) -> None:
        self._show_week((self._day or host(self).today) + by * WEEK)

    def action_this_week(self) -> None:
        self._show_week(host(self).today)

    def _show_week(self, day: date) -> None:
        self._day = day
        self._touched.clear()
        self._list.redraw()

    def action_back(self) -> None:
        self.dismiss()
