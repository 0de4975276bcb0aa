"""From chores and timelines to tasks: what is to be done on which date."""

from __future__ import annotations

from collections.abc import Callable, Collection, Hashable, Iterable, Iterator, Mapping, Sequence
from datetime import date
from functools import partial
from hashlib import blake2b
from itertools import groupby
from typing import NamedTuple

from calendar_tui.planning.laying_out.timeline import Timeline
from calendar_tui.planning.tasks.amounts import amount_for, hours_for
from calendar_tui.planning.tasks.chore_dates import (
    Spell,
    after_planting,
    applies,
    chore_dates,
    in_kind,
    in_nursery,
    is_next_pass,
    place_on,
    repeats,
    span_of,
    spells,
)
from calendar_tui.planning.tasks.samplings import cuts_by_plan, rounds
from calendar_tui.planning.tasks.working_days import DayBounds, Put, kept, put
from calendar_tui.season.records import Chore, Cohort, Season, Task
from calendar_tui.season.task_ids import TaskKey, whose

# No vowels and no figures that look like letters, so that an id is typed as it is read and spells no word.
_LETTERS = "bcdfghjkmnpqrstvwxyz23456789"
_ID_LENGTH = 4
_TRIES_A_LENGTH = 64
# Work that is together wherever the cohorts stand: what those have alike that have one task.
GROUPS: Mapping[str, Callable[[Cohort, date], Hashable]] = {
    "variety": lambda cohort, day: (cohort.variety, cohort.start),
    "day": lambda cohort, day: day,
}
# By chore, the cohorts of each of its tasks.
Together = Mapping[str, Sequence[tuple[str, ...]]]
_FIRST_OR_LAST: Mapping[str, Callable[[Iterable[date]], date]] = {"first": min, "last": max}


def first_made(season: Season, chore: Chore) -> date:
    """The day before which no task of a chore is newly made."""
    return max(chore.since or date.min, season.since or date.min)


def chore_tasks(season: Season, timeline: Timeline) -> Iterator[Task]:
    """The tasks of one cohort alone, without ids, in chore order."""
    for chore in season.chores.values():
        if chore.together or not applies(season, chore, timeline):
            continue
        if cuts_by_plan(season, chore, timeline.cohort.id):
            continue
        span = span_of(chore, timeline)
        if span is None:
            continue
        within = kept(chore, *span)
        dates = [(day, within) for day in chore_dates(chore, timeline)]
        by_place: dict[str, _Needs] = {}
        # Numbered before those are left out that fall where there is no such work: a task keeps its number. Each pass has its next.
        begins = max(len(timeline.cut_on), 1) if is_next_pass(chore) else 1
        for n, at in enumerate(_put_all(season, chore, dates), begins):
            if in_kind(season, chore, timeline, at.day):
                place = place_on(timeline, chore, at.day)
                if place not in by_place:
                    by_place[place] = _needs(season, chore, [timeline], place)
                yield _task(chore, at, n, place, timeline.cohort.id, by_place[place])


def shared_tasks(
    season: Season,
    timelines: Mapping[str, Timeline],
    places: Collection[str],
    standing: Collection[Task] = (),
) -> Iterator[Task]:
    """The tasks that several cohorts have together at these places, "" for the season as a whole; without ids.

    standing: tasks that are done, skipped or moved by hand: they stand as they are, and others do not join them.
    """
    settled = {(t.chore, name) for t in standing if t.cohort for name in t.about}
    near = [t for t in timelines.values() if any(name in places for name in t.cohort.lights)]
    here = [t for t in near if _grows_in(t, places)]
    saved, shared = _saved_rhythms(season, places), _open_together(season)
    if "" in places:
        for chore in season.chores.values():
            if chore.together == "season":
                yield from _season_tasks(season, chore, timelines)
            elif chore.together in GROUPS:
                yield from _group_tasks(season, chore, timelines, settled, shared)
        yield from _round_tasks(season, timelines, standing)
    for chore in season.chores.values():
        if chore.together == "place":
            kin = here
            if not after_planting(chore):
                kin = [t for t in near if _grows_in(t, places) or in_nursery(chore, t)]
            found = [
                s
                for t in kin
                if applies(season, chore, t) and not _is_recorded(chore, t)
                for s in spells(season, chore, t)
                if s.place in places
            ]
            if chore.once:
                yield from _place_once(season, chore, timelines, found, standing)
                continue
            if not chore.repeat:
                found = [s for s in found if (chore.id, s.cohort) not in settled]
            for place, spells_there in _by_place(found).items():
                if chore.repeat:
                    rhythm = _rhythm(chore, spells_there, saved.get((chore.id, place), frozenset()))
                    yield from _place_repeats(season, chore, timelines, spells_there, tuple(rhythm))
                else:
                    yield from _place_dates(season, chore, timelines, spells_there, shared)


