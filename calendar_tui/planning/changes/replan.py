"""Re-planning: what an edit would move, shown before it is saved, and the change that saves it."""

from __future__ import annotations

from collections.abc import Collection, Iterable, Iterator, Mapping
from collections.abc import Set as AbstractSet
from dataclasses import dataclass, replace
from datetime import date
from operator import attrgetter
from typing import Any

from calendar_tui.planning.changes.due_dates import as_it_was_due, is_too_late
from calendar_tui.planning.laying_out.stages import StageDate
from calendar_tui.planning.plan import Plan, make_plan
from calendar_tui.planning.tasks.amounts import SEED_FIGURES
from calendar_tui.planning.tasks.by_chore import (
    GROUPS,
    chore_tasks,
    first_made,
    shared_tasks,
    task_id,
    task_key,
)
from calendar_tui.planning.wording import day_text
from calendar_tui.season.edits import Change, Edit
from calendar_tui.season.records import Chore, Cohort, Season, Task, Variety
from calendar_tui.season.task_ids import TaskKey
from calendar_tui.season.work import LAID_OUT


@dataclass(frozen=True, slots=True)
class StageMove:
    """A stage of a cohort before and after; None where it is not there."""

    cohort: str
    stage: str
    old: StageDate | None
    new: StageDate | None


@dataclass(frozen=True, slots=True)
class TaskMove:
    """A task before and after; None before: a new task; None after: it falls away."""

    old: Task | None
    new: Task | None

    @property
    def task(self) -> Task:
        found = self.new or self.old
        assert found is not None
        return found


@dataclass(frozen=True, slots=True)
class Proposal:
    """What would be saved, and what would move.

    stages: every stage of the edited cohort, moved or not, and the moved stages of the others.
        cohort: the edited one, "" where several are. growth_d: days of growth before induction of the edited cohort, before and after.
    verdicts: what it comes to, in a line for each cohort; told first. doubts: why a date may be mistyped.
        evidence: what a record says about the variety and its other cohorts. notes: what to know of the change itself.
    """

    change: Change
    plan: Plan
    stages: tuple[StageMove, ...]
    tasks: tuple[TaskMove, ...]
    growth_d: tuple[int | None, int | None] = (None, None)
    new_clashes: tuple[str, ...] = ()
    doubts: tuple[str, ...] = ()
    evidence: tuple[str, ...] = ()
    notes: tuple[str, ...] = ()
    verdicts: tuple[str, ...] = ()
    cohort: str = ""


def propose(
    plan: Plan,
    season: Season,
    what: str,
    edits: Iterable[Edit],
    cohort: str = "",
    chores: Collection[str] = (),
) -> Proposal:
    """The proposal that takes `plan` to `season`, which is the plan's season with `edits` applied.

    cohort, chores: what is edited; of chores all their tasks are laid out anew, and no others.
    """
    after = make_plan(season, plan.today, plan)
    stages = tuple(_stage_moves(plan, after, cohort))
    touched = (
        {m.cohort for m in stages if is_moved(m)}
        | ({cohort} if cohort else set())
        | _changed_seed(plan, season)
    )
    tasks = _chore_moves(after, chores) if chores else task_moves(after, touched)
    after = replace(after, season=replace(season, tasks=_moved_tasks(season.tasks, tasks)))
    known = {(c.kind, c.cohorts) for c in plan.clashes}
    return Proposal(
        Change(what, (*edits, *task_edits(tasks))),
        after,
        stages,
        tasks,
        (_growth(plan, cohort), _growth(after, cohort)),
        tuple(c.text for c in after.clashes if (c.kind, c.cohorts) not in known),
        cohort=cohort,
    )


def _changed_seed(plan: Plan, season: Season) -> set[str]:
    """The cohorts of varieties of which other seeds, cuttings and trays are needed than before."""
    old, new = plan.season.varieties, season.varieties
    if old is new:
        return set()
    changed = {name for name in new if name not in old or _seed(old[name]) != _seed(new[name])}
    return {c.id for c in season.cohorts.values() if c.variety in changed}


