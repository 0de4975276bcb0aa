"""From chores and timelines to tasks: what is to be done on which date."""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from datetime import date, datetime, time, timedelta
from functools import lru_cache
from hashlib import blake2b

from calendar_tui.planning.light import light_over
from calendar_tui.planning.timeline import Timeline
from calendar_tui.season.records import Chore, Season, Task

# No vowels and no figures that look like letters, so that an id is typed as it is read and spells no word.
_LETTERS = "bcdfghjkmnpqrstvwxyz23456789"
_ID_LENGTH = 4
# A repeat that its `until` stage does not stop sooner is stopped here.
MOST_REPEATS = 400


def chore_tasks(season: Season, timeline: Timeline) -> Iterator[Task]:
    """The tasks of one cohort, without ids, in chore order."""
    cohort = timeline.cohort
    for chore in season.chores.values():
        if not applies(season, chore, timeline):
            continue
        for n, day in enumerate(chore_dates(chore, timeline), 1):
            yield Task(
                id="",
                date=day,
                what=chore.what,
                chore=chore.id,
                cohort=cohort.id,
                place=_place_on(timeline, chore, day),
                n=n,
                who=chore.who,
                hours=_hours(chore, timeline),
            )


def applies(season: Season, chore: Chore, timeline: Timeline) -> bool:
    """Whether a chore is one for this cohort: its kind of start, its lamps, and a stage it reaches."""
    cohort = timeline.cohort
    lamps = "lights_off" in timeline.stages or "lights_on" in timeline.stages
    return (
        cohort.start in chore.starts
        and (chore.lamps is None or chore.lamps == lamps)
        and chore.stage in timeline.stages
    )


def chore_dates(chore: Chore, timeline: Timeline) -> tuple[date, ...]:
    """The dates a chore falls on for a cohort, by the likely dates of its stages.

    A repeat runs from stage + offset up to the day before its `until` stage, by the RFC 5545 rule.
    """
    anchor = timeline.likely(chore.stage)
    if anchor is None:
        return ()
    first = anchor + timedelta(days=chore.offset_d)
    if not chore.repeat:
        return (first,)
    end = timeline.likely(chore.until)
    if end is None or end <= first:
        return ()
    return _repeats(chore.repeat, first, end - timedelta(days=1))


@lru_cache(maxsize=4096)
def _repeats(rule: str, first: date, last: date) -> tuple[date, ...]:
    from dateutil.rrule import rrulestr  # 40 ms to import, and only re-planning needs it

    occurrences = rrulestr(rule, dtstart=datetime.combine(first, time())).xafter(
        datetime.combine(first, time()), count=MOST_REPEATS, inc=True
    )
    out = []
    for at in occurrences:
        if at.date() > last:
            break
        out.append(at.date())
    return tuple(out)


def _place_on(timeline: Timeline, chore: Chore, day: date) -> str:
    """Where the work is, to the part of a screened place: with the plants, or at the growing place before they come, as all work on lamps is."""
    if chore.at == "place" or chore.stage in ("lights_on", "lights_off"):
        return timeline.cohort.light
    return light_over(timeline.cohort, timeline.stages, day)


def _hours(chore: Chore, timeline: Timeline) -> float:
    if chore.per == "cohort" or timeline.cohort.plants is None:
        return chore.hours
    return round(chore.hours * timeline.cohort.plants / 100, 2)


def task_id(task: Task, taken: Iterable[str]) -> str:
    """A short id made from what the task is, so that two copies of a season give it the same one."""
    used = set(taken) if not isinstance(taken, set | frozenset) else taken
    salt = 0
    while True:
        name = f"{task.chore}|{task.cohort}|{task.n}|{salt}".encode()
        number = int.from_bytes(blake2b(name, digest_size=8).digest(), "big")
        found = ""
        for _ in range(_ID_LENGTH):
            number, letter = divmod(number, len(_LETTERS))
            found += _LETTERS[letter]
        if found not in used:
            return found
        salt += 1
