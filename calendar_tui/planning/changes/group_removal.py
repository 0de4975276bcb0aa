"""Several records taken out: one proposal, saved and undone as one."""

from __future__ import annotations

from collections.abc import Sequence

from calendar_tui.planning.changes.held_season import HeldSeason, Ident
from calendar_tui.planning.changes.proposal import Proposal, StageMove, TaskMove
from calendar_tui.planning.changes.record_notes import label
from calendar_tui.planning.changes.removal import remove_record
from calendar_tui.planning.clash import new_clashes
from calendar_tui.season.edits import Change, apply_edits
from calendar_tui.season.upgrades import upgraded
from calendar_tui.season.wording import some_text


def remove_records(held: HeldSeason, kind: str, idents: Sequence[Ident]) -> Proposal:
    """The proposal that takes these records out, one after the other. Raises Refusal."""
    at, parts = held, list[Proposal]()
    for ident in idents:
        parts.append(remove_record(at, kind, ident))
        data = apply_edits(upgraded(at.data), parts[-1].change.edits)
        at = HeldSeason(parts[-1].plan, data, held.order)
    if len(parts) == 1:
        return parts[0]
    names = some_text([label(kind, ident) for ident in idents])
    return _joined(held, f"{kind}s {names} taken out", parts)


def _joined(held: HeldSeason, what: str, parts: Sequence[Proposal]) -> Proposal:
    """Proposals of which each goes on from the one before, as one."""
    edits = tuple(edit for part in parts for edit in part.change.edits)
    last = parts[-1].plan
    return Proposal(
        Change(what, edits),
        last,
        tuple(_stages(parts)),
        tuple(_tasks(parts)),
        new_clashes=tuple(c.text for c in new_clashes(held.plan.clashes, last.clashes)),
        notes=tuple(dict.fromkeys(text for part in parts for text in part.notes)),
    )


def _stages(parts: Sequence[Proposal]) -> list[StageMove]:
    """Each stage from before the first to behind the last."""
    moves: dict[tuple[str, str], StageMove] = {}
    for move in (m for part in parts for m in part.stages):
        first = moves.get((move.cohort, move.stage), move)
        moves[move.cohort, move.stage] = StageMove(move.cohort, move.stage, first.old, move.new)
    there = parts[-1].plan.timelines
    return [m for m in moves.values() if m.cohort in there]


def _tasks(parts: Sequence[Proposal]) -> list[TaskMove]:
    """Each task from before the first to behind the last."""
    moves: dict[str, TaskMove] = {}
    for move in (m for part in parts for m in part.tasks):
        first = moves.get(move.task.id, move)
        moves[move.task.id] = TaskMove(first.old, move.new)
    real = [m for m in moves.values() if m.old is not None or m.new is not None]
    return sorted(real, key=lambda m: (m.task.date, m.task.about, m.task.what))
