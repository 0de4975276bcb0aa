"""What makes one look again at a date before it is saved: a wrong month, year or cohort is easily typed."""

from __future__ import annotations

from collections.abc import Callable, Iterable, Mapping
from dataclasses import dataclass
from datetime import date, timedelta
from functools import reduce
from typing import TYPE_CHECKING

from calendar_tui.language.speaking import phrase, phrase_form
from calendar_tui.season.readers import FIRST_DATE, LAST_DATE
from calendar_tui.season.records import Cohort, Season, Task
from calendar_tui.season.stages import BY_NAME, TABLE
from calendar_tui.season.wording import cohorts_text, days_text, full_day_text, stage_text, weekday_text

if TYPE_CHECKING:
    from calendar_tui.planning.changes.ticks import Tick

# A date further from today than this many days is questioned; a starting value, no source.
FAR_D = 60
# A tick further from the task's date than this many days is questioned; a starting value, no source.
FAR_FROM_DUE_D = 7
# So many doubts are listed; more are counted.
MOST_LISTED = 3
_NEAR = timedelta(days=183)


@dataclass(frozen=True, slots=True)
class Start:
    """The first day of a cohort, recorded or else intended, and its first stage."""

    cohort: str
    stage: str
    day: date


@dataclass(frozen=True, slots=True, kw_only=True)
class Typed:
    """A date as typed, and what it is held against.

    start: of the cohort that it is for, None where none is known or work before it is usual. was: the date in whose
    place it comes, where days near that are not far. to_come: whether the work lies ahead; far_off: whether days far
    from today are usual. task, due: the id and the date of a task that is ticked.
    """

    day: date
    today: date
    first_day: date
    last_day: date
    start: Start | None = None
    was: date | None = None
    to_come: bool = False
    far_off: bool = False
    task: str = ""
    due: date | None = None


def doubt(typed: Typed) -> str:
    """Why the date may be mistyped, as one sentence without its full stop; "" where nothing speaks against it."""
    reasons = [says(typed) for holds, says in _DOUBTS if holds(typed)]
    if not reasons:
        return ""
    why = reduce(
        lambda first, last: phrase("{doubt} and {last_doubt}", doubt=first, last_doubt=last), reasons
    )
    return phrase("{day} is {doubt}", day=full_day_text(typed.day), doubt=why)


def date_doubts(
    season: Season, today: date, day: date, cohort: Cohort | None = None, *, planned: bool = False
) -> tuple[str, ...]:
    """Why a date typed may be another than the one meant, one sentence or none.

    cohort: the one whose start it is held against. planned: whether it lies ahead, where days far from today are usual.
    """
    typed = Typed(
        day=day,
        today=today,
        first_day=season.first_day,
        last_day=season.last_day,
        start=None if cohort is None else _start_of(cohort),
        to_come=planned,
        far_off=planned,
    )
    return tuple(filter(None, (doubt(typed),)))


def _start_of(cohort: Cohort) -> Start | None:
    day = cohort.fixed(cohort.first_stage)
    return None if day is None else Start(cohort.id, cohort.first_stage, day)


def starts_of(season: Season) -> dict[str, Start]:
    """By cohort id; those without a first day are left out."""
    starts = ((name, _start_of(cohort)) for name, cohort in season.cohorts.items())
    return {name: start for name, start in starts if start is not None}


def task_doubts(
    days: Iterable[tuple[Task, date]],
    starts: Mapping[str, Start],
    today: date,
    season_days: tuple[date, date],
    *,
    moved: bool,
) -> tuple[str, ...]:
    """The doubts about the days to which tasks are moved, or on which they were done; each once."""
    first, last = season_days
    typed = (
        Typed(
            day=day,
            today=today,
            first_day=first,
            last_day=last,
            start=_start_before(task, starts),
            was=task.date if moved else None,
            to_come=moved,
            task=task.id,
            due=None if moved else task.date,
        )
        for task, day in days
        if not moved or day != task.date
    )
    return _listed(typed)


def move_doubts(season: Season, moves: Iterable[tuple[Task, date]], today: date) -> tuple[str, ...]:
    """The doubts about the dates to which tasks are moved; none about those that stay."""
    return task_doubts(moves, starts_of(season), today, season_days(season, today), moved=True)


def tick_doubts(season: Season, ticks: Iterable[Tick], today: date, *, typed: bool) -> tuple[str, ...]:
    """The doubts about the days on which tasks were done. typed: whether somebody typed the day, or it was only proposed."""
    given = [(tick.task, tick.day) for tick in ticks if tick.is_new]
    if not typed:
        return ahead_doubts(given)
    return task_doubts(given, starts_of(season), today, season_days(season, today), moved=False)