def _seed(variety: Variety) -> tuple[object, ...]:
    return tuple(getattr(variety, key) for key in SEED_FIGURES)


def differing_tasks(plan: Plan) -> tuple[TaskMove, ...]:
    """How the saved tasks of the season differ from those of the plan."""
    return task_moves(plan, _everyone(plan))


def differing_without_ids(plan: Plan) -> tuple[TaskMove, ...]:
    """The same in no order, and new tasks without ids: all that it takes to count them."""
    return tuple(_moves_without_ids(plan, _everyone(plan)))


def refresh(plan: Plan) -> Proposal:
    """The proposal that updates the saved tasks to the plan; no date moves."""
    tasks = differing_tasks(plan)
    change = Change("saved tasks updated to the plan", task_edits(tasks))
    notes = (*doubled_texts(plan, tasks), *_overdue_at_once(tasks, plan.today))
    return Proposal(change, plan, (), tasks, notes=notes)


def doubled_texts(plan: Plan, moves: Iterable[TaskMove]) -> Iterator[str]:
    """That tasks fall away because the file has them twice."""
    _, second = _by_key(t for t in plan.season.tasks if t.chore)
    gone = {move.task.id for move in moves if move.new is None}
    if count := sum(t.id in gone for t in second):
        yield (
            f"{count} of these tasks {'is' if count == 1 else 'are'} in the file twice: same chore, cohort or place, and "
            f"number; the one that is done, moved or has a note stays, else the first"
        )


def new_before(moves: Iterable[TaskMove], today: date) -> int:
    """How many of these are new tasks that lie before today."""
    return sum(move.old is None and move.task.date < today for move in moves)


def _overdue_at_once(moves: Iterable[TaskMove], today: date) -> Iterator[str]:
    if count := new_before(moves, today):
        one = count == 1
        yield (
            f"{count} new {'task lies' if one else 'tasks lie'} before today, {day_text(today)}, and "
            f"{'is' if one else 'are'} overdue at once; tick or skip what is not to be done"
        )


def _everyone(plan: Plan) -> set[str]:
    """Every cohort there is, and every one that a saved task names."""
    return set(plan.timelines) | {name for t in plan.season.tasks for name in t.about}


def _chore_moves(plan: Plan, chores: Collection[str]) -> tuple[TaskMove, ...]:
    return tuple(move for move in task_moves(plan, _everyone(plan)) if move.task.chore in chores)


def _growth(plan: Plan, cohort: str) -> int | None:
    return plan.timelines[cohort].growth_d if cohort in plan.timelines else None


def _stage_moves(before: Plan, after: Plan, edited: str) -> Iterable[StageMove]:
    for name in after.timelines:
        old = before.timelines[name].stages if name in before.timelines else {}
        new = after.timelines[name].stages
        if old is new:
            continue
        for stage in {**new, **{s: d for s, d in old.items() if s not in new}}:
            move = StageMove(name, stage, old.get(stage), new.get(stage))
            if name == edited or is_moved(move):
                yield move


def is_moved(move: StageMove) -> bool:
    if move.old is None or move.new is None:
        return True
    return (move.old.range, move.old.status, move.old.dates) != (
        move.new.range,
        move.new.status,
        move.new.dates,
    )


def task_moves(plan: Plan, cohorts: AbstractSet[str]) -> tuple[TaskMove, ...]:
    """How the saved tasks of these cohorts differ from the plan's, in date order; of a place they share, all its tasks.

    Done, skipped and hand-moved tasks and tasks without a chore stand. Open ones move, fall away or are new; those that
    come before a stage that is recorded keep the date on which they were due. Of one saved twice the second falls away.
    """
    moves = _with_ids(plan.season, _moves_without_ids(plan, cohorts))
    return tuple(sorted(moves, key=lambda m: (m.task.date, m.task.about, m.task.what)))