def _grows_in(timeline: Timeline, places: Collection[str]) -> bool:
    return any(name in places for name in timeline.cohort.growing_lights)


def _is_recorded(chore: Chore, timeline: Timeline) -> bool:
    """Whether the stage that shared work records is recorded of a cohort already: the others have it yet to come."""
    return chore.records in timeline.cohort.recorded


def _open_together(season: Season) -> Together:
    """By chore that records a stage, the cohorts of each saved task that is open."""
    records = {chore.id for chore in season.chores.values() if chore.records and chore.together}
    shared: dict[str, list[tuple[str, ...]]] = {}
    for task in season.tasks:
        if task.chore in records and task.state == "open":
            shared.setdefault(task.chore, []).append(task.about)
    return shared


def _sharing(
    chore: Chore, timelines: Mapping[str, Timeline], left: Sequence[Spell], shared: Together
) -> list[Timeline]:
    """The cohorts of a shared task, in file order: those that have the work yet to come, and those that shared it with them.

    Of work that records a stage these stay in the task, so that it is the same work whether they are recorded at once or
    one by one.
    """
    names = {spell.cohort for spell in left}
    mates = {name for about in shared.get(chore.id, ()) if not names.isdisjoint(about) for name in about}
    names |= {name for name in mates & timelines.keys() if _is_recorded(chore, timelines[name])}
    return [timeline for name, timeline in timelines.items() if name in names]


def _by_place(found: Iterable[Spell]) -> dict[str, list[Spell]]:
    places: dict[str, list[Spell]] = {}
    for spell in found:
        places.setdefault(spell.place, []).append(spell)
    return places


def _season_tasks(season: Season, chore: Chore, timelines: Mapping[str, Timeline]) -> Iterator[Task]:
    """One rhythm, or one date, for the whole season; these tasks name neither cohorts nor place."""
    found = [s for t in timelines.values() if applies(season, chore, t) for s in spells(season, chore, t)]
    if not found:
        return
    if chore.repeat:
        rhythm = [(n, day, _around(chore, covering)) for n, day, covering in _rhythm(chore, found)]
    else:
        day = _FIRST_OR_LAST[chore.season_cohort](s.first for s in found)
        rhythm = [(1, day, kept(chore, day, day))]
    for_all = [timelines[name] for name in dict.fromkeys(s.cohort for s in found)]
    dates = _put_all(season, chore, [(day, within) for _, day, within in rhythm])
    needs = _needs(season, chore, for_all, "")
    for (n, _, _), at in zip(rhythm, dates, strict=True):
        yield _task(chore, at, n, "", "", needs)


def _group_tasks(
    season: Season,
    chore: Chore,
    timelines: Mapping[str, Timeline],
    settled: Collection[tuple[str, str]],
    shared: Together,
) -> Iterator[Task]:
    """One task a group of cohorts, known by the first of them in the file, so that it stays the same one when dates move.

    Where the work stands for some of a group, the others have it yet to come; but not if it comes once, with the first.
    """
    groups: dict[Hashable, list[Spell]] = {}
    for timeline in timelines.values():
        if applies(season, chore, timeline) and not _is_recorded(chore, timeline):
            for spell in spells(season, chore, timeline):
                groups.setdefault(GROUPS[chore.together](timeline.cohort, spell.first), []).append(spell)
    for group in groups.values():
        left = [s for s in group if (chore.id, s.cohort) not in settled]
        if left and (left == group or chore.once != "first"):
            day = _FIRST_OR_LAST[chore.season_cohort](s.first for s in left)
            places = {s.place for s in left}
            place = places.pop() if len(places) == 1 else ""
            for_all = _sharing(chore, timelines, left, shared)
            needs = _needs(season, chore, for_all, place)
            at = put(season, chore, day, kept(chore, day, day))
            yield _task(chore, at, 1, place, for_all[0].cohort.id, needs)


