"""Two copies of one season that grew apart, brought together by record and field.

Plain data in, edits and conflicts out. `base` is what both copies came from, `ours` is the copy that takes the edits,
`theirs` the copy they come from. A value that only one side changed is that side's; the same change on both sides is
no conflict. What both changed differently is a conflict: of a field, ours stays; of a record that one side took
away and the other changed, the changed record stays, since nothing that somebody wrote may be lost before a person
decides.
"""

from __future__ import annotations

from collections.abc import Collection, Mapping
from dataclasses import dataclass, field
from datetime import date
from typing import Any, Literal

from calendar_tui.season.edits import TOP, Data, Edit
from calendar_tui.season.kinds import identity
from calendar_tui.season.record_ids import Renamed, aligned_records
from calendar_tui.season.sameness import same
from calendar_tui.season.task_ids import NameTask, TaskKey, aligned_tasks, task_key
from calendar_tui.season.work import LAID_OUT

RecordData = Mapping[str, Any]


@dataclass(frozen=True, slots=True)
class Conflict:
    """What two sides changed differently.

    field: () for a record as a whole; kind TOP: a key at the top of the season, or a table or list as a whole.
    base, ours, theirs: the values, None where there is none. kept: whose value the merged season has.
    """

    kind: str
    ident: tuple[Any, ...]
    field: tuple[str, ...]
    base: Any
    ours: Any
    theirs: Any
    kept: Literal["ours", "theirs"] = "ours"


@dataclass(frozen=True, slots=True)
class Merge:
    """edits: those that bring theirs into ours, in order; conflicts: what a person has to settle.

    laid_out: what re-planning gives of open tasks, and both sides have differently, each with its task's chore, cohort
    and number. Where both have planned it so, what is right follows from the merged dates: these tasks are to be laid
    out anew. Where a person has typed it, it is a conflict. Until that is known, ours stand.
    renamed: records of theirs that have another id now, since ours numbered another so.
    """

    edits: tuple[Edit, ...]
    conflicts: tuple[Conflict, ...]
    laid_out: tuple[tuple[TaskKey, Conflict], ...]
    renamed: tuple[Renamed, ...] = ()

    @property
    def laid_out_twice(self) -> frozenset[TaskKey]:
        """The tasks of `laid_out`."""
        return frozenset(key for key, _ in self.laid_out)


def differences(old: Data, new: Data) -> tuple[Edit, ...]:
    """The edits that lead from one state of a season to another, by record and field; the order of records aside."""
    return merge(old, old, new, lambda task, taken: str(task["id"])).edits


def merge(base: Data, ours: Data, theirs: Data, name_task: NameTask) -> Merge:
    """What brings theirs into ours. name_task: an id for a task of theirs whose id is another task's in ours."""
    base, theirs = aligned_tasks(base, ours, theirs, name_task)
    theirs, renamed = aligned_records(base, ours, theirs)
    merging = _Found()
    for key in dict.fromkeys([*ours, *base, *theirs]):
        _merge_key(merging, key, base.get(key), ours.get(key), theirs.get(key))
    return Merge(tuple(merging.edits), tuple(merging.conflicts), tuple(merging.laid_out), renamed)


@dataclass(slots=True)
class _Found:
    edits: list[Edit] = field(default_factory=list)
    conflicts: list[Conflict] = field(default_factory=list)
    laid_out: list[tuple[TaskKey, Conflict]] = field(default_factory=list)


@dataclass(frozen=True, slots=True)
class _Record:
    """A record in its three states; {} for a base that has none."""

    kind: str
    ident: tuple[Any, ...]
    base: RecordData
    ours: RecordData
    theirs: RecordData


def _put(kind: str, ident: tuple[Any, ...], path: tuple[str, ...], value: Any) -> Edit:
    return Edit("unset" if value is None else "set", kind, ident, path, value)


def _merge_key(merging: _Found, key: str, base: Any, ours: Any, theirs: Any) -> None:
    """Merge what stands under one key at the top; None where nothing does."""
    if same(ours, theirs) or same(base, theirs):
        return
    states = [_by_identity(key, value) for value in (base, ours, theirs)]
    if all(state is not None for state in states):
        _merge_records(merging, key, *(state or {} for state in states))
    elif key != TOP and (tables := _tables(base, ours, theirs)):
        _merge_fields(merging, _Record(key, (), *tables), (), *tables)
    elif same(base, ours):
        merging.edits.append(_put(TOP, (), (key,), theirs))
    else:
        merging.conflicts.append(Conflict(TOP, (), (key,), base, ours, theirs))


def _by_identity(kind: str, value: Any) -> dict[tuple[Any, ...], RecordData] | None:
    """A list of records by identity; None where it is none, or where its records cannot be told apart."""
    if value is None:
        return {}
    if not isinstance(value, list) or not all(isinstance(record, dict) for record in value):
        return None
    records = {}
    for record in value:
        ident = identity(kind, record)
        # Other types may be equal and yet not the same: 1, 1.0 and true.
        if not ident or not all(type(part) in (str, date) for part in ident):
            return None
        records[ident] = record
    return records if len(records) == len(value) else None


