"""A round of cutting recorded: with its weights, the batch it dries in, and, where it is the last, the harvest of its cohort."""

from __future__ import annotations

import re
from collections.abc import Iterator, Mapping, Sequence
from dataclasses import replace
from datetime import date

from calendar_tui.planning.changes.batches import (
    batch_doubts,
    clashes_without_doubts,
    loading_done,
    mixing_doubts,
    refuse_mixed,
    with_new_batch,
)
from calendar_tui.planning.changes.held_season import HeldSeason
from calendar_tui.planning.changes.proposal import Proposal
from calendar_tui.planning.changes.record_change import add_record
from calendar_tui.planning.changes.record_proposal import checked_season, proposed
from calendar_tui.planning.changes.slips import record_dates
from calendar_tui.planning.changes.ticks import StageDay, tick_edits, ticks_texts
from calendar_tui.planning.cutting.made_cuts import cut_faults
from calendar_tui.planning.drying.batches import cohort_of
from calendar_tui.planning.laying_out.last_pass import days_of_passes
from calendar_tui.planning.plan import Plan
from calendar_tui.planning.tasks.chore_dates import is_next_pass
from calendar_tui.season.cutting import Pass
from calendar_tui.season.edits import Change
from calendar_tui.season.lots import cut_through, lot_within, rules_for
from calendar_tui.season.measures import WEIGHT_UNITS, measured, unit_shown
from calendar_tui.season.records import Season, Task
from calendar_tui.season.refusal import Refusal
from calendar_tui.season.wording import day_text, full_day_text


def record_pass(held: HeldSeason, lot: str, typed: Mapping[str, str]) -> Proposal:
    """The proposal that adds a pass of a lot, today unless a date is typed; its id is made from the lot's.

    A batch that is not there yet begins with it. The last pass of a cohort's lots records its harvest. typed: by the names of
    the fields. Raises FieldErrors, Refusal.
    """
    typed = {"date": held.plan.today.isoformat(), **typed, "lot": lot}
    started = with_new_batch(held, typed.get("batch", ""), typed["date"])
    name = next_pass_id(held.plan.season, lot)
    added = add_record(started.held, "pass", name, typed)
    season = added.plan.season
    new = season.passes[name]
    _refuse(held.plan.today, new)
    refuse_mixed(added.plan, new.batch, [new])
    edits = (*started.edits, *(e for e in added.change.edits if e.kind == "pass"))
    before = started.held.plan.season
    done = (*_work_of(before, season, new), *loading_done(before, season, [cohort_of(season, new)]))
    proposal = _with_work(started.held, added, new, done)
    moved = tuple(e for e in proposal.change.edits if e.kind not in ("pass", "batch"))
    room = batch_doubts(added.plan, new.batch)
    asked = (
        *pass_doubts(held.plan, season, new),
        *room,
        *mixing_doubts(added.plan, new.batch, [new]),
    )
    what = f"{proposal.change.what}{started.what}"
    return replace(
        proposal,
        change=Change(what, (*edits, *moved)),
        # What is asked about need not be told as a clash too.
        new_clashes=tuple(
            text for text in clashes_without_doubts(proposal, room) if not text.endswith(asked)
        ),
        questions=(*asked, *proposal.questions),
        doubts=(*asked, *proposal.doubts),
        notes=(*_notes(season, new), *ticks_texts(done), *proposal.notes),
    )


def next_pass_id(season: Season, lot: str) -> str:
    """The next free id of a pass of a lot: "A1-1", "A1-2"."""
    taken = {name.casefold() for name in season.passes}
    return next(name for n in range(1, len(taken) + 2) if (name := f"{lot}-{n}").casefold() not in taken)


def _refuse(today: date, new: Pass) -> None:
    if new.date > today:
        raise Refusal(
            f"{full_day_text(new.date)} is after today, {full_day_text(today)}; a pass is recorded once it is cut"
        )


def _work_of(before: Season, season: Season, new: Pass) -> tuple[Task, ...]:
    """The open task that a pass is the work of, none where its day has been ticked: the harvest's, then that of the next pass.

    The harvest's own goes with the record of the harvest, where the pass is the last, or no chore has the next pass as its work.
    before: the season without the pass.
    """
    cohort, chores = cohort_of(season, new), before.chores
    again = {name for name, chore in chores.items() if is_next_pass(chore) and not chore.loads_dryer}
    if new.date in days_of_passes(before, cohort) or not again:
        return ()
    mine = [t for t in before.tasks if t.about == (cohort,) and t.chore in chores]
    harvest = [t for t in mine if chores[t.chore].records == "harvest" and t.state != "done"]
    if harvest and cut_through(season, cohort) is not None:
        return ()
    left = [t for t in harvest if t.state == "open"] or [
        t for t in mine if t.state == "open" and t.chore in again
    ]
    return tuple(sorted(left, key=lambda t: t.date)[:1])


