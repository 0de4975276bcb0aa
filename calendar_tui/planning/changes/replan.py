"""Re-planning: what an edit would move, shown before it is saved, and the change that saves it."""

from __future__ import annotations

from collections.abc import Collection, Iterable, Iterator
from dataclasses import replace
from datetime import date

from calendar_tui.planning.changes.past_days import days_without
from calendar_tui.planning.changes.proposal import Proposal, StageMove, TaskMove
from calendar_tui.planning.changes.task_moves import (
    by_key,
    chore_moves,
    everyone,
    moves_without_ids,
    task_edits,
    task_moves,
    with_moves,
)
from calendar_tui.planning.clash import new_clashes
from calendar_tui.planning.plan import Plan, make_plan
from calendar_tui.planning.tasks.amounts import SEED_FIGURES
from calendar_tui.season.edits import Change, Edit
from calendar_tui.season.records import Cohort, Season, Variety
from calendar_tui.season.wording import day_text


def propose(
    plan: Plan,
    season: Season,
    what: str,
    edits: Iterable[Edit],
    cohorts: tuple[str, ...] = (),
    chores: Collection[str] = (),
    also: Collection[str] = (),
    places: Collection[str] = (),
) -> Proposal:
    """The proposal that takes `plan` to `season`, which is the plan's season with `edits` applied.

    cohorts, chores: what is edited; of chores all their tasks are laid out anew, and no others.
    also: further cohorts whose tasks may differ, though no date of theirs moves. places: lights under which work is shared,
    and under which a cohort stood that is gone.
    """
    after = make_plan(season, plan.today, plan)
    cohort = cohorts[0] if len(cohorts) == 1 else ""
    stages = tuple(_stage_moves(plan, after, cohort))
    touched = (
        {m.cohort for m in stages if is_moved(m)} | set(cohorts) | set(also) | _changed_seed(plan, season)
    )
    tasks = chore_moves(after, chores) if chores else task_moves(after, touched, places)
    after = replace(after, season=replace(season, tasks=with_moves(season.tasks, tasks)))
    return Proposal(
        Change(what, (*edits, *task_edits(tasks))),
        after,
        stages,
        tasks,
        (_growth(plan, cohort), _growth(after, cohort)),
        tuple(c.text for c in new_clashes(plan.clashes, after.clashes)),
        cohorts=cohorts,
        notes=tuple(days_without(plan, tasks)),
        doubts=_trial_doubts(plan.season, season),
    )


def _trial_doubts(before: Season, after: Season) -> tuple[str, ...]:
    if not after.plots:
        return ()
    from calendar_tui.planning.trial_doubts import new_doubts  # few seasons have trials

    return new_doubts(before, after)


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
    return task_moves(plan, everyone(plan))


def differing_without_ids(plan: Plan) -> tuple[TaskMove, ...]:
    """The same in no order, and new tasks without ids: all that it takes to count them."""
    return tuple(moves_without_ids(plan, everyone(plan)))


def refresh(plan: Plan) -> Proposal:
    """The proposal that updates the saved tasks to the plan; no date moves."""
    tasks = differing_tasks(plan)
    change = Change("saved tasks updated to the plan", task_edits(tasks))
    notes = (*doubled_texts(plan, tasks), *days_without(plan, tasks), *overdue_at_once(tasks, plan.today))
    return Proposal(change, plan, (), tasks, notes=notes)


def doubled_texts(plan: Plan, moves: Iterable[TaskMove]) -> Iterator[str]:
    """That tasks fall away because the file has them twice."""
    _, second = by_key(t for t in plan.season.tasks if t.chore)
    gone = {move.task.id for move in moves if move.new is None}
    if count := sum(t.id in gone for t in second):
        yield (
            f"{count} of these tasks {'is' if count == 1 else 'are'} in the file twice: same chore, cohort or place, and "
            f"number; the one that is done, moved or has a note stays, else the first"
        )


def new_before(moves: Iterable[TaskMove], today: date) -> int:
    """How many of these are new tasks that lie before today."""
    return sum(move.old is None and move.task.date < today for move in moves)


def overdue_at_once(moves: Iterable[TaskMove], today: date) -> Iterator[str]:
    """That new tasks lie before today."""
    if count := new_before(moves, today):
        one = count == 1
        yield (
            f"{count} new {'task lies' if one else 'tasks lie'} before today, {day_text(today)}, and "
            f"{'is' if one else 'are'} overdue at once; tick or skip what is not to be done"
        )


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


def with_dates(season: Season, cohort: Cohort) -> Season:
    """The season with this cohort in place of the one of its id."""
    return replace(season, cohorts={**season.cohorts, cohort.id: cohort})
