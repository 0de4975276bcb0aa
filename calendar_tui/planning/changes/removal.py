"""A record taken out with what is only its own: proposed with all that goes, refused where something stands on it."""

from __future__ import annotations

from collections.abc import Callable, Iterator, Mapping
from dataclasses import replace

from calendar_tui.planning.changes.held_season import HeldSeason, Ident, Record
from calendar_tui.planning.changes.proposal import Proposal, TaskMove
from calendar_tui.planning.changes.record_notes import label
from calendar_tui.planning.changes.record_proposal import checked_season, proposed
from calendar_tui.planning.changes.task_moves import with_moves
from calendar_tui.season.edits import TOP, Edit
from calendar_tui.season.kinds import BY_NAME, GOES, STANDS, identity_keys
from calendar_tui.season.records import Task
from calendar_tui.season.references import counting_edits, references
from calendar_tui.season.refusal import Refusal
from calendar_tui.season.upgrades import upgraded
from calendar_tui.season.wording import some_text, stage_text


def remove_record(held: HeldSeason, kind: str, ident: Ident) -> Proposal:
    """The proposal that takes a record out; () is the identity of a table that stands once. Raises Refusal."""
    record = held.record(kind, ident)
    if not record:
        raise Refusal(f"the season has no {label(kind, ident)} to take out")
    if BY_NAME[kind].needed:
        raise Refusal(f"no season is without its {kind}; change its fields instead")
    _refuse_stood_on(held, kind, ident)
    edits = [*_edits(held, kind, ident)]
    season = checked_season(held, edits, {}, {})
    proposal = proposed(held, season, f"{_named(kind, ident)} taken out", edits, kind, [ident])
    proposal = _with_own_tasks(held, proposal, kind, ident)
    return replace(proposal, notes=(*_notes(held, kind, ident, record), *proposal.notes))


def _named(kind: str, ident: Ident) -> str:
    name = label(kind, ident)
    return name if name.startswith(kind) else f"{kind} {name}"


def _edits(held: HeldSeason, kind: str, ident: Ident) -> Iterator[Edit]:
    if not identity_keys(kind):
        yield Edit("unset", TOP, (), (kind,))
        return
    yield Edit("remove", kind, ident)
    for ref in _along(held, kind, ident):
        yield Edit("remove", ref[0], ref[1])
    yield from counting_edits(upgraded(held.data), kind, str(ident[0]))


# --- what stands on a record, and what goes with it

_STANDING: Mapping[str, tuple[tuple[str, str], str]] = {
    "place": (("stands in", "stand in"), "give them another place, or take them out first"),
    "variety": (("is of", "are of"), "give them another variety, or take them out first"),
}


def _refuse_stood_on(held: HeldSeason, kind: str, ident: Ident) -> None:
    by_kind: dict[str, list[str]] = {}
    for of, (name, *_) in _refs(held, kind, ident, STANDS):
        by_kind.setdefault(of, []).append(str(name))
    for of, names in by_kind.items():
        one = len(names) == 1
        what = f"{of}{'' if one else 's'} {some_text(names)}"
        verb, right = _STANDING[kind]
        right = right.replace("them", "it") if one else right
        raise Refusal(f"{what} {verb[0] if one else verb[1]} {ident[0]}, so it stays; {right}")


def _refs(held: HeldSeason, kind: str, ident: Ident, when_gone: str) -> list[tuple[str, Ident]]:
    named = references(upgraded(held.data), kind, str(ident[0])) if ident else ()
    return list(dict.fromkeys((r.naming.kind, r.ident) for r in named if r.naming.when_gone == when_gone))


def _along(held: HeldSeason, kind: str, ident: Ident) -> list[tuple[str, Ident]]:
    return _refs(held, kind, ident, GOES)


def _with_own_tasks(held: HeldSeason, proposal: Proposal, kind: str, ident: Ident) -> Proposal:
    """The proposal without the tasks that were for this record alone: done ones too, and those added by hand."""
    if kind not in _OWNS:
        return proposal
    gone = {move.task.id for move in proposal.tasks if move.new is None}
    owns = _OWNS[kind]
    rest = [t for t in proposal.plan.season.tasks if t.id not in gone and owns(t, str(ident[0]))]
    moves = [TaskMove(task, None) for task in rest]
    edits = (*proposal.change.edits, *(Edit("remove", "task", (task.id,)) for task in rest))
    season = proposal.plan.season
    plan = replace(proposal.plan, season=replace(season, tasks=with_moves(season.tasks, moves)))
    tasks = sorted((*proposal.tasks, *moves), key=lambda m: (m.task.date, m.task.about, m.task.what))
    return replace(proposal, change=replace(proposal.change, edits=edits), plan=plan, tasks=tuple(tasks))


_OWNS: Mapping[str, Callable[[Task, str], bool]] = {
    "cohort": lambda task, name: task.about == (name,),
    "place": lambda task, name: task.place.split(" ")[0] == name and not task.about,
}


# --- in words


def _notes(held: HeldSeason, kind: str, ident: Ident, record: Record) -> Iterator[str]:
    if kind == "cohort" and record.get("recorded"):
        stages = ", ".join(map(stage_text, record["recorded"]))
        yield f"with it goes what was recorded of it: {stages}; the history keeps it, and undo brings it back"
    done = [
        t
        for t in held.plan.season.tasks
        if kind in _OWNS and _OWNS[kind](t, str(ident[0])) and t.state != "open"
    ]
    if done:
        yield f"with it {'goes 1 task that is' if len(done) == 1 else f'go {len(done)} tasks that are'} done or skipped"
    if along := _along(held, kind, ident):
        names = [
            label(of, name) if of == "programme" else f"{of} {label(of, name).removeprefix(of).strip()}"
            for of, name in along
        ]
        yield f"with it {'goes' if len(names) == 1 else 'go'} {some_text(names)}"
