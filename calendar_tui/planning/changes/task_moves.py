"""What a plan makes of the saved tasks: which move, come and fall away, and the edits that save it."""

from __future__ import annotations

from collections.abc import Callable, Collection, Iterable, Iterator, Mapping
from collections.abc import Set as AbstractSet
from dataclasses import replace
from datetime import date
from operator import attrgetter
from typing import Any

from calendar_tui.planning.changes.due_dates import as_it_was_due, is_too_late
from calendar_tui.planning.changes.past_days import joins_only_waiting_crops, passed_over
from calendar_tui.planning.changes.proposal import TaskMove
from calendar_tui.planning.plan import Plan
from calendar_tui.planning.tasks.by_chore import (
    GROUPS,
    chore_tasks,
    first_made,
    shared_tasks,
    task_id,
    task_key,
)
from calendar_tui.planning.tasks.samplings import cuts_by_plan, is_in_plan
from calendar_tui.season.edits import Edit
from calendar_tui.season.records import Chore, Season, Task
from calendar_tui.season.task_ids import TaskKey
from calendar_tui.season.work import LAID_OUT


def chore_moves(plan: Plan, chores: Collection[str]) -> tuple[TaskMove, ...]:
    return tuple(move for move in task_moves(plan, everyone(plan)) if move.task.chore in chores)


def task_moves(plan: Plan, cohorts: AbstractSet[str], places: Collection[str] = ()) -> tuple[TaskMove, ...]:
    """How the saved tasks of these cohorts differ from the plan's, in date order; of a place they share, all its tasks.

    Done, skipped and hand-moved tasks and tasks without a chore stand. Open ones move, fall away or are new; those that
    come before a stage that is recorded keep the date on which they were due. Of one saved twice the second falls away.
    places: where besides.
    """
    moves = _with_ids(plan.season, moves_without_ids(plan, cohorts, places))
    return tuple(sorted(moves, key=lambda m: (m.task.date, m.task.about, m.task.what)))


def moves_without_ids(
    plan: Plan, cohorts: AbstractSet[str], more_places: Collection[str] = ()
) -> Iterator[TaskMove]:
    """The moves, in no order, with new tasks that have no ids yet: as many as there are, and quicker to count."""
    theirs, places = _theirs(plan, cohorts, more_places)
    saved, doubles = by_key(theirs)
    stand = [t for t in theirs if not _untouched(t)]
    new_ones: list[Task] = []
    for new in _laid_out(plan, cohorts, places, stand):
        old = saved.pop(task_key(new), None)
        if old is None:
            new_ones.append(new)
        elif _untouched(old) and _differs(old, new) and not joins_only_waiting_crops(plan, old, new):
            due = as_it_was_due(plan, old, new)
            if _differs(old, due):
                yield TaskMove(old, replace(due, id=old.id, note=old.note))
    gone = passed_over(plan, new_ones, saved.values())
    yield from (TaskMove(None, new) for new in _added(plan, new_ones) if new not in gone)
    asked = {
        id(old) for old in saved.values() if any(joins_only_waiting_crops(plan, old, new) for new in gone)
    }
    left = (old for old in (*saved.values(), *doubles) if id(old) not in asked)
    yield from (TaskMove(old, None) for old in left if _untouched(old))


def _with_ids(season: Season, moves: Iterable[TaskMove]) -> Iterator[TaskMove]:
    """The moves with an id of its own for each new task."""
    taken: set[str] = set()
    for move in moves:
        if move.old is None and move.new is not None:
            # There are thousands of tasks, and often none is new.
            taken = taken or {t.id for t in season.tasks}
            added = replace(move.new, id=task_id(move.new, taken))
            taken.add(added.id)
            yield TaskMove(None, added)
        else:
            yield move


def _untouched(task: Task) -> bool:
    """Whether a task is as it was laid out: neither done, nor skipped, nor moved by hand."""
    return task.state == "open" and not task.moved


def by_key(tasks: Iterable[Task]) -> tuple[dict[TaskKey, Task], list[Task]]:
    """The tasks by what they are known by, and the second ones of a key: of two the one that was worked on is the first."""
    first: dict[TaskKey, Task] = {}
    second = []
    for task in tasks:
        other = first.setdefault(task_key(task), task)
        if other is not task:
            kept, left = (task, other) if _worked_on(task) > _worked_on(other) else (other, task)
            first[task_key(task)] = kept
            second.append(left)
    return first, second


def _worked_on(task: Task) -> tuple[bool, bool, bool]:
    return task.state != "open", task.moved, bool(task.note)


def _added(plan: Plan, new_ones: Iterable[Task]) -> Iterator[Task]:
    """The new tasks, but for those whose work was done in another form, is before its chore, or comes too late."""
    season = plan.season
    settled = _settled(season.tasks)
    begins = {chore.id: first_made(season, chore) for chore in season.chores.values()}
    for new in new_ones:
        if new.date < begins[new.chore] or is_too_late(plan, new):
            continue
        if not _done_otherwise(season.chores[new.chore], new, settled):
            yield new


