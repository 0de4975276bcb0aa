"""What a later list of starter chores changes for a season: compared, taken over with its tasks, or left as it is."""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Mapping, Sequence
from dataclasses import dataclass, replace
from typing import Any

from calendar_tui.planning.changes.chore_change import (
    KEYS,
    chore_edits,
    chore_table,
    propose_chores,
    typed_text,
    written,
)
from calendar_tui.planning.changes.proposal import Proposal
from calendar_tui.planning.changes.replan import propose
from calendar_tui.planning.plan import Plan
from calendar_tui.season.edits import Edit
from calendar_tui.season.records import Chore, Season
from calendar_tui.season.wording import stage_text

FIRST_LIST = 1
# Chores that a change is named by; of more it tells how many.
_NAMED = 4
KINDS = ("new", "changed", "dropped")
# Set by the program in a season, and in no list.
_NOT_LISTED = ("since",)


@dataclass(frozen=True, slots=True)
class FieldChange:
    """A field of a chore as the earlier list had it, as the season has it, and as the later list has it; None for none."""

    key: str
    shipped: Any
    own: Any
    now: Any


@dataclass(frozen=True, slots=True)
class StarterChange:
    """A chore that is new in the later list, changed, or dropped. edited: it is not as the earlier list had it, so that
    something of one's own would give way. fields: of a changed one, those in which it would change.
    """

    id: str
    kind: str
    what: str
    edited: bool = False
    fields: tuple[FieldChange, ...] = ()


def starter_changes(
    chores: Mapping[str, Chore], seen: Mapping[str, Chore], latest: Mapping[str, Chore]
) -> tuple[StarterChange, ...]:
    """How the latest list differs from the one seen before, where that makes a difference to a season's chores.

    A chore that was taken out of the season is not offered again; a field that both lists have alike is the season's.
    """
    changes = []
    for name, now in latest.items():
        own, shipped = chores.get(name), seen.get(name)
        if own is None and shipped is None:
            changes.append(StarterChange(name, "new", now.what))
        elif own is not None and (fields := tuple(_field_changes(own, shipped or own, now))):
            edited = any(f.own != f.shipped for f in fields) or shipped is None
            changes.append(StarterChange(name, "changed", now.what, edited, fields))
    for name, shipped in seen.items():
        if name not in latest and name in chores:
            edited = replace(chores[name], since=None) != shipped
            changes.append(StarterChange(name, "dropped", chores[name].what, edited))
    return tuple(changes)


def _field_changes(own: Chore, shipped: Chore, now: Chore) -> Iterator[FieldChange]:
    for key, field in KEYS.items():
        if key in _NOT_LISTED:
            continue
        mine, before, after = (getattr(chore, field.name) for chore in (own, shipped, now))
        if mine != after and (before != after or own is shipped):
            yield FieldChange(key, written(before), written(mine), written(after))


def counts_text(changes: Iterable[StarterChange]) -> str:
    """ "29 new chores, 33 changed and 1 dropped"; without those that there are none of."""
    kinds = [change.kind for change in changes]
    counts = [(n, kind) for kind in KINDS if (n := kinds.count(kind))]
    words = [f"{n} {kind}" for n, kind in counts]
    if counts:
        words[0] += " chore" if counts[0][0] == 1 else " chores"
    return " and ".join(part for part in (", ".join(words[:-1]), *words[-1:]) if part)


def reminder(season: Season, changes: Sequence[StarterChange], seen: Mapping[str, Chore], latest: int) -> str:
    """One line while a later list has something for a season that started from an earlier one; else "".

    latest: the number of the later list.
    """
    started = any(name in seen and chore.what == seen[name].what for name, chore in season.chores.items())
    if not changes or not started or (season.starter_list or FIRST_LIST) >= latest:
        return ""
    return f"starter list {latest} has {counts_text(changes)} for this season: calendar-tui chores --starter"


def take_over(
    plan: Plan, changes: Sequence[StarterChange], latest: Mapping[str, Chore], number: int, *, whole: bool
) -> Proposal:
    """The proposal that takes these changes of the latest list over, with every task that comes, moves or falls away.

    number: of the list. whole: nothing else of it is left to take, so that the season has seen it.
    """
    chores, edits = dict(plan.season.chores), list[Edit]()
    for change in changes:
        edits += _taken(chores, change, latest)
    season = replace(plan.season, chores=chores)
    if whole:
        season = replace(season, starter_list=number)
        edits.append(_seen(number))
    names = [c.id for c in changes]
    which = ", ".join(names) if len(names) <= _NAMED else f"{len(names)} chores"
    what = f"from starter list {number}: {which}"
    proposal = propose_chores(plan, season, what, edits, names)
    lost = _unrecorded(plan.season.chores, chores, latest)
    return replace(proposal, notes=(*_given_way(changes), *lost, *proposal.notes))


def _taken(chores: dict[str, Chore], change: StarterChange, latest: Mapping[str, Chore]) -> list[Edit]:
    """The edits that take one change over; the chores are changed with it."""
    ident = (change.id,)
    if change.kind == "dropped":
        del chores[change.id]
        return [Edit("remove", "chore", ident)]
    now, own = latest[change.id], chores.get(change.id)
    if own is None:
        chores[change.id] = now
        return [Edit("add", "chore", ident, (), chore_table(now))]
    names = [KEYS[field.key].name for field in change.fields]
    chores[change.id] = replace(own, **{name: getattr(now, name) for name in names})
    return chore_edits(own, chores[change.id])


def _given_way(changes: Iterable[StarterChange]) -> Iterator[str]:
    """Which figures of one's own would give way."""
    for change in changes:
        own = [f for f in change.fields if f.own != f.shipped]
        if own:
            fields = ", ".join(f"{f.key} {_value(f.own)} -> {_value(f.now)}" for f in own)
            yield f"yours gives way: {change.id} {fields}"
        elif change.kind == "dropped" and change.edited:
            yield f"yours gives way: {change.id} was changed here and is taken away"


def _unrecorded(
    before: Mapping[str, Chore], after: Mapping[str, Chore], latest: Mapping[str, Chore]
) -> Iterator[str]:
    """Stages that a tick recorded before and no tick records after, with the chore of the list that does."""
    recorded = {chore.records for chore in before.values()} - {chore.records for chore in after.values()}
    for stage in sorted(recorded):
        does = next((name for name, chore in latest.items() if chore.records == stage), "")
        yield f"no chore records {stage_text(stage)} then" + (
            f": take one over that does, such as {does}" if does else ""
        )


def _value(value: Any) -> str:
    return typed_text(value) or "none"


def keep_own(plan: Plan, number: int) -> Proposal:
    """The proposal that leaves the chores as they are and ends the reminder of this list."""
    season = replace(plan.season, starter_list=number)
    return propose(plan, season, f"starter list {number} seen, chores kept as they are", [_seen(number)])


def _seen(number: int) -> Edit:
    return Edit("set", "season", (), ("starter_list",), number)