def season_days(season: Season, today: date) -> tuple[date, date]:
    """The season's first and last day; where they do not read, half a year before and after today."""
    first, last = season.first_day, season.last_day
    return (
        first if first > FIRST_DATE else today - _NEAR,
        last if last < LAST_DATE else today + _NEAR,
    )


def ahead_doubts(days: Iterable[tuple[Task, date]]) -> tuple[str, ...]:
    """The doubts about tasks ticked on days that nobody typed: only that they are due long after."""
    return _listed(
        Typed(day=day, today=day, first_day=day, last_day=day, task=task.id, due=task.date)
        for task, day in days
    )


def _listed(typed: Iterable[Typed]) -> tuple[str, ...]:
    doubts = list(dict.fromkeys(filter(None, map(doubt, typed))))
    more = len(doubts) - MOST_LISTED
    return (
        *doubts[:MOST_LISTED],
        *([phrase("and {more} more like that", more=more)] if more > 0 else []),
    )


def late_doubt(task: Task, stage: str, day: date, today: date) -> str:
    """That a tick records a stage as of today that was due long before, as a question; "" for any other day."""
    late = (today - task.date).days
    if day != today or late <= FAR_FROM_DUE_D:
        return ""
    return phrase(
        "{names} {stage} was due {day}, {span} ago: was it done today?",
        names=cohorts_text(task.about),
        stage=stage_text(stage),
        day=weekday_text(task.date),
        span=days_text(late),
    )


def one_day_doubts(cohort: Cohort, stage: str) -> Iterable[str]:
    """That a stage of a cohort is recorded on one day with another, where days pass between the two."""
    day = cohort.recorded.get(stage)
    for pair in ((s.days_after, s.name) for s in TABLE if s.days_after):
        if day is not None and stage in pair and all(cohort.recorded.get(s) == day for s in pair):
            one, other = map(stage_text, pair)
            yield phrase(
                "{names} {stage} and {other} are both on {day}: were they on one day?",
                names=cohort.id,
                stage=one,
                other=other,
                day=weekday_text(day),
            )


def _start_before(task: Task, starts: Mapping[str, Start]) -> Start | None:
    """The first start of the task's cohorts, where the task is due from then on; work before it may be done before it."""
    near = [starts[name] for name in task.about if name in starts]
    first = min(near, key=lambda start: start.day, default=None)
    return first if first is not None and first.day <= task.date else None


def _outside(typed: Typed) -> bool:
    return not typed.first_day <= typed.day <= typed.last_day


def _before_start(typed: Typed) -> bool:
    return typed.start is not None and typed.day < typed.start.day


def _far(typed: Typed) -> bool:
    near = [typed.today] if typed.was is None else [typed.today, typed.was]
    return not typed.far_off and min(abs((typed.day - day).days) for day in near) > FAR_D


def _ahead(typed: Typed) -> bool:
    return typed.due is not None and (typed.due - typed.day).days > FAR_FROM_DUE_D


def _past(typed: Typed) -> bool:
    return typed.to_come and typed.day < typed.today and not _far(typed)


def _start_text(typed: Typed) -> str:
    assert typed.start is not None
    form = phrase_form("before {cohort} was {begun} ({day})")
    if typed.start.day > typed.today:
        form = phrase_form("before {cohort} is {begun} ({day})")
    begun = phrase(BY_NAME[typed.start.stage].past)
    return phrase(form, cohort=typed.start.cohort, begun=begun, day=_plain(typed.start.day))


def _far_text(typed: Typed) -> str:
    days = (typed.day - typed.today).days
    form = phrase_form("{span} after today") if days > 0 else phrase_form("{span} before today")
    return phrase(form, span=days_text(abs(days)))


def _ahead_text(typed: Typed) -> str:
    assert typed.due is not None
    span = days_text((typed.due - typed.day).days)
    return phrase(
        "{span} before {task_id} is due ({day})", span=span, task_id=typed.task, day=_plain(typed.due)
    )


def _plain(day: date) -> str:
    """ "5 Oct 2026"."""
    return full_day_text(day).split(" ", 1)[1]


# What may speak against a date, and how that is worded behind "is".
_DOUBTS: tuple[tuple[Callable[[Typed], bool], Callable[[Typed], str]], ...] = (
    (
        _outside,
        lambda t: phrase(
            "outside the season ({first} to {last})", first=_plain(t.first_day), last=_plain(t.last_day)
        ),
    ),
    (_before_start, _start_text),
    (_far, _far_text),
    (_past, lambda t: phrase("before today")),
    (_ahead, _ahead_text),
)
