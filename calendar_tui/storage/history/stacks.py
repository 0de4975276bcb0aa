"""What stands of the changes in a history, and what is undone: two stacks, the next one to take last."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from datetime import datetime

from calendar_tui.season.edits import Edit, renamed
from calendar_tui.storage.journal.lines import Entry, Step


@dataclass(frozen=True, slots=True)
class Standing:
    """A change, and the step that last put it into the file or took it out.

    n, what: the change's own; step, by, who, when: the step, the number of the entry that it is of, whose, and when.
    """

    n: int
    what: str
    step: Step
    by: int
    who: str
    when: datetime


def stacks(entries: Sequence[Entry]) -> tuple[list[Standing], list[Standing]]:
    """The changes that stand and those that can be redone, the next one last.

    A new change ends what the same person can redo; what others have undone stays theirs to bring back.
    """
    done: list[Standing] = []
    undone: list[Standing] = []
    for entry in entries:
        if entry.is_change:
            done.append(_standing(entry, entry.steps[0], entry.n, entry.what))
            undone[:] = [standing for standing in undone if standing.who != entry.who]
            continue
        for step in entry.steps:
            source, target = (done, undone) if step.undoes is not None else (undone, done)
            target.append(_moved(source, entry, step))
    return done, undone


def _standing(entry: Entry, step: Step, n: int, what: str) -> Standing:
    return Standing(n, what, step, entry.n, entry.who, entry.when)


def _moved(source: list[Standing], entry: Entry, step: Step) -> Standing:
    """Move the change that a step takes or brings back from its stack; it may be a change of an older file."""
    n = step.redoes if step.undoes is None else step.undoes
    at = next((i for i in reversed(range(len(source))) if source[i].n == n), None)
    if at is not None:
        return _standing(entry, step, source[at].n, source.pop(at).what)
    what = entry.what.split(": ", 1)[-1] if len(entry.steps) == 1 else f"change {n}"
    return _standing(entry, step, n or 0, what)


def newer(standing: Standing, done: Sequence[Standing]) -> tuple[Standing, ...]:
    """Those of the changes that were made after another was put in or taken out, the oldest first."""
    return tuple(other for other in later(standing, done) if other.n > standing.n)


def later(standing: Standing, others: Sequence[Standing]) -> tuple[Standing, ...]:
    """Those of the changes that were put in or taken out after another was, the oldest first."""
    return tuple(other for other in others if other.by > standing.by)


def touched_by_both(standing: Standing, other: Standing) -> Edit | None:
    """The first edit of another step that touches a field, or a record as a whole, that this one touches too."""
    mine = standing.step.edits
    return next((edit for edit in other.step.edits if any(_meet(edit, own) for own in mine)), None)


def _meet(one: Edit, other: Edit) -> bool:
    """Whether two edits touch one field; a record that comes, goes or is renamed is all of its fields."""
    if one.kind != other.kind:
        return False
    named = [(edit.ident, renamed(edit)) for edit in (one, other)]
    if any(new is not None for _, new in named):
        return not {*named[0]}.isdisjoint({*named[1]} - {None})
    if one.ident != other.ident:
        return False
    return all(a == b for a, b in zip(one.field, other.field, strict=False))
