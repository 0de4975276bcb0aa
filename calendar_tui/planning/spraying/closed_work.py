"""Work that stands in a closed place, and harvests before the crop may be cut: clashes, each with the hour or day it clears."""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Mapping
from datetime import date, time, timedelta

from calendar_tui.language.speaking import chore_text, phrase, phrase_form, phrase_n, tr_in, translated
from calendar_tui.planning.clash import Clash
from calendar_tui.planning.laying_out.timeline import Timeline
from calendar_tui.planning.spraying.closures import Closure, closures, first_cut
from calendar_tui.season.records import Season, Task
from calendar_tui.season.spraying import NO_DAY
from calendar_tui.season.wording import (
    WEEKDAYS,
    day_or_moment_text,
    day_text,
    hour_of,
    moment_text,
    weekday_text,
)

CLOSED, UNCUT = "closed place", "cut too early"
# So many tasks are named in a sentence.
_MOST_NAMED = 3
# Until when a place is closed, where that is not known and where it is; by whether the place is named.
_UNTIL = {
    False: (phrase_form("closed until it is recorded: {waits}"), phrase_form("closed until {moment}")),
    True: (
        phrase_form("{light} closed until it is recorded: {waits}"),
        phrase_form("{light} closed until {moment}"),
    ),
}


def closed_work(season: Season, timelines: Mapping[str, Timeline], today: date) -> Iterator[Clash]:
    """For each closed place the open tasks that stand there while it is closed; those that are overdue stand there today.

    Work in several places, such as a trip to cut bags, stands wherever its cohorts do that day.
    """
    for closure in closures(season, today):
        tasks = [task for task in season.tasks if stands_in(season, timelines, task, closure, today)]
        if tasks:
            cohorts = tuple(dict.fromkeys(name for task in tasks for name in task.about))
            yield Clash(CLOSED, cohorts, _work_text(closure, tasks, today), place=closure.light)


def stands_in(
    season: Season, timelines: Mapping[str, Timeline], task: Task, closure: Closure, today: date
) -> bool:
    """Whether an open task stands in a place while that is closed; one that is overdue stands there today, at any hour."""
    day = max(task.date, today)
    if task.state != "open" or not closure.covers(day):
        return False
    place = season.place_of(closure.light)
    lights = {task.place} if task.place else _where(timelines, task, day)
    here = closure.light in lights or (place is not None and place.id in lights)
    chore = season.chores.get(task.chore)
    # Work that is overdue is done at any time of the day.
    at = None if chore is None or task.date < today else chore.time
    return here and not _is_outside(closure, day, at)


def _where(timelines: Mapping[str, Timeline], task: Task, day: date) -> set[str]:
    """The lights under which the cohorts of a task without a place stand on a day."""
    return {timelines[name].stay_on(day).light for name in task.about if name in timelines}


def _is_outside(closure: Closure, day: date, at: time | None) -> bool:
    """Whether work that begins at a known time is before or after the closure of its day."""
    if at is None:
        return False
    over = closure.until is not None and day == closure.until.date() and at >= closure.until.time()
    return over or (day == closure.begins.date() and at < closure.begins.time())


def _work_text(closure: Closure, tasks: Iterable[Task], today: date) -> str:
    in_turn = sorted(tasks, key=lambda task: (task.date, task.id))
    named = "; ".join(_named(task, today) for task in in_turn[:_MOST_NAMED])
    if len(in_turn) > _MOST_NAMED:
        named = phrase("{listed} and {more} more", listed=named, more=len(in_turn) - _MOST_NAMED)
    return phrase_n(
        "{closed}; {count} task stands in that time: {tasks}. Do it after that.",
        "{closed}; {count} tasks stand in that time: {tasks}. Do it after that.",
        len(in_turn),
        closed=closed_text(closure),
        tasks=named,
    )


def _named(task: Task, today: date) -> str:
    if task.date < today:
        return phrase("overdue since {day} {what}", day=weekday_text(task.date), what=chore_text(task.what))
    return phrase("{day} {what}", day=weekday_text(task.date), what=chore_text(task.what))


def closed_text(closure: Closure) -> str:
    """ "H2 is closed from Tue 8 Dec 16:30 until Wed 9 Dec 05:15 after soap"."""
    since = closure.begins.date()
    begins = moment_text(closure.begins)
    waits = translated("; ".join(closure.waits_for))
    if since == NO_DAY:
        return phrase("{light} is closed until it is recorded: {waits}", light=closure.light, waits=waits)
    if closure.until is None:
        return phrase(
            "{light} is closed from {moment} until it is recorded: {waits}",
            light=closure.light,
            moment=begins,
            waits=waits,
        )
    return phrase(
        "{light} is closed from {moment} until {until} after {rule}",
        light=closure.light,
        moment=begins,
        until=moment_text(closure.until),
        rule=closure.rule,
    )


def until_text(closure: Closure, is_named: bool = False) -> str:
    """ "closed until Wed 9 Dec 05:15"; is_named: with the place before it, "H2 closed until Wed 9 Dec 05:15"."""
    unknown, known = _UNTIL[is_named]
    if closure.until is None:
        return phrase(unknown, light=closure.light, waits=translated("; ".join(closure.waits_for)))
    return phrase(known, light=closure.light, moment=moment_text(closure.until))


def until_short(closure: Closure, today: date) -> str:
    """ "closed to 18:55" where that is today, "closed to Wed 05:15" tomorrow, else "closed to 9 Dec": where there is little room."""
    if closure.until is None:
        return phrase("closed")
    day, hour = closure.until.date(), hour_of(closure.until)
    if day == today:
        return phrase("closed to {until}", until=hour)
    tomorrow = day == today + timedelta(days=1)
    until = f"{tr_in('weekday', WEEKDAYS[day.weekday()])} {hour}" if tomorrow else day_text(day)
    return phrase("closed to {until}", until=until)


def entry_texts(closed: Iterable[Closure]) -> tuple[str, ...]:
    """What stands above work, wherever it is listed: which places nobody enters, and until when."""
    return tuple(phrase("Do not enter: {closed}.", closed=closed_text(one)) for one in closed)


def brief_entry_text(closed: Iterable[Closure], today: date) -> str:
    """ "do not enter: H1 until it is recorded, H2 until Wed 9 Dec 05:15"; "" where nothing is closed today."""
    places = [
        phrase("{light} until it is recorded", light=one.light)
        if one.until is None
        else phrase("{light} until {moment}", light=one.light, moment=moment_text(one.until))
        for one in closed
        if one.covers(today)
    ]
    return phrase("do not enter: {places}", places=", ".join(places)) if places else ""


def uncut_harvests(season: Season, timelines: Mapping[str, Timeline]) -> Iterator[Clash]:
    """For each cohort that is to be harvested before a wait of its sprays is over, the day from which it may be cut."""
    for name, timeline in timelines.items():
        harvest = timeline.likely("harvest")
        cut = first_cut(season, timeline)
        if harvest is None or cut is None or "harvest" in timeline.cohort.recorded:
            continue
        if cut.moment is None:
            waits = translated("; ".join(cut.waits_for))
            text = phrase("{cohort}: nothing is cut before it is recorded: {waits}", cohort=name, waits=waits)
        elif harvest < cut.moment.date():
            text = phrase(
                "{cohort}: harvest on {day} is before {begin}, from which it may be cut after {rule}",
                cohort=name,
                day=weekday_text(harvest),
                rule=cut.rule,
                begin=day_or_moment_text(cut.moment),
            )
        else:
            continue
        yield Clash(UNCUT, (name,), text)
