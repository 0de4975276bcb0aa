"""The rows of the week view: tasks under their headings, and what a line of a task has no room for."""

from __future__ import annotations

from collections.abc import Collection, Iterable, Iterator, Mapping, Sequence, Set
from dataclasses import dataclass, field, replace
from datetime import date
from typing import NamedTuple

from calendar_tui.handing_on.words.field_book_text import observed_counts
from calendar_tui.handing_on.words.plain_text import task_count_text
from calendar_tui.handing_on.words.week_text import caution_text, hold_text
from calendar_tui.language.speaking import chore_text, phrase, tr, tr_n, translated
from calendar_tui.planning.changes.ticks import stage_to_record
from calendar_tui.planning.cutting.holds import Hold
from calendar_tui.planning.field_book.due import rounds_of_task
from calendar_tui.planning.tasks.week import Group, Week, all_tasks, groups, overdue_text, stage_of_work
from calendar_tui.screens.kit.drawing import (
    BOLD,
    DIM,
    HEADING,
    PLAIN,
    WARNING,
    ListRow,
    first_rows,
    fitted,
    row,
    wrapped,
)
from calendar_tui.season.cells import cell_len
from calendar_tui.season.records import Season, Task
from calendar_tui.season.units_in_use import clock
from calendar_tui.season.wording import amount_text, cohorts_text, day_text, stage_text, task_hours_text

BOXES = {"open": "[ ]", "done": "[x]", "skipped": "[-]"}
MARKED = "*"
LONGEST_WHO, LONGEST_NAME, LONGEST_ID, HOURS_WIDTH = 10, 8, 8, 7
# Below this many columns a line has no room for place, role and hours; they stand with the task at the bottom.
NARROW = 56
# Lines of why a task is held, below the list; all of it stands in `week` and with the day to cut, and its beginning says the most.
HOLD_LINES = 2
# Lines of the task under the cursor, below the list, on a terminal that is not tall: a caution whole, and what stands behind it.
DETAIL_LINES = 5


class Columns(NamedTuple):
    """The widths of a task's fields, in columns of the screen; 0: it has none."""

    id: int
    cohort: int
    place: int
    what: int
    who: int
    hours: int


@dataclass(frozen=True, slots=True)
class Shown:
    """How the week is shown: grouped by day, place or role; states: of tasks whose saving is under way; marked: the ids
    of tasks to be done together; guesses: the chores whose hours are a guess; searched: the words by which tasks are shown, "" for all.
    closed: which places nobody enters, and looks: of which plants the tips are to be looked at, in words. back: the key that shows all again.
    holds: by the ids of tasks that must not be done on their day, why.
    """

    today: date
    by: str = "day"
    states: Mapping[str, str] = field(default_factory=dict)
    marked: Collection[str] = ()
    guesses: Collection[str] = ()
    searched: str = ""
    closed: Sequence[str] = ()
    looks: Sequence[str] = ()
    back: str = "Esc"
    holds: Mapping[str, Hold] = field(default_factory=dict)

    def dated(self, task: Task, monday: date) -> bool:
        """Whether the task's line says its date: no heading does."""
        return self.by != "day" or task.date < monday

    def with_states(self, week: Week) -> Week:
        """The week with its tasks in the states asked for: one whose tick is being saved is overdue no more."""

        def stated(tasks: Iterable[Task]) -> tuple[Task, ...]:
            return tuple(replace(t, state=self.states.get(t.id, t.state)) for t in tasks)

        days = tuple((day, stated(tasks)) for day, tasks in week.days)
        return week._replace(overdue=stated(week.overdue), days=days) if self.states else week


def columns(tasks: Sequence[Task], width: int) -> Columns:
    """Widths that fit these tasks into `width`; what is to be done gets all that is left."""

    def longest(words: Iterable[str], most: int) -> int:
        return min(max(map(cell_len, words), default=0), most)

    name = max(longest((t.id for t in tasks), LONGEST_ID), 4)
    cohort = longest((cohorts_text(t.about) for t in tasks), LONGEST_NAME)
    if width < NARROW:
        return Columns(name, cohort, 0, max(width - name - cohort - 7, 8), 0, 0)
    place = longest((t.place for t in tasks), LONGEST_NAME)
    who = longest((chore_text(t.who) for t in tasks), LONGEST_WHO)
    taken = 1 + sum(n + 1 for n in (name, 3, cohort, place, who)) + HOURS_WIDTH
    return Columns(name, cohort, place, max(width - taken, 10), who, HOURS_WIDTH)


def what_text(task: Task, dated: bool) -> str:
    """What is to be done, and where no heading says it, when."""
    what = chore_text(task.what)
    return f"{day_text(task.date)}: {what}" if dated else what


def task_row(task: Task, shown: Shown, dated: bool, at: Columns) -> ListRow:
    """One task on one line."""
    state = shown.states.get(task.id, task.state)
    what, hold = what_text(task, dated), shown.holds.get(task.id) if state == "open" else None
    parts = (
        (task.id, at.id),
        (BOXES.get(state, "[?]"), 3),
        (cohorts_text(task.about), at.cohort),
        (task.place, at.place),
        (f"{translated(hold.short)}: {what}" if hold else what, at.what),
        (chore_text(task.who), at.who),
    )
    mark = MARKED if task.id in shown.marked else " "
    text = mark + " ".join(fitted(word, width) for word, width in parts if width or at.hours)
    if at.hours:
        text += task_hours_text(task.hours, task.chore in shown.guesses).rjust(at.hours)
    style = BOLD if task.id in shown.marked else WARNING if hold else PLAIN if state == "open" else DIM
    return row((text, style), key=task.id)


