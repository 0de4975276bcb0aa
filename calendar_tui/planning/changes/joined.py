"""Two proposals, the second made from the plan that the first leads to, as one: saved and undone together."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import replace

from calendar_tui.planning.changes.proposal import Proposal, StageMove, TaskMove
from calendar_tui.planning.changes.replan import is_moved
from calendar_tui.planning.clash import new_clashes
from calendar_tui.planning.plan import Plan
from calendar_tui.season.edits import Change


def joined(plan: Plan, first: Proposal, second: Proposal, what: str) -> Proposal:
    """What both come to, before and after. plan: before the first. what: the sentence that names the change."""
    edits = (*first.change.edits, *second.change.edits)
    return replace(
        second,
        change=Change(what, edits),
        stages=_stages(first, second),
        tasks=_tasks(first, second),
        growth_d=(first.growth_d[0], second.growth_d[1]),
        new_clashes=tuple(clash.text for clash in new_clashes(plan.clashes, second.plan.clashes)),
        doubts=_both(first.doubts, second.doubts),
        questions=_both(first.questions, second.questions),
        evidence=_both(first.evidence, second.evidence),
        notes=_both(first.notes, second.notes),
        verdicts=_both(first.verdicts, second.verdicts),
        cohorts=_both(first.cohorts, second.cohorts),
    )


def _both(first: Iterable[str], second: Iterable[str]) -> tuple[str, ...]:
    return tuple(dict.fromkeys((*first, *second)))


def _stages(first: Proposal, second: Proposal) -> tuple[StageMove, ...]:
    moves = {(m.cohort, m.stage): m for m in first.stages}
    for move in second.stages:
        before = moves.get((move.cohort, move.stage))
        moves[move.cohort, move.stage] = (
            StageMove(move.cohort, move.stage, before.old, move.new) if before is not None else move
        )
    edited = {*first.cohorts, *second.cohorts}
    alone = edited if len(edited) == 1 else ()
    return tuple(m for m in moves.values() if m.cohort in alone or is_moved(m))


def _tasks(first: Proposal, second: Proposal) -> tuple[TaskMove, ...]:
    moves = {m.task.id: m for m in first.tasks}
    for move in second.tasks:
        before = moves.get(move.task.id)
        moves[move.task.id] = TaskMove(before.old, move.new) if before is not None else move
    there = (m for m in moves.values() if m.old != m.new)
    return tuple(sorted(there, key=lambda m: (m.task.date, m.task.about, m.task.what)))
