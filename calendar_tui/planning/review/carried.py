"""What to carry into the season from which the next is made: figures old and new, each with what it would have done to this one."""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass, field
from statistics import fmean, median

from calendar_tui.planning.changes.held_season import HeldSeason
from calendar_tui.planning.changes.proposal import Proposal
from calendar_tui.planning.changes.record_change import set_fields
from calendar_tui.planning.changes.variety_change import FIGURES, value_text, written
from calendar_tui.planning.changes.variety_fit import take_fit
from calendar_tui.planning.plan import Plan
from calendar_tui.planning.refit.fit import Fit, fit
from calendar_tui.planning.review.replays import replayed
from calendar_tui.planning.review.weighing import Measured, measured
from calendar_tui.planning.tasks.by_chore import chore_tasks, shared_tasks, task_key
from calendar_tui.season.field_names import field_words
from calendar_tui.season.records import Chore, Variety
from calendar_tui.season.refusal import Refusal
from calendar_tui.season.task_ids import TaskKey

# So many tasks of a chore must be timed, and its hours be off by so much, before others are proposed; starting values, no source.
ENOUGH, APART = 3, 0.1
ERROR = "mean days between what was said and the record"


@dataclass(frozen=True, slots=True)
class Effect:
    """What a figure would have done to this season: `measure` in words, before and after; recorded: what it was held against."""

    measure: str
    unit: str
    before: float
    after: float
    recorded: float | None = None


@dataclass(frozen=True, slots=True)
class Carried:
    """A figure to carry forward.

    id: by which it is taken, such as "hours-scout". kind, name: the record it changes; figures: in words, each old and new; n: how
    many records it rests on; typed: its fields as they are typed; fit: where it is a fit of a variety.
    """

    id: str
    kind: str
    name: str
    figures: tuple[tuple[str, str, str], ...]
    n: int
    effect: Effect
    typed: Mapping[str, str] = field(default_factory=dict)
    fit: Fit | None = field(default=None, compare=False)


def carried(plan: Plan) -> tuple[tuple[Carried, ...], tuple[str, ...]]:
    """Every figure that the records of a season would change, and why there are none of some, in sentences.

    Each is worked out as if it alone were taken. A fit a variety: not for the event loop.
    """
    found, lacking = list[Carried](), list[str]()
    for variety in plan.season.varieties.values():
        try:
            found += _of_fit(plan, variety)
        except Refusal as why:
            lacking.append(f"no fit of {variety.id}: {why}")
    # The days of drying that a fit takes over are proposed with it.
    fitted = {one.name for one in found if one.fit is not None and "drying_d" in one.fit.changed}
    found += [
        _of_measured(one) for one in measured(plan.season) if one.word != "drying" or one.name not in fitted
    ]
    found += _of_hours(plan)
    return tuple(found), tuple(lacking)


def take(held: HeldSeason, wanted: str) -> Proposal:
    """The proposal that carries one figure forward, one change. Raises Refusal for an id that is not proposed, with those that are."""
    found, _ = carried(held.plan)
    one = next((one for one in found if one.id == wanted.strip().casefold()), None)
    if one is None:
        ids = ", ".join(one.id for one in found) or "nothing, as its records stand"
        raise Refusal(f'"{wanted}" is not proposed; this season proposes: {ids}')
    if one.fit is not None:
        return take_fit(held.plan, one.fit)
    return set_fields(held, one.kind, (one.name,), one.typed, "measured")


def _of_fit(plan: Plan, variety: Variety) -> Iterator[Carried]:
    """A fit of a variety to this season's records, by the error that it would have left; taken only where it is other than what stands."""
    if variety.response != "short-day":
        return
    fitted = fit([plan], variety.id)
    figures = tuple(
        (field_words("variety", key), _figure(variety, key), _figure(fitted.fitted, key))
        for key in fitted.changed
        if getattr(fitted.fitted, key) != getattr(variety, key)
    )
    if not figures:
        return
    before, after = (_error(plan, one) for one in (variety, fitted.fitted))
    if before is not None and after is not None:
        effect = Effect(ERROR, "d", before, after)
        yield Carried(
            f"fit-{variety.id}".casefold(),
            "variety",
            variety.id,
            figures,
            len(fitted.records),
            effect,
            fit=fitted,
        )


def _figure(variety: Variety, key: str) -> str:
    return value_text(written(FIGURES[key], getattr(variety, key)))


def _error(plan: Plan, variety: Variety) -> float | None:
    """Mean days by which the records of a variety are off, by these figures, each from the records before it."""
    varieties = {**plan.season.varieties, variety.id: variety}
    errors = [abs(one.error_d) for one in replayed(plan, varieties) if one.variety == variety.id]
    return fmean(errors) if errors else None


def _of_measured(one: Measured) -> Carried:
    old, new = one.old, one.new
    effect = Effect(one.measure, one.unit, one.before, one.after, one.recorded)
    key = f"{one.word}-{one.name}".casefold()
    return Carried(
        key, one.kind, one.name, ((one.field, old, new),), one.n, effect, {one.field: one.typed or new}
    )


def _of_hours(plan: Plan) -> Iterator[Carried]:
    """Hours of chores by the median ratio of spent to planned, as the chore plans them now: a ratio that was taken is not taken again."""
    planned, timed = _laid_out_h(plan), dict[str, list[tuple[float, float]]]()
    for task in plan.season.tasks:
        hours = planned.get(task_key(task))
        if task.state == "done" and task.spent is not None and hours:
            timed.setdefault(task.chore, []).append((hours, task.spent))
    for chore in plan.season.chores.values():
        pairs = timed.get(chore.id, [])
        if len(pairs) < ENOUGH:
            continue
        ratio = median(spent / hours for hours, spent in pairs)
        new = round(chore.hours * ratio, 2)
        if abs(ratio - 1) >= APART and new and new != chore.hours:
            yield _hours(chore, new, pairs)


def _laid_out_h(plan: Plan) -> Mapping[TaskKey, float]:
    """The hours of every task of the season as its chore and cohorts plan them now, done or not."""
    everywhere = {"", *(light for cohort in plan.season.cohorts.values() for light in cohort.lights)}
    alone = (task for line in plan.timelines.values() for task in chore_tasks(plan.season, line))
    together = shared_tasks(plan.season, plan.timelines, everywhere)
    return {task_key(task): task.hours for task in (*alone, *together)}


def _hours(chore: Chore, new: float, pairs: Sequence[tuple[float, float]]) -> Carried:
    """pairs: planned and spent hours of each task that was timed."""
    planned, spent = (round(sum(column), 2) for column in zip(*sorted(pairs), strict=True))
    after = round(planned * new / chore.hours, 2)
    effect = Effect("hours planned of the tasks that were timed", "h", planned, after, spent)
    figures = (("hours", f"{chore.hours:g}", f"{new:g}"),)
    typed = {"hours": f"{new:g}"}
    return Carried(f"hours-{chore.id}".casefold(), "chore", chore.id, figures, len(pairs), effect, typed)