def _round_tasks(
    season: Season, timelines: Mapping[str, Timeline], standing: Collection[Task]
) -> Iterator[Task]:
    """One task a round in which bags are cut, whatever cohorts they are of; it is known by its day."""
    cutting = [chore for chore in season.chores.values() if cuts_by_plan(season, chore)]
    for chore in cutting:
        for n, cut in rounds(season, chore, timelines, standing):
            of = [timelines[name] for name in cut.cohorts]
            where = {t.stay_on(cut.day).light for t in of}
            place = where.pop() if len(where) == 1 else ""
            hours = hours_for(season, chore, [t.cohort for t in of], place)
            needs = _Needs(cut.cohorts, hours, amount_for(season, chore, of, {"bags": len(cut.bags)}))
            at = put(season, chore, cut.day, kept(chore, cut.day, cut.day))
            why = "; ".join(filter(None, (cut.why, at.why)))
            yield _task(chore, at._replace(why=why), n, place, "", needs)


def _place_once(
    season: Season,
    chore: Chore,
    timelines: Mapping[str, Timeline],
    found: Sequence[Spell],
    standing: Collection[Task],
) -> Iterator[Task]:
    """One task a place, known by the place, so that it stays the same one whichever cohort is the first or the last.

    Work after the last cohort that is done, skipped or moved by hand stands for the cohorts it names; others have a next one.
    """
    closed_at: dict[str, list[Task]] = {}
    for task in standing if chore.once == "last" else ():
        if (task.chore, task.cohort) == (chore.id, ""):
            closed_at.setdefault(task.place, []).append(task)
    for place, spells_there in _by_place(found).items():
        closed = closed_at.get(place, [])
        done_for = {name for t in closed for name in t.about}
        here = [s for s in spells_there if s.cohort not in done_for]
        if here:
            day = _FIRST_OR_LAST[chore.once](s.first for s in here)
            needs = _needs(season, chore, [timelines[s.cohort] for s in here], place)
            yield _task(
                chore, put(season, chore, day, kept(chore, day, day)), len(closed) + 1, place, "", needs
            )


def _place_repeats(
    season: Season,
    chore: Chore,
    timelines: Mapping[str, Timeline],
    found: Sequence[Spell],
    rhythm: Sequence[tuple[int, date, list[Spell]]],
) -> Iterator[Task]:
    """The repeated work of one place: one rhythm from its first cohort on; `n` counts on while nothing stands there."""
    dates = _put_all(season, chore, [(day, _around(chore, covering)) for _, day, covering in rhythm])
    place, needs, before = found[0].place, None, None
    for (n, _, covering), at in zip(rhythm, dates, strict=True):
        if needs is None or covering != before:
            needs = _needs(season, chore, [timelines[spell.cohort] for spell in covering], place)
        before = covering
        yield _task(chore, at, n, place, "", needs)


def _saved_rhythms(
    season: Season, places: Collection[str]
) -> dict[tuple[str, str], frozenset[tuple[int, date]]]:
    """By chore and place, of these places, the numbers and dates that the saved tasks of its repeated work have."""
    repeated = {chore.id for chore in season.chores.values() if chore.repeat and chore.together}
    saved: dict[tuple[str, str], set[tuple[int, date]]] = {}
    for task in [t for t in season.tasks if t.chore in repeated and t.place in places]:
        saved.setdefault((task.chore, task.place), set()).add((task.n, task.date))
    return {key: frozenset(dates) for key, dates in saved.items()}


