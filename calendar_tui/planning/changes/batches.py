"""Batches of the dryer: begun, filled with passes, read, taken out; what may not dry together is refused."""

from __future__ import annotations

from collections.abc import Iterable, Mapping, Sequence
from dataclasses import replace
from datetime import date
from typing import NamedTuple

from calendar_tui.planning.capacity.by_week import DIGITS
from calendar_tui.planning.changes.held_season import HeldSeason
from calendar_tui.planning.changes.proposal import Proposal
from calendar_tui.planning.changes.record_change import add_record, set_fields, set_fields_of_several
from calendar_tui.planning.changes.slips import record_dates
from calendar_tui.planning.changes.ticks import StageDay, tick_edits, ticks_texts
from calendar_tui.planning.clash import Clash
from calendar_tui.planning.cutting.dryer_clashes import NO_ROOM
from calendar_tui.planning.drying.batches import cohort_of
from calendar_tui.planning.drying.mixing import whether_mixed, why_apart
from calendar_tui.planning.drying.room import over_room, weighed_in
from calendar_tui.planning.plan import Plan
from calendar_tui.season.cutting import Pass
from calendar_tui.season.edits import Change, Edit, apply_edits
from calendar_tui.season.lots import cut_through, passes_of
from calendar_tui.season.records import Cohort, Season, Task
from calendar_tui.season.refusal import Refusal
from calendar_tui.season.upgrades import upgraded
from calendar_tui.season.wording import full_day_text


def loading_done(before: Season, after: Season, cohorts: Iterable[str]) -> tuple[Task, ...]:
    """The open task that loads the dryer with passes of each of these cohorts which came into a batch, in order of their dates.

    before, after: the season without these passes in it, and with them. One for several cohorts waits until each has a pass there.
    """
    loads = [t for t in before.tasks if t.chore in before.chores and before.chores[t.chore].loads_dryer]
    done: dict[str, Task] = {}
    for name in cohorts:
        mine = sorted((t for t in loads if t.state == "open" and name in t.about), key=lambda t: t.date)
        done |= {t.id: t for t in mine[:1] if all(_waits_for_load(after, loads, one) for one in t.about)}
    return tuple(done.values())


def _waits_for_load(season: Season, loads: Iterable[Task], cohort: str) -> bool:
    """Whether a cohort was put into the dryer on more days than tasks are ticked for."""
    days = {one.date for one in passes_of(season, cohort) if one.batch}
    return len(days) > sum(t.state == "done" and cohort in t.about for t in loads)


class Started(NamedTuple):
    """A season with a batch begun in it: what adds it, and in words, "" where it was there."""

    held: HeldSeason
    edits: tuple[Edit, ...] = ()
    what: str = ""


def with_new_batch(held: HeldSeason, name: str, day: str, typed: Mapping[str, str] = {}) -> Started:
    """The season with a batch of this name: begun on a day, as typed, where there is none. Raises FieldErrors."""
    if not name or batch_id(held.plan.season, name) is not None:
        return Started(held)
    begun = add_record(held, "batch", name, {"date": day, **typed})
    edits = tuple(e for e in begun.change.edits if e.kind == "batch")
    plan = replace(held.plan, season=begun.plan.season)
    return Started(
        HeldSeason(plan, apply_edits(upgraded(held.data), edits), held.order), edits, f"; batch {name} begins"
    )


def batch_id(season: Season, typed: str) -> str | None:
    """The id of a batch as it is typed, in any case of letters; None where there is none."""
    return next((name for name in season.batches if name.casefold() == typed.casefold()), None)


def fill_batch(held: HeldSeason, name: str, passes: Sequence[str], typed: Mapping[str, str]) -> Proposal:
    """The proposal that puts passes into a batch, which begins with them where it is not there. Raises FieldErrors, Refusal."""
    season = held.plan.season
    for one in (season.passes[p] for p in passes):
        if one.batch and one.batch.casefold() != name.casefold():
            raise Refusal(
                f"{one.id} dries in batch {one.batch} already; take it out there first: set pass {one.id} batch none"
            )
    last = max(season.passes[p].date for p in passes)
    started = with_new_batch(held, name, last.isoformat(), typed)
    name = batch_id(started.held.plan.season, name) or name
    proposal = set_fields_of_several(started.held, "pass", [(p,) for p in passes], {"batch": name})
    after = proposal.plan
    refuse_mixed(after, name, [after.season.passes[p] for p in passes])
    room = batch_doubts(after, name)
    asked = (
        *room,
        *mixing_doubts(after, name, [after.season.passes[p] for p in passes]),
    )
    done = loading_done(
        season, after.season, dict.fromkeys(cohort_of(season, season.passes[p]) for p in passes)
    )
    edits = (*started.edits, *proposal.change.edits, *tick_edits(done, last))
    return replace(
        proposal,
        change=Change(f"{proposal.change.what}{started.what}", edits),
        new_clashes=clashes_without_doubts(proposal, room),
        questions=(*asked, *proposal.questions),
        doubts=(*asked, *proposal.doubts),
        notes=(*ticks_texts(done), *proposal.notes),
    )


