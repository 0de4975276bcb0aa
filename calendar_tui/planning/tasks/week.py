"""This week's work, from the saved tasks alone: nothing is worked out again."""

from __future__ import annotations

import re
from collections.abc import Callable, Iterable, Iterator, Mapping, Sequence
from datetime import date, timedelta
from typing import NamedTuple

from calendar_tui.language.speaking import chore_text, phrase_form, tr, translated
from calendar_tui.season.records import Chore, Outage, Season, Task
from calendar_tui.season.stages import DECIDED
from calendar_tui.season.weeks import first_of_week, monday_of
from calendar_tui.season.wording import weekday_text

# The role of tasks that name none.
ANYONE = phrase_form("anyone")
# Nights without lamps so many days ago may still be asked about (a choice): by then the tips show it.
RECENT_D = 60


class Week(NamedTuple):
    """first_day: a Monday but where a person has set another weekday; overdue: open tasks before the first
    day, where today is among the days, and none where it is not; days: the seven with their tasks, or as many as were
    asked for; next_week: open tasks of the seven days after them.
    """

    first_day: date
    overdue: tuple[Task, ...]
    days: tuple[tuple[date, tuple[Task, ...]], ...]
    next_week: int


# The chore of tasks that have none, or one that is gone or does not read; it has nothing to tell.
NO_CHORE = Chore(id="", what="", stage="", mark="own")


def recent_outages(season: Season, today: date) -> list[Outage]:
    """The outages so recent that a look at the tips may be asked for."""
    return [o for o in season.outages if 0 <= (today - o.last).days <= RECENT_D]


def week_of(tasks: Iterable[Task], day: date, today: date | None = None, begins: int = 0) -> Week:
    """The week that holds `day`. today: None for the same day. begins: its first weekday, counted from Monday as 0, with
    which it begins by ISO 8601.
    """
    first = first_of_week(day, begins)
    return days_of(tasks, first, 7, today or day)._replace(first_day=first)


def days_of(tasks: Iterable[Task], first: date, count: int, today: date | None = None) -> Week:
    """So many days from `first` on. `first_day` of what it gives is the Monday of the first day's week. today: None for `first`."""
    following = first + timedelta(days=count)
    present = first <= (today or first) < following
    overdue: list[Task] = []
    days: dict[date, list[Task]] = {first + timedelta(days=i): [] for i in range(count)}
    coming = 0
    for task in tasks:
        if task.date in days:
            days[task.date].append(task)
        elif task.state != "open":
            continue
        elif task.date < first:
            # Before another week much is open that is not late yet, or that is late whatever week is looked at.
            overdue += [task] if present else []
        elif task.date < following + timedelta(days=7):
            coming += 1
    return Week(
        monday_of(first),
        tuple(sorted(overdue, key=_by_date)),
        tuple((d, tuple(sorted(ts, key=_by_place))) for d, ts in days.items()),
        coming,
    )


def all_tasks(week: Week) -> list[Task]:
    """The tasks of a week in the order shown."""
    return [*week.overdue, *(t for _, tasks in week.days for t in tasks)]


# A sentence ends at a stop before a blank and a capital, so that "approx. 30 mA" is one.
_SENTENCE_END = r"(?<=[.!?])\s+(?=[A-Z])"


def sentences(text: str) -> Iterator[str]:
    """The sentences of a caution."""
    return (sentence for sentence in re.split(_SENTENCE_END, text.strip()) if sentence)


def cautions_by_task(tasks: Sequence[Task], cautions: Mapping[str, str]) -> dict[str, str]:
    """What a list of tasks warns of, by the id of the task under which it stands; each sentence once.

    cautions: by chore. A sentence stands under the first open task that it is for, or the first where none is open.
    """
    first: dict[str, str] = {}
    for task in sorted(tasks, key=lambda t: t.state != "open"):
        first.setdefault(task.chore, task.id)
    at: dict[str, str] = {}
    for chore, name in first.items():
        for sentence in sentences(cautions.get(chore, "")):
            at.setdefault(sentence, name)
    by_task: dict[str, str] = {}
    for sentence, name in at.items():
        by_task[name] = f"{by_task[name]} {sentence}" if name in by_task else sentence
    return by_task


