"""A record taken out with what is only its own: proposed with all that goes, refused where something stands on it."""

from __future__ import annotations

from collections.abc import Callable, Iterator, Mapping, Sequence
from collections.abc import Set as AbstractSet
from dataclasses import replace

from calendar_tui.planning.changes.held_season import HeldSeason, Ident
from calendar_tui.planning.changes.proposal import Proposal, TaskMove
from calendar_tui.planning.changes.record_notes import label
from calendar_tui.planning.changes.record_proposal import checked_season, proposed
from calendar_tui.planning.changes.record_questions import record_questions
from calendar_tui.planning.changes.task_moves import with_moves
from calendar_tui.season.edits import TOP, Edit
from calendar_tui.season.kind_words import kinds_text
from calendar_tui.season.kinds import BY_NAME, GOES, STANDS, identity_keys
from calendar_tui.season.records import Task
from calendar_tui.season.references import counting_edits, references
from calendar_tui.season.refusal import Refusal
from calendar_tui.season.upgrades import upgraded
from calendar_tui.season.wording import some_text, stage_text


def remove_records(held: HeldSeason, kind: str, idents: Sequence[Ident]) -> Proposal:
    """The proposal that takes records of a kind out in one change; () is the identity of a table that stands once.

    Raises Refusal.
    """
    for ident in idents:
        _refuse(held, kind, ident)
    edits = [edit for ident in idents for edit in _edits(held, kind, ident)]
    season = checked_season(held, edits, {}, {})
    names = " ".join(label(kind, ident).removeprefix(kind).strip() for ident in idents)
    what = f"{kinds_text(kind, len(idents))} {names}".strip()
    proposal = proposed(held, season, f"{what} taken out", edits, kind, idents)
    proposal = _with_own_tasks(held, proposal, kind, idents)
    notes = [note for ident in idents for note in _notes(held, kind, ident)]
    asked = record_questions(held, season, kind, idents)
    return replace(
        proposal,
        notes=(*notes, *proposal.notes),
        doubts=(*asked, *proposal.doubts),
        questions=(*asked, *proposal.questions),
    )


def _refuse(held: HeldSeason, kind: str, ident: Ident) -> None:
    if not held.record(kind, ident):
        raise Refusal(f"the season has no {label(kind, ident)} to take out")
    if BY_NAME[kind].needed:
        raise Refusal(f"no season is without its {kind}; change its fields instead")
    _refuse_stood_on(held, kind, ident)


def _edits(held: HeldSeason, kind: str, ident: Ident) -> Iterator[Edit]:
    if not identity_keys(kind):
        yield Edit("unset", TOP, (), (kind,))
        return
    yield Edit("remove", kind, ident)
    for ref in _along(held, kind, ident):
        yield Edit("remove", ref[0], ref[1])
    yield from counting_edits(upgraded(held.data), kind, str(ident[0]))


# --- what stands on a record, and what goes with it

# By the kind that is to go, and the kind that rests on it: the verb for one and for several, and what would be right.
_STANDING: Mapping[tuple[str, str], tuple[tuple[str, str], str]] = {
    **{
        ("place", of): (("stands in", "stand in"), "give them another place, or take them out first")
        for of in ("cohort", "draft")
    },
    **{
        ("variety", of): (("is of", "are of"), "give them another variety, or take them out first")
        for of in ("cohort", "draft")
    },
}


def _named_text(kind: str) -> tuple[tuple[str, str], str]:
    return ("names", "name"), f"name another {kind} there, or take them out first"


def _refuse_stood_on(held: HeldSeason, kind: str, ident: Ident) -> None:
    by_kind: dict[str, list[str]] = {}
    gone = [(kind, ident), *_along(held, kind, ident)]
    refs = dict.fromkeys(ref for name in gone for ref in _refs(held, *name, STANDS) if ref not in gone)
    for of, name in refs:
        by_kind.setdefault(of, []).append(" ".join(map(str, name)))
    for of, names in by_kind.items():
        one = len(names) == 1
        what = f"{kinds_text(of, len(names))} {some_text(names)}"
        verb, right = _STANDING.get((kind, of)) or _named_text(kind)
        right = right.replace("them", "it") if one else right
        raise Refusal(f"{what} {verb[0] if one else verb[1]} {ident[0]}, so it stays; {right}")


def _refs(held: HeldSeason, kind: str, ident: Ident, when_gone: str) -> list[tuple[str, Ident]]:
    named = references(upgraded(held.data), kind, str(ident[0])) if ident else ()
    return list(dict.fromkeys((r.naming.kind, r.ident) for r in named if r.naming.when_gone == when_gone))


def _along(held: HeldSeason, kind: str, ident: Ident) -> list[tuple[str, Ident]]:
    return _refs(held, kind, ident, GOES)


def _with_own_tasks(held: HeldSeason, proposal: Proposal, kind: str, idents: Sequence[Ident]) -> Proposal:
    """The proposal without the tasks that were for these records alone: done ones too, and those added by hand."""
    if kind not in _OWNS:
        return proposal
    gone = {move.task.id for move in proposal.tasks if move.new is None}
    owns, names = _OWNS[kind], {str(ident[0]) for ident in idents}
    rest = [t for t in proposal.plan.season.tasks if t.id not in gone and owns(t, names)]
    moves = [TaskMove(task, None) for task in rest]
    edits = (*proposal.change.edits, *(Edit("remove", "task", (task.id,)) for task in rest))
    season = proposal.plan.season
    plan = replace(proposal.plan, season=replace(season, tasks=with_moves(season.tasks, moves)))
    tasks = sorted((*proposal.tasks, *moves), key=lambda m: (m.task.date, m.task.about, m.task.what))
    return replace(proposal, change=replace(proposal.change, edits=edits), plan=plan, tasks=tuple(tasks))


_OWNS: Mapping[str, Callable[[Task, AbstractSet[str]], bool]] = {
    "cohort": lambda task, names: bool(task.about) and names >= set(task.about),
    "place": lambda task, names: task.place.split(" ")[0] in names and not task.about,
}


# --- in words


def _notes(held: HeldSeason, kind: str, ident: Ident) -> Iterator[str]:
    whose = f"with {label(kind, ident)}"
    recorded = held.record(kind, ident).get("recorded", {}) if kind == "cohort" else {}
    if recorded:
        stages = ", ".join(map(stage_text, recorded))
        yield f"{whose} goes what was recorded of it: {stages}; the history keeps it, and undo brings it back"
    owns = _OWNS.get(kind)
    settled = [t for t in held.plan.season.tasks if owns and owns(t, {str(ident[0])}) and t.state != "open"]
    if settled:
        yield f"{whose} {'goes 1 task that is' if len(settled) == 1 else f'go {len(settled)} tasks that are'} done or skipped"
    if along := _along(held, kind, ident):
        names = [f"{of} {label(of, name).removeprefix(of).strip()}" for of, name in along]
        yield f"{whose} {'goes' if len(names) == 1 else 'go'} {some_text(names)}"