def set_batch(held: HeldSeason, name: str, typed: Mapping[str, str]) -> Proposal:
    """The proposal that gives a batch these fields, such as the day it is out, moisture and dry weight. Raises FieldErrors, Refusal."""
    proposal = set_fields(held, "batch", (name,), typed)
    batch = proposal.plan.season.batches[name]
    _refuse_to_come(held.plan.today, batch.out, "a batch is out once it is")
    known = batch_doubts(held.plan, name)
    asked = tuple(text for text in batch_doubts(proposal.plan, name) if text not in known)
    proposal = _with_dried(held.plan, proposal, name)
    return replace(
        proposal,
        new_clashes=clashes_without_doubts(proposal, asked),
        questions=(*asked, *proposal.questions),
        doubts=(*asked, *proposal.doubts),
    )


def _with_dried(plan: Plan, proposal: Proposal, name: str) -> Proposal:
    """With the record that cohorts are dried of which this batch was the last one to come out: what both move, from the plan before."""
    season = proposal.plan.season
    before, after = (_dry(one, name) for one in (plan.season, season))
    new = [StageDay(cohort, "dried", day) for cohort, day in after.items() if cohort not in before]
    if not new:
        return proposal
    # The tasks as they are before: what both move together is worked out once.
    both = record_dates(replace(plan, season=replace(season, tasks=plan.season.tasks)), new)
    edits = (*(e for e in proposal.change.edits if e.kind == "batch"), *both.change.edits)
    return replace(
        both,
        change=Change(f"{proposal.change.what}; {both.change.what}", edits),
        doubts=(*proposal.doubts, *both.doubts),
        questions=(*proposal.questions, *both.questions),
        notes=(*proposal.notes, *both.notes),
    )


def _dry(season: Season, name: str) -> dict[str, date]:
    """The cohorts of a batch that are cut through and all out of the dryer, with the day of the last; not those recorded as dried."""
    own = (cohort_of(season, one) for one in season.passes.values() if one.batch == name)
    outs = {
        cohort: [getattr(season.batches.get(one.batch), "out", None) for one in passes_of(season, cohort)]
        for cohort in dict.fromkeys(own)
        if cut_through(season, cohort) is not None and _waits_to_dry(season.cohorts[cohort])
    }
    return {cohort: max(filter(None, days)) for cohort, days in outs.items() if all(days)}


def _waits_to_dry(cohort: Cohort) -> bool:
    return "harvest" in cohort.recorded and "dried" not in cohort.recorded


def read_batch(held: HeldSeason, name: str, typed: Mapping[str, str]) -> Proposal:
    """The proposal that adds a reading of a batch, today unless a date is typed; its id is made. Raises FieldErrors, Refusal."""
    season = held.plan.season
    taken = {one.casefold() for one in season.readings}
    free = next(f"{name}-{n}" for n in range(1, len(taken) + 2) if f"{name}-{n}".casefold() not in taken)
    proposal = add_record(
        held, "reading", free, {"date": held.plan.today.isoformat(), **typed, "batch": name}
    )
    new = proposal.plan.season.readings[free]
    _refuse_to_come(held.plan.today, new.date, "a reading is recorded once it is read")
    out = season.batches[name].out if name in season.batches else None
    if out is not None and new.date >= out:
        raise Refusal(
            f"{name} is out since {full_day_text(out)}, so nothing is read of it; what it had then goes with it, such as: "
            f"{name} moisture 0.1"
        )
    if new.moisture is None and new.kg is None and new.air_c is None and new.air_humidity is None:
        raise Refusal(
            "a reading has nothing that was read; give moisture, weight, air temperature or air humidity"
        )
    return proposal


def refuse_mixed(plan: Plan, name: str, new: Sequence[Pass]) -> None:
    """Raises Refusal where a pass may not dry with the others of its batch."""
    there = [one for one in plan.season.passes.values() if name and one.batch == name]
    for one in new if there else ():
        if why := why_apart(plan.season, plan.results, there, one):
            raise Refusal(f"{why}; they never dry together: give {one.id} a batch of its own")


def batch_doubts(plan: Plan, name: str) -> tuple[str, ...]:
    """That a batch is more than the dryer holds; nothing for no batch."""
    over = over_room(plan.season, name, plan.today) if name in plan.season.batches else ""
    return (over,) if over else ()


def clashes_without_doubts(proposal: Proposal, doubts: Sequence[str]) -> tuple[str, ...]:
    """The new clashes of a proposal without those of the dryer's room, where `batch_doubts` has asked about it.

    Of a day on which more than the batches is too much, such as a harvest to come, it is told all the same.
    """
    if not doubts:
        return proposal.new_clashes
    asked = {clash.text for clash in proposal.plan.clashes if _is_of_batches(proposal.plan, clash)}
    return tuple(text for text in proposal.new_clashes if text not in asked)


def _is_of_batches(plan: Plan, clash: Clash) -> bool:
    """Whether batches alone are more than the dryer holds."""
    if clash.excess is None or clash.excess.what != "dryer":
        return clash.kind.startswith(NO_ROOM)
    return clash.excess.amount <= round(weighed_in(plan.season, clash.excess.day, plan.today), DIGITS)


def mixing_doubts(plan: Plan, name: str, new: Sequence[Pass]) -> tuple[str, ...]:
    """That the rules do not set whether the lot of a pass may dry with the others of its batch."""
    there = [one for one in plan.season.passes.values() if name and one.batch == name]
    return tuple(filter(None, (whether_mixed(plan.season, there, one) for one in new)))[:1]


def _refuse_to_come(today: date, day: date | None, why: str) -> None:
    if day is not None and day > today:
        raise Refusal(f"{full_day_text(day)} is after today, {full_day_text(today)}; {why}")