class Only(NamedTuple):
    """Which tasks are wanted: of a role, at a place or one of its screened parts, of a cohort; "" for all."""

    role: str = ""
    place: str = ""
    cohort: str = ""

    def of(self, tasks: tuple[Task, ...]) -> tuple[Task, ...]:
        return tuple(filter(self.fits, tasks)) if any(self) else tasks

    def fits(self, task: Task) -> bool:
        return (
            self.role in ("", task.who or ANYONE)
            and (self.place in ("", task.place) or task.place.startswith(f"{self.place} "))
            and (not self.cohort or self.cohort in task.about)
        )

    @property
    def text(self) -> str:
        return ", ".join(part for part in (translated(self.role), self.place, self.cohort) if part)


class Group(NamedTuple):
    """Tasks under one heading. late: how many are open and from before today; day: the day they are of, where all are of one."""

    title: str
    tasks: tuple[Task, ...]
    late: int = 0
    day: date | None = None


GROUPINGS = ("day", "place", "role")
NO_PLACE = phrase_form("no place")
_HEADS: Mapping[str, Callable[[Task], str]] = {
    "place": lambda task: task.place or NO_PLACE,
    "role": lambda task: task.who or ANYONE,
}


def groups(week: Week, by: str, today: date) -> tuple[Group, ...]:
    """The tasks of a week by day, each day one group, or by place or role, those without one last."""
    if by == "day":
        days = tuple(Group(weekday_text(day), tasks, _late(tasks, today), day) for day, tasks in week.days)
        return (
            (Group(tr("Overdue"), week.overdue, _late(week.overdue, today)), *days) if week.overdue else days
        )
    head = _HEADS[by]
    by_head: dict[str, list[Task]] = {}
    for task in sorted(all_tasks(week), key=lambda t: (t.date, t.about, t.what, t.n)):
        by_head.setdefault(head(task), []).append(task)
    names = sorted(by_head, key=lambda name: (name in (NO_PLACE, ANYONE), name))
    return tuple(
        Group(
            translated(name) if by == "role" or name == NO_PLACE else name,
            tuple(by_head[name]),
            _late(by_head[name], today),
        )
        for name in names
    )


def overdue_text(week: Week, today: date) -> str:
    """ "Overdue: 9, 4 from before Mon 14 Dec": all that is late, and how many of it stand below this heading."""
    before = _late(week.overdue, today)
    late = _late(all_tasks(week), today)
    if late <= before:
        return tr("Overdue: {late}", late=late)
    first = weekday_text(week.days[0][0])
    if not before:
        return tr("Overdue: {late}, none from before {first}", late=late, first=first)
    return tr("Overdue: {late}, {before} from before {first}", late=late, before=before, first=first)


def _late(tasks: Iterable[Task], today: date) -> int:
    return sum(t.state == "open" and t.date < today for t in tasks)


def matching(tasks: Iterable[Task], typed: str) -> tuple[Task, ...]:
    """The tasks in whose id, work, cohorts, place, role, quantity or note every word of what was typed occurs.

    Work and role count in English and in the language that is spoken.
    """
    words = typed.casefold().split()
    return tuple(t for t in tasks if not words or _has(t, words))


def _has(task: Task, words: Iterable[str]) -> bool:
    who = task.who or ANYONE
    texts = (
        task.id,
        task.what,
        chore_text(task.what),
        *task.about,
        task.place,
        who,
        translated(who),
        task.amount,
        task.note,
        task.fact,
    )
    text = "\n".join(texts).casefold()
    return all(word in text for word in words)


def _by_date(task: Task) -> tuple[object, ...]:
    return task.date, task.about, task.what


def _by_place(task: Task) -> tuple[object, ...]:
    return task.state != "open", task.place, task.about, task.what


def stage_of_work(chore: Chore) -> str:
    """The stage that a chore is itself the work of, so that its date is to be recorded; or ""."""
    return chore.stage if chore.stage in DECIDED and not chore.offset_d and not chore.repeat else ""


def works_of(season: Season) -> dict[str, str]:
    """By chore id, the stage that it is the work of, or ""."""
    return {name: stage_of_work(chore) for name, chore in season.chores.items()}


def find_task(tasks: Iterable[Task], typed: str) -> tuple[Task, ...]:
    """The task with this id, or else those whose id begins with it in any case of letters."""
    wanted = typed.strip()
    tasks = tuple(tasks)
    exact = tuple(t for t in tasks if t.id == wanted)
    begun = wanted.casefold()
    return exact or tuple(t for t in tasks if begun and t.id.casefold().startswith(begun))


def near_ids(tasks: Iterable[Task], typed: str) -> list[str]:
    """The ids most like what was typed, at most three."""
    from difflib import get_close_matches

    return get_close_matches(typed.strip().casefold(), [t.id for t in tasks], n=3, cutoff=0.5)