_States = Mapping[tuple[Any, ...], RecordData]


def _merge_records(merging: _Found, kind: str, base: _States, ours: _States, theirs: _States) -> None:
    for ident in dict.fromkeys([*ours, *base, *theirs]):
        was, mine, other = base.get(ident), ours.get(ident), theirs.get(ident)
        if same(mine, other) or same(was, other):
            continue
        if mine is not None and other is not None:
            record = _Record(kind, ident, was or {}, mine, other)
            _merge_fields(merging, record, (), record.base, mine, other)
        elif same(was, mine):
            merging.edits.append(_taken(kind, ident, other))
        else:
            _settle_taken_away(
                merging, Conflict(kind, ident, (), was, mine, other, "theirs" if mine is None else "ours")
            )


def _taken(kind: str, ident: tuple[Any, ...], record: RecordData | None) -> Edit:
    """The edit that gives a record theirs' state, whole."""
    if record is None:
        return Edit("remove", kind, ident)
    return Edit("add", kind, ident, (), record)


def _merge_fields(
    merging: _Found,
    of: _Record,
    path: tuple[str, ...],
    base: RecordData,
    ours: RecordData,
    theirs: RecordData,
) -> None:
    """Merge the fields of a record, or of the table at a path in it."""
    for key in dict.fromkeys([*ours, *base, *theirs]):
        was, mine, other = base.get(key), ours.get(key), theirs.get(key)
        if same(mine, other) or same(was, other):
            continue
        at = (*path, key)
        if tables := _tables(was, mine, other):
            _merge_fields(merging, of, at, *tables)
        elif same(was, mine):
            merging.edits.append(_put(of.kind, of.ident, at, other))
        else:
            _settle_field(merging, of, Conflict(of.kind, of.ident, at, was, mine, other))


def _tables(base: Any, ours: Any, theirs: Any) -> tuple[RecordData, RecordData, RecordData] | None:
    """The three states where they are tables to be merged by field; one that only theirs emptied is taken as it is."""
    if not isinstance(ours, dict) or not isinstance(theirs, dict) or (not theirs and same(base, ours)):
        return None
    return base if isinstance(base, dict) else {}, ours, theirs


def _settle_field(merging: _Found, of: _Record, conflict: Conflict) -> None:
    """A field given two values: of one that re-planning gives, the side whose task stands decides, if there is one."""
    key = task_key(of.ours)
    if of.kind != "task" or conflict.field[0] not in LAID_OUT or not (key and task_key(of.theirs)):
        merging.conflicts.append(conflict)
        return
    stands, other_stands = _stands(of.ours), _stands(of.theirs)
    if stands and other_stands:
        merging.conflicts.append(conflict)
    elif other_stands:
        merging.edits.append(_put(of.kind, of.ident, conflict.field, conflict.theirs))
    elif not stands:
        merging.laid_out.append((key, conflict))


def _settle_taken_away(merging: _Found, conflict: Conflict) -> None:
    """A record that one side took away and the other changed: the changed one stays, for a person to decide."""
    changed = conflict.ours or conflict.theirs
    key = _laid_out_key(conflict.kind, conflict.base or {}, changed)
    if key is not None:
        merging.laid_out.append((key, conflict))
        return
    merging.conflicts.append(conflict)
    if conflict.kept == "theirs":
        merging.edits.append(_taken(conflict.kind, conflict.ident, conflict.theirs))


def _stands(task: RecordData) -> bool:
    """Whether re-planning leaves a task alone: it is done, skipped or moved by hand."""
    return task.get("state", "open") != "open" or bool(task.get("moved"))


def _laid_out_key(kind: str, base: RecordData, changed: RecordData) -> TaskKey | None:
    """The key of a task that differs by what re-planning gives alone; None for any other record."""
    key = task_key(base) if kind == "task" else None
    if key is None or _stands(base) or not same(_without_laid_out(base), _without_laid_out(changed)):
        return None
    return key


def _without_laid_out(task: RecordData) -> dict[str, Any]:
    return {key: value for key, value in task.items() if key not in LAID_OUT}


def settled_by_hand(merge_so_far: Merge, typed: Collection[tuple[TaskKey, str]]) -> Merge:
    """A merge in which what a person has typed into open tasks is a conflict, and not laid out anew.

    typed: the tasks and fields that are not as a side's own plan has them; "" for a task that is or is not there.
    """
    fields = {key: {field for of, field in typed if of == key} for key, _ in typed}
    conflicts, edits, rest = list(merge_so_far.conflicts), list(merge_so_far.edits), []
    for key, conflict in merge_so_far.laid_out:
        if (conflict.field and conflict.field[0] not in fields.get(key, ())) or key not in fields:
            rest.append((key, conflict))
            continue
        conflicts.append(conflict)
        if conflict.kept == "theirs":
            edits.append(_taken(conflict.kind, conflict.ident, conflict.theirs))
    return Merge(tuple(edits), tuple(conflicts), tuple(rest), merge_so_far.renamed)
