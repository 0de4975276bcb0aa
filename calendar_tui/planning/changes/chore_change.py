"""A season's chores as they stand, and what a change of them brings: the tasks that come, move and fall away."""

from __future__ import annotations

from collections import Counter
from collections.abc import Collection, Iterator, Mapping, Sequence
from dataclasses import dataclass, replace
from datetime import date, time
from typing import Any

from calendar_tui.planning.changes.field_change import (
    checked,
    short,
)
from calendar_tui.planning.changes.figure_marks import DATE_KEYS, HOURS_KEYS
from calendar_tui.planning.changes.proposal import Proposal
from calendar_tui.planning.changes.replan import new_before, propose
from calendar_tui.planning.plan import Plan
from calendar_tui.planning.tasks.by_chore import chore_tasks, first_made, shared_tasks, task_key
from calendar_tui.planning.tasks.chore_dates import unreached
from calendar_tui.season.edits import Edit
from calendar_tui.season.field import REQUIRED, Field
from calendar_tui.season.fields import FIELDS
from calendar_tui.season.marks import GUESS_MARK
from calendar_tui.season.readers import Unreadable
from calendar_tui.season.records import Chore, Season
from calendar_tui.season.stages import STAGES
from calendar_tui.season.wording import day_text, stage_text, year_day_text

KEYS: Mapping[str, Field] = {f.key: f for f in FIELDS["chore"] if f.key != "id"}
NEEDED = tuple(key for key, field in KEYS.items() if field.default is REQUIRED)


@dataclass(frozen=True, slots=True)
class ChoreField:
    """One field of a chore as it stands. value: as a season file has it, None for none; own: whether the file gives it."""

    chore: str
    key: str
    unit: str
    meaning: str
    value: Any
    own: bool
    guess: bool


def right_value(key: str) -> str:
    """What the file's reader says would be right for a field of a chore; "" where any text is."""
    read = KEYS[key].read
    assert read is not None
    try:
        read("")
    except Unreadable as wrong:
        return str(wrong).partition("; ")[2]
    return ""


def by_stage(season: Season) -> Iterator[tuple[str, list[Chore]]]:
    """The chores by the stage they hang on, in the order of stages and offsets."""
    for stage in STAGES:
        chores = [chore for chore in season.chores.values() if chore.stage == stage]
        if chores:
            yield stage, sorted(chores, key=lambda c: c.offset_d)


def tasks_made(plan: Plan) -> Counter[str]:
    """How many tasks each chore makes in the whole season, done or not, by its id; without those left out as passed."""
    saved = {task_key(t) for t in plan.season.tasks}
    since = {c.id: first_made(plan.season, c) for c in plan.season.chores.values()}
    everywhere = {""}
    for cohort in plan.season.cohorts.values():
        everywhere |= set(cohort.lights)
    alone = (task for t in plan.timelines.values() for task in chore_tasks(plan.season, t))
    together = shared_tasks(plan.season, plan.timelines, everywhere)
    return Counter(
        task.chore
        for task in (*alone, *together)
        if task.date >= since[task.chore] or task_key(task) in saved
    )


def fields_of(chore: Chore, data: Mapping[str, Any]) -> tuple[ChoreField, ...]:
    """Every field of a chore, in the order of the reference; data: of the season file, which tells whose they are."""
    given: Mapping[str, Any] = next((c for c in data.get("chore", ()) if c["id"] == chore.id), {})
    return tuple(
        ChoreField(
            chore.id,
            field.key,
            field.unit,
            field.meaning,
            written(getattr(chore, field.name)),
            field.key in given,
            _is_guess(chore, field.key),
        )
        for field in KEYS.values()
    )


def _is_guess(chore: Chore, key: str) -> bool:
    if key in HOURS_KEYS:
        return chore.guessed and bool(chore.hours)
    return key in DATE_KEYS and chore.mark == GUESS_MARK and getattr(chore, key) != KEYS[key].default


def written(value: Any) -> Any:
    """A chore's value as a season file has it; None for none."""
    if isinstance(value, time):
        return f"{value:%H:%M}"
    if isinstance(value, tuple):
        return list(value)
    if isinstance(value, float):
        return short(value)
    return None if value == "" else value


def typed_text(value: Any) -> str:
    """A value as it is typed: "seed, cutting", "yes", "0.5"; "" for none."""
    if isinstance(value, list):
        return ", ".join(value)
    if isinstance(value, bool):
        return "yes" if value else "no"
    return "" if value is None else str(value)