def _moves_without_ids(plan: Plan, cohorts: AbstractSet[str]) -> Iterator[TaskMove]:
    """The moves, in no order, with new tasks that have no ids yet: as many as there are, and quicker to count."""
    theirs, places = _theirs(plan, cohorts)
    saved, doubles = _by_key(theirs)
    stand = [t for t in theirs if not _untouched(t)]
    new_ones: list[Task] = []
    for new in _laid_out(plan, cohorts, places, stand):
        old = saved.pop(task_key(new), None)
        if old is None:
            new_ones.append(new)
        elif _untouched(old) and _differs(old, new):
            due = as_it_was_due(plan, old, new)
            if _differs(old, due):
                yield TaskMove(old, replace(due, id=old.id, note=old.note))
    yield from (TaskMove(None, new) for new in _added(plan, new_ones))
    yield from (TaskMove(old, None) for old in (*saved.values(), *doubles) if _untouched(old))


def _with_ids(season: Season, moves: Iterable[TaskMove]) -> Iterator[TaskMove]:
    """The moves with an id of its own for each new task."""
    taken = {t.id for t in season.tasks}
    for move in moves:
        if move.old is None and move.new is not None:
            added = replace(move.new, id=task_id(move.new, taken))
            taken.add(added.id)
            yield TaskMove(None, added)
        else:
            yield move


def _untouched(task: Task) -> bool:
    """Whether a task is as it was laid out: neither done, nor skipped, nor moved by hand."""
    return task.state == "open" and not task.moved


def _by_key(tasks: Iterable[Task]) -> tuple[dict[TaskKey, Task], list[Task]]:
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
    found = {""} if cohorts else set()
    for name in cohorts:
        if name in plan.season.cohorts:
            cohort = plan.season.cohorts[name]
            found |= {cohort.light, cohort.nursery or cohort.light}
    return found | {t.place for t in saved if t.cohorts and not cohorts.isdisjoint(t.cohorts)}


def _theirs(plan: Plan, cohorts: AbstractSet[str]) -> tuple[list[Task], set[str]]:
    """The saved tasks that may change when these cohorts, and the places they share, are laid out anew; and the places."""
    shared = {chore.id for chore in plan.season.chores.values() if chore.together}
    everywhere = {c.id for c in plan.season.chores.values() if c.together in GROUPS} if cohorts else set()
    near = [
        t for t in plan.season.tasks if t.cohort in cohorts or not t.cohort or t.cohorts or t.chore in shared
    ]
    places = _places_of(plan, cohorts, near)
    theirs = [
        t
        for t in near
        if t.chore
        and (
            t.cohort in cohorts
            or t.chore in everywhere
            or (t.place in places and (not t.cohort or t.chore in shared))
            or not cohorts.isdisjoint(t.cohorts)
        )
    ]
    return theirs, places


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
    found: dict[tuple[str, str, bool], date] = {}
    for task in tasks:
        if task.state != "open":
            for name in task.about:
                key = (task.chore, name, bool(task.cohort))
                found[key] = max(found.get(key, task.date), task.date)
    return found


def _done_otherwise(chore: Chore, task: Task, settled: Settled) -> bool:
    """Whether a new task is from before its chore's work was put together, or apart, and was done then.

    What comes once with the first cohort is done once it was done for any.
    """
    if not settled:
        return False
    dates = [settled[key] for name in task.about if (key := (task.chore, name, not task.cohort)) in settled]
    return bool(dates) and (chore.once == "first" or task.date <= max(dates))


_laid = attrgetter(*LAID_OUT)


def _differs(old: Task, new: Task) -> bool:
    return _laid(old) != _laid(new)


def _moved_tasks(saved: tuple[Task, ...], moves: Iterable[TaskMove]) -> tuple[Task, ...]:
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


def with_dates(season: Season, cohort: Cohort) -> Season:
    """The season with this cohort in place of the one of its id."""
    return replace(season, cohorts={**season.cohorts, cohort.id: cohort})