def _places_of(plan: Plan, cohorts: AbstractSet[str], saved: Iterable[Task]) -> set[str]:
    """Where these cohorts stand, and stood when the tasks were saved; "" for work of the whole season."""
    places = {""} if cohorts else set()
    for name in cohorts:
        if name in plan.season.cohorts:
            places |= set(plan.season.cohorts[name].lights)
    return places | {t.place for t in saved if t.cohorts and not cohorts.isdisjoint(t.cohorts)}


def _theirs(
    plan: Plan, cohorts: AbstractSet[str], more_places: Collection[str]
) -> tuple[list[Task], set[str]]:
    """The saved tasks that may change when these cohorts, and the places they share, are laid out anew; and the places."""
    chores, on_trips = plan.season.chores.values(), _work_of_trips(plan.season)
    shared = {chore.id for chore in chores if chore.together}
    everywhere = {c.id for c in chores if c.together in GROUPS}
    near = [
        t
        for t in plan.season.tasks
        if t.cohort in cohorts or not t.cohort or t.cohorts or t.chore in shared or on_trips(t)
    ]
    places = _places_of(plan, cohorts, near) | set(more_places)
    theirs = [
        t
        for t in near
        if t.chore
        and (
            t.cohort in cohorts
            or (cohorts and (t.chore in everywhere or on_trips(t)))
            or (t.place in places and (not t.cohort or t.chore in shared or on_trips(t)))
            or not cohorts.isdisjoint(t.cohorts)
        )
    ]
    return theirs, places


def _work_of_trips(season: Season) -> Callable[[Task], bool]:
    """Whether a saved task is of a trip on which bags are cut: for cohorts that no plan names the same chore is their own."""
    trips = {chore.id for chore in season.chores.values() if cuts_by_plan(season, chore)}
    return lambda t: t.chore in trips and (not t.cohort or is_in_plan(season, t.cohort))


def _laid_out(
    plan: Plan, cohorts: AbstractSet[str], places: AbstractSet[str], stand: Collection[Task]
) -> Iterator[Task]:
    for name, timeline in plan.timelines.items():
        if name in cohorts:
            yield from chore_tasks(plan.season, timeline)
    yield from shared_tasks(plan.season, plan.timelines, places, stand)


Settled = Mapping[tuple[str, str, bool], date]


def _settled(tasks: Iterable[Task]) -> Settled:
    """The last date of a task done or skipped, by chore, cohort, and whether the task is known by its cohort."""
    last_dates: dict[tuple[str, str, bool], date] = {}
    for task in tasks:
        if task.state != "open":
            for name in task.about:
                key = (task.chore, name, bool(task.cohort))
                last_dates[key] = max(last_dates.get(key, task.date), task.date)
    return last_dates


def _done_otherwise(chore: Chore, task: Task, settled: Settled) -> bool:
    """Whether a new task is from before its chore's work was put together, or apart, and was done then.

    What comes once with the first cohort is done once it was done for any.
    """
    if not settled:
        return False
    dates = [settled[key] for name in task.about if (key := (task.chore, name, not task.cohort)) in settled]
    return bool(dates) and (chore.once == "first" or task.date <= max(dates))


def _differs(old: Task, new: Task) -> bool:
    return _laid(old) != _laid(new)


def with_moves(saved: tuple[Task, ...], moves: Iterable[TaskMove]) -> tuple[Task, ...]:
    """The tasks as they are after the moves."""
    after = {move.task.id: move.new for move in moves if move.old is not None}
    kept = [new for t in saved if (new := after.get(t.id, t)) is not None]
    return (*kept, *(move.new for move in moves if move.old is None and move.new is not None))


def task_edits(moves: Iterable[TaskMove]) -> tuple[Edit, ...]:
    """The edits that save these moves."""
    out: list[Edit] = []
    for move in moves:
        if move.new is None:
            out.append(Edit("remove", "task", (move.task.id,)))
        elif move.old is None:
            out.append(Edit("add", "task", (move.new.id,), (), _as_table(move.new)))
        else:
            out += _field_edits(move.old, move.new)
    return tuple(out)


def _field_edits(old: Task, new: Task) -> list[Edit]:
    ident = (old.id,)
    out = []
    for key in LAID_OUT:
        value = getattr(new, key)
        if getattr(old, key) != value:
            out.append(
                Edit("unset", "task", ident, (key,))
                if value in ("", 0.0, ())
                else Edit("set", "task", ident, (key,), value)
            )
    return out


def _as_table(task: Task) -> Mapping[str, Any]:
    pairs = (
        ("id", task.id),
        ("date", task.date),
        ("what", task.what),
        ("cohort", task.cohort),
        ("cohorts", task.cohorts),
        ("place", task.place),
        ("chore", task.chore),
        ("n", task.n),
        ("who", task.who),
        ("hours", task.hours),
        ("amount", task.amount),
        ("why", task.why),
    )
    return {key: value for key, value in pairs if value not in ("", 0.0, ())}


def everyone(plan: Plan) -> set[str]:
    """Every cohort there is, and every one that a saved task names."""
    return set(plan.timelines) | {name for t in plan.season.tasks for name in t.about}


_laid = attrgetter(*LAID_OUT)