def week_rows(week: Week, shown: Shown, width: int) -> Iterator[ListRow]:
    """The week line by line."""
    at = columns(all_tasks(week), width)
    week = shown.with_states(week)
    for text in map(translated, (*shown.closed, *shown.looks)):
        yield from wrapped(text, width, rest="  ", style=WARNING)
    overdue = overdue_text(week, shown.today)
    for group in groups(week, shown.by, shown.today):
        if shown.searched and not group.tasks:
            continue
        yield _heading(group, shown, overdue)
        for task in group.tasks:
            yield task_row(task, shown, shown.dated(task, week.first_day), at)
    if not all_tasks(week):
        yield from _none(shown, width)
    yield row((tr("next week: {tasks}", tasks=task_count_text(week.next_week)), BOLD))


def _none(shown: Shown, width: int) -> Iterator[ListRow]:
    """What stands where no task does, but under the days."""
    if shown.searched:
        text = tr('No task this week has "{words}"; {key} shows all.', words=shown.searched, key=shown.back)
        yield from wrapped(text, width)
    elif shown.by != "day":
        yield row((tr("no tasks"), DIM))


def _heading(group: Group, shown: Shown, overdue: str) -> ListRow:
    if group.day is None and shown.by == "day":
        return row((overdue, WARNING))
    today = (f"  {tr('today')}", WARNING) if group.day == shown.today else ("", PLAIN)
    late = (f"  {tr('overdue: {late}', late=group.late)}", WARNING) if group.late else ("", PLAIN)
    return row((group.title, HEADING), today, late, ("" if group.tasks else f"  {tr('no tasks')}", DIM))


def detail_rows(
    season: Season, task: Task, dated: bool, at: Columns, width: int, hold: Hold | None = None
) -> list[ListRow]:
    """Its caution, why it waits, what the line of a task has no room for, and what ticking it asks for.

    The caution comes first: what has no room is cut from the end.
    """
    chore = season.chores.get(task.chore)
    guessed = chore is not None and chore.guessed
    hours = task_hours_text(task.hours, guessed)
    more = [chore_text(task.what)] if hold or cell_len(what_text(task, dated)) > at.what else []
    more += [f"id {task.id}"] if len(task.id) > at.id else []
    more += [" ".join(task.about)] if cell_len(cohorts_text(task.about)) > at.cohort else []
    more += [task.place] if cell_len(task.place) > at.place else []
    more += [tr("by {name}", name=chore_text(task.who))] if cell_len(chore_text(task.who)) > at.who else []
    more += [hours] if len(hours) > at.hours else []
    more += (
        [tr("from {time}", time=clock(chore.time))] if chore is not None and chore.time is not None else []
    )
    more += [part for part in (amount_text(task.amount), translated(task.why), task.note) if part]
    if task.fact:
        more.append(tr("found: {fact}", fact=task.fact))
    elif chore is not None and chore.asks:
        more.append(tr("write down: {asks}", asks=chore_text(chore.asks)))
    rows: list[ListRow] = []
    if chore is not None and chore.caution:
        rows += wrapped(caution_text(chore.caution), width, rest="  ", style=WARNING)
    if hold:
        rows += first_rows(wrapped(hold_text(hold), width, rest="  ", style=WARNING), HOLD_LINES, width)
    rows += wrapped("; ".join(more), width) if more else []
    if chore is not None and chore.observe and (rounds := rounds_of_task(season, task.id)):
        rows += wrapped(f"{tr('To observe')}: {observed_counts(rounds)}", width)
    if text := _record_text(season, task):
        rows += wrapped(text, width)
    return rows


def _record_text(season: Season, task: Task) -> str:
    """That a tick records a date, or that it does not and the date is still to be recorded; or ""."""
    if stage := stage_to_record(season, task):
        return tr(
            "A tick asks for the date of {cohort} {stage} and records it.",
            cohort=task.cohort,
            stage=stage_text(stage),
        )
    chore, cohort = season.chores.get(task.chore), season.cohorts.get(task.cohort)
    if chore is None or cohort is None or chore.records:
        return ""
    stage = stage_of_work(chore)
    if not stage or stage in cohort.recorded:
        return ""
    if any(other.records == stage for other in season.chores.values()):
        return ""
    return tr(
        "A tick does not record the date: {cohort} {stage} is recorded in the season view.",
        cohort=task.cohort,
        stage=stage_text(stage),
    )


def all_marked(marked: Set[str], shown: Iterable[Task], today: date, key: str) -> tuple[set[str], str]:
    """The ids marked once all are asked for, and what to say of it: what is due by today, then the later ones too, then none.

    key: by which they are asked for.
    """
    dates = {task.id: task.date for task in shown}
    due = {name for name, day in dates.items() if day <= today}
    full, more, later = marked >= dates.keys(), marked >= due, len(dates) - len(due)
    out = set(marked - dates.keys() if full else marked | (dates.keys() if more else due))
    if full or not later:
        return out, ""
    if more:
        return out, phrase(
            "Marked {number} later than today too; {key} again marks none.", number=later, key=key
        )
    return out, phrase(
        "Marked what is due by today; {key} again marks the {number} later too.", number=later, key=key
    )


def marked_text(marked: Set[str], here: Set[str]) -> str:
    """How many are marked, and how many of them a search hides; here: those that it shows."""
    if not marked:
        return ""
    text = f"  {tr_n('{count} marked', '{count} marked', len(here))}"
    hidden = len(marked) - len(here)
    return f"{text}, {tr_n('{count} hidden', '{count} hidden', hidden)}" if hidden else text