def _with_work(held: HeldSeason, added: Proposal, new: Pass, done: Sequence[Task]) -> Proposal:
    """With the task of the pass ticked, and with the record of the harvest, where this pass is the last of its cohort."""
    season, plan = added.plan.season, held.plan
    cohort = cohort_of(season, new)
    day = cut_through(season, cohort)
    if new.last and day is not None:
        return _with_harvest(plan, added, StageDay(cohort, "harvest", day), done, new.date)
    if not done:
        return added
    edits = (*(e for e in added.change.edits if e.kind == "pass"), *tick_edits(done, new.date))
    about = {"pass": [(new.id,)]}
    ticked = proposed(
        held, checked_season(held, edits, about, {}), added.change.what, edits, "pass", about["pass"]
    )
    return replace(ticked, doubts=(*added.doubts, *ticked.doubts), questions=added.questions)


def _with_harvest(
    plan: Plan, added: Proposal, harvest: StageDay, done: Sequence[Task], day: date
) -> Proposal:
    """With the record of the harvest: what it and the pass move, worked out once, from the tasks as they are before both. day: of the pass."""
    after = {task.id: replace(task, state="done", done_on=day) for task in done}
    tasks = tuple(after.get(task.id, task) for task in plan.season.tasks)
    both = record_dates(replace(plan, season=replace(added.plan.season, tasks=tasks)), [harvest])
    what = f"{added.change.what}; {both.change.what}"
    return replace(
        both,
        change=Change(what, (*tick_edits(done, day), *both.change.edits)),
        doubts=(*added.doubts, *both.doubts),
        questions=(*added.questions, *both.questions),
        notes=(*added.notes, *both.notes),
    )


def pass_doubts(plan: Plan, season: Season, new: Pass) -> tuple[str, ...]:
    """What speaks against a pass on its day: official samples, sprays, flowering, what is cut already. Each a sentence."""
    cohort = cohort_of(season, new)
    return (
        *(fault.text for fault in cut_faults(season, plan.timelines[cohort], new)),
        *_early(plan, cohort, new),
    )


def _early(plan: Plan, cohort: str, new: Pass) -> Iterator[str]:
    flowering = plan.timelines[cohort].likely("flowering")
    if flowering is None or new.date < flowering:
        when = "has no day" if flowering is None else f"is on {full_day_text(flowering)}"
        yield f"50 % flowering of {cohort} {when}, and the pass before it"


def _notes(season: Season, new: Pass) -> Iterator[str]:
    cohort = cohort_of(season, new)
    lot = lot_within(season, cohort, new.lot)
    if new.weight_kg is not None and len(new.fresh_kg) > 1:
        yield f"{measured(new.weight_kg, 'kg')} in all"
    if cut_through(season, cohort) is None:
        yield f"{cohort} stays where it stands, watered, scouted and sampled, until its last pass"
    if (profile := rules_for(season, lot, new.date)) is not None:
        yield profile.citation
    if not new.why:
        yield f"why it was cut on {day_text(new.date)} is not set; without it the cut counts as ripe in what the variety learns"


# A number and its unit, which are one word then: "12.5 kg".
_WITH_UNIT = re.compile(rf"(\d)\s+({'|'.join(WEIGHT_UNITS)})\b", re.IGNORECASE)


def typed_weights(text: str) -> dict[str, str]:
    """Weights by part as fields of a pass: "top 12.5 kg, middle 4" is the fresh weight of both. Raises Refusal."""
    typed: dict[str, str] = {}
    for one in filter(None, (part.strip() for part in text.split(","))):
        words = _WITH_UNIT.sub(r"\1\2", one).split()
        parts, weights = words[::2], words[1::2]
        if len(parts) != len(weights) or any(part[0].isdigit() for part in parts):
            raise Refusal(
                f'"{one}" is no weight; write the part and its {unit_shown("kg")}, such as: top 12.5, middle 4'
            )
        typed |= {f"fresh weight of {part}": weight for part, weight in zip(parts, weights, strict=True)}
    return typed