def propose_chores(
    plan: Plan, season: Season, what: str, edits: Sequence[Edit], names: Collection[str]
) -> Proposal:
    """The proposal that takes the plan to a season in which these chores are new, changed or gone. Raises Refusal.

    What was never asked for cannot be late: `since` keeps new tasks out that lie before today, whenever the season is
    planned anew; but not where `since` is what was changed.
    """
    proposal = propose(plan, checked(season), what, edits, chores=names)
    passed = [m.task for m in proposal.tasks if m.old is None and m.task.date < plan.today]
    before = plan.season.chores
    late = {t.chore for t in passed}
    dated = {
        name: replace(chore, since=plan.today)
        for name, chore in season.chores.items()
        if name in late and (name not in before or before[name].since == chore.since)
    }
    if dated:
        since = [Edit("set", "chore", (name,), ("since",), plan.today) for name in dated]
        dated_season = replace(season, chores={**season.chores, **dated})
        proposal = propose(plan, checked(dated_season), what, [*edits, *since], chores=names)
    return replace(proposal, notes=tuple(_late_texts(plan.today, len(passed), proposal)))


def propose_kept_chores(
    plan: Plan, season: Season, what: str, edits: Sequence[Edit], names: Collection[str]
) -> Proposal:
    """The same for chores that are changed by hand, with why one makes no task, and what stands of one that goes."""
    proposal = propose_chores(plan, season, what, edits, names)
    notes = [note for name in names for note in _notes(plan.season, proposal.plan, name)]
    return replace(proposal, notes=(*notes, *proposal.notes))


def _notes(before: Season, after: Plan, name: str) -> Iterator[str]:
    old, new = before.chores.get(name), after.season.chores.get(name)
    if new is not None and not (old is not None and old.active and not new.active):
        yield from _idle(after, new)
    if old is not None and new is None:
        yield from _standing(after.season, old)


def _late_texts(today: date, passed: int, proposal: Proposal) -> Iterator[str]:
    """What becomes of dates before today. passed: how many tasks would be new there."""
    if passed > (kept := new_before(proposal.tasks, today)):
        dates = "1 date is" if passed == 1 else f"{passed} dates are"
        yield f"{dates} before today, {day_text(today)}, and left out"
    back = sum(m.old is not None and m.old.date >= today and m.task.date < today for m in proposal.tasks)
    if late := back + kept:
        yield f"{late} {'task is' if late == 1 else 'tasks are'} put before today, {day_text(today)}: overdue"


def chore_table(chore: Chore) -> dict[str, Any]:
    """A chore as a season file has it, without the fields that are as by default."""
    given = {k: getattr(chore, f.name) for k, f in KEYS.items() if getattr(chore, f.name) != f.default}
    return {"id": chore.id} | {key: written(value) for key, value in given.items()}


def chore_edits(old: Chore, new: Chore) -> list[Edit]:
    """The edits of the fields in which a chore is new."""
    out = []
    for key, field in KEYS.items():
        value = getattr(new, field.name)
        if value == getattr(old, field.name):
            continue
        if value == field.default:
            out.append(Edit("unset", "chore", (old.id,), (key,)))
        else:
            out.append(Edit("set", "chore", (old.id,), (key,), written(value)))
    return out


def shown_text(unit: str, value: Any) -> str:
    """A value as it is shown: "8 Dec 2026", "lights off", else as it is typed; "" for none."""
    if type(value) is date:
        return year_day_text(value)
    return stage_text(typed_text(value)) if unit == "stage" else typed_text(value)


def _idle(plan: Plan, chore: Chore) -> Iterator[str]:
    """Why a chore makes no task, but for one that has just been switched off."""
    if not chore.active:
        yield f"chore {chore.id} is switched off, so it makes no task; active yes switches it on"
        return
    alone = replace(plan, season=replace(plan.season, chores={chore.id: replace(chore, since=None)}))
    if not tasks_made(alone):
        why = [text for _, _, text in unreached(alone.season, plan.timelines)]
        yield from why or [f"chore {chore.id} makes no task: no cohort of this season is one for it"]


def _standing(season: Season, chore: Chore) -> Iterator[str]:
    """How many tasks of a chore that is taken away stand."""
    count = sum(t.chore == chore.id and (t.state != "open" or t.moved) for t in season.tasks)
    if count:
        tasks = "1 task of it that is" if count == 1 else f"{count} tasks of it that are"
        yield f"{tasks} done, skipped or moved by hand stand{'s' if count == 1 else ''} as before"