def _rhythm(
    chore: Chore, found: Sequence[Spell], saved: frozenset[tuple[int, date]] = frozenset()
) -> Iterator[tuple[int, date, list[Spell]]]:
    """Each date of a repeat, counted from 1, with the spells it falls into; dates in none of them are passed over.

    It is counted from where the first spell was planned, so that others keep their dates when that one slips; where all
    were planned for one date they slip together, and the rhythm with them. saved: the numbers and dates of saved tasks:
    of two rhythms the one stands that more of these have.
    """
    first, last = min(s.first for s in found), max(s.last for s in found)
    dates = repeats(chore.repeat, first, last)
    if len(plans := {s.planned for s in found}) > 1 and (planned := min(first, *plans)) < first:
        kept_ones = repeats(chore.repeat, planned, last)
        dates = max(kept_ones, dates, key=partial(_likeness, saved))
    for n, day in enumerate(dates, 1):
        if covering := [s for s in found if s.first <= day <= s.last]:
            yield n, day, covering


def _likeness(saved: frozenset[tuple[int, date]], days: Sequence[date]) -> int:
    """How well a rhythm fits the saved tasks: those on its dates count most, those a working day beside them half."""
    dates = dict(enumerate(days, 1))
    apart = [abs((day - dates[n]).days) for n, day in saved if n in dates]
    return 2 * apart.count(0) + apart.count(1)


def _around(chore: Chore, covering: Sequence[Spell]) -> DayBounds:
    return kept(chore, min(s.first for s in covering), max(s.last for s in covering))


def _place_dates(
    season: Season,
    chore: Chore,
    timelines: Mapping[str, Timeline],
    found: Sequence[Spell],
    shared: Together,
) -> Iterator[Task]:
    """Work that comes once: one task for the cohorts of a place that need it on one date, known by its first cohort."""
    for day, group in groupby(sorted(found, key=lambda s: s.first), key=lambda s: s.first):
        here = _sharing(chore, timelines, list(group), shared)
        at = put(season, chore, day, kept(chore, day, day))
        place = found[0].place
        yield _task(chore, at, 1, place, here[0].cohort.id, _needs(season, chore, here, place))


def _put_all(season: Season, chore: Chore, dates: Sequence[tuple[date, DayBounds]]) -> list[Put]:
    """Each date on a working day, and no two on one where there is another."""
    taken = {day for day, _ in dates}
    out = []
    for day, within in dates:
        at = put(season, chore, day, within, taken)
        taken.add(at.day)
        out.append(at)
    return out


class _Needs(NamedTuple):
    """What a chore takes for some cohorts, the same on each of its dates."""

    cohorts: tuple[str, ...]
    hours: float
    amount: str


def _needs(season: Season, chore: Chore, timelines: Sequence[Timeline], place: str) -> _Needs:
    cohorts = [t.cohort for t in timelines]
    return _Needs(
        tuple(c.id for c in cohorts),
        hours_for(season, chore, cohorts, place),
        amount_for(season, chore, timelines),
    )


def _task(chore: Chore, at: Put, n: int, place: str, cohort: str, needs: _Needs) -> Task:
    """The task of a chore on a date. cohort: the one it is known by, or "" where it is known by its place."""
    named = () if chore.together == "season" or needs.cohorts == (cohort,) else needs.cohorts
    return Task(
        id="",
        date=at.day,
        what=chore.what,
        chore=chore.id,
        cohort=cohort,
        cohorts=named,
        place=place,
        n=n,
        who=chore.who,
        hours=needs.hours,
        amount=needs.amount,
        why=at.why,
    )


def task_key(task: Task) -> TaskKey:
    """What a task made by a chore is known by: its chore, its cohort (else its place), and its number."""
    return task.chore, whose(task.cohort, task.place), task.n


def task_id(task: Task, taken: Iterable[str]) -> str:
    """A short id made from what the task is, so that two copies of a season give it the same one."""
    used = set(taken) if not isinstance(taken, set | frozenset) else taken
    salt = 0
    while True:
        name = f"{task.chore}|{whose(task.cohort, task.place)}|{task.n}|{salt}".encode()
        number = int.from_bytes(blake2b(name, digest_size=8).digest(), "big")
        found = ""
        # Ids grow longer where those of the usual length run out.
        for _ in range(_ID_LENGTH + salt // _TRIES_A_LENGTH):
            number, letter = divmod(number, len(_LETTERS))
            found += _LETTERS[letter]
        if found not in used:
            return found
        salt += 1
