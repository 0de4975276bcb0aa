"""Why work must not be done on its day: its place is closed, or what it would cut may not be cut."""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Mapping, Sequence
from dataclasses import replace
from datetime import date, datetime, time
from typing import NamedTuple
from zoneinfo import ZoneInfo

from calendar_tui.language.speaking import phrase
from calendar_tui.nature.local_times import day_begins
from calendar_tui.nature.spray_waits import uncut
from calendar_tui.planning.cutting.made_cuts import official_faults, spray_faults
from calendar_tui.planning.laying_out.timeline import Timeline
from calendar_tui.planning.spraying.closed_work import closed_text, stands_in
from calendar_tui.planning.spraying.closures import Closure, application, closures
from calendar_tui.planning.tasks.chore_dates import is_next_pass
from calendar_tui.planning.tasks.week import stage_of_work
from calendar_tui.season.cutting import Pass
from calendar_tui.season.lots import is_cut, lots_of_cohort
from calendar_tui.season.records import Chore, Season, Task
from calendar_tui.season.wording import hour_of, moment_text

HARVEST = "harvest"


class Hold(NamedTuple):
    """short: "HOLD to 18:55", "HOLD E1-north", where there is little room; text: why, as a sentence without its full stop."""

    short: str
    text: str


def are_sprays_waited_for(season: Season, today: date) -> bool:
    """Whether any wait of a spray is not over at the beginning of a day; only then holds need to know where cohorts stand."""
    if not season.sprays:
        return False
    zone = ZoneInfo(season.site.timezone)
    until = uncut([application(spray, zone) for spray in season.sprays.values()], zone).until
    return until is None or until > day_begins(datetime.combine(today, time()), zone)


def holds_of(
    season: Season, timelines: Mapping[str, Timeline], tasks: Iterable[Task], today: date
) -> dict[str, Hold]:
    """By id, of the open tasks that must not be done on their day; what is overdue would be done today.

    timelines: by ripeness; where a season does not read as a whole, none, and places are those of the tasks alone.
    """
    closed = closures(season, today) if season.sprays else ()
    held = ((task.id, _hold(season, timelines, task, today, closed)) for task in tasks)
    return {name: hold for name, hold in held if hold is not None}


def tick_holds(
    season: Season, timelines: Mapping[str, Timeline], done: Iterable[tuple[Task, date]]
) -> tuple[str, ...]:
    """Why tasks were not to be done on the days on which they are ticked, each once. done: the tasks with these days."""
    texts: dict[str, None] = {}
    for task, day in done:
        as_of = replace(task, date=min(task.date, day), state="open")
        hold = holds_of(season, timelines, [as_of], day).get(task.id)
        if hold is not None:
            texts[hold.text] = None
    return tuple(texts)


def _hold(
    season: Season, timelines: Mapping[str, Timeline], task: Task, today: date, closed: Iterable[Closure]
) -> Hold | None:
    if task.state != "open":
        return None
    day = max(task.date, today)
    cuts = dict(_uncut(season, timelines, task, day))
    there = [one for one in closed if stands_in(season, timelines, task, one, today)]
    texts = (*cuts, *(phrase("do not enter: {closed}", closed=closed_text(one)) for one in there))
    if not texts:
        return None
    names = [name for name in dict.fromkeys(cuts.values()) if name]
    return Hold(_short(names) if cuts else _until(there, day), "; ".join(texts))


def _short(lots: Sequence[str]) -> str:
    return phrase("HOLD {lots}", lots=" ".join(lots)) if lots else phrase("HOLD")


def _until(closed: Iterable[Closure], day: date) -> str:
    """ "HOLD to 18:55", with its day where that is another; "HOLD" where it is not known."""
    ends = [one.until for one in closed]
    known = [end for end in ends if end is not None]
    if not known or len(known) < len(ends):
        return phrase("HOLD")
    last = max(known)
    until = hour_of(last) if last.date() == day else moment_text(last)
    return phrase("HOLD to {until}", until=until)


def _uncut(
    season: Season, timelines: Mapping[str, Timeline], task: Task, day: date
) -> Iterator[tuple[str, str]]:
    """Why what a task would cut may not be cut on a day, each with the lot that it is of; "" for all of the cohort."""
    chore = season.chores.get(task.chore)
    if chore is None or not _is_cutting(chore):
        return
    for name in task.about:
        lots = lots_of_cohort(season, name) if name in season.cohorts else ()
        for lot in (one for one in lots if not is_cut(season, one, day)):
            cut = Pass(id="", date=day, lot=lot.id)
            for fault in official_faults(season, lot, cut):
                yield phrase("do not cut: {fault}", fault=fault.text), lot.id
        if lots and name in timelines:
            for fault in spray_faults(season, timelines[name], Pass(id="", date=day, lot=name)):
                yield phrase("do not cut: {fault}", fault=fault.text), ""


def _is_cutting(chore: Chore) -> bool:
    return HARVEST in (chore.records, stage_of_work(chore)) or (is_next_pass(chore) and not chore.loads_dryer)
