"""The work of cutting bags ticked with them: which were cut and which not, as one change."""

from __future__ import annotations

from collections.abc import Collection, Iterable, Iterator, Sequence
from dataclasses import replace
from datetime import date, timedelta
from typing import NamedTuple

from calendar_tui.language.speaking import file_text, phrase_form
from calendar_tui.planning.changes.bags import (
    Cutting,
    bag_doubts,
    bag_table,
    entry_questions,
    named_bags,
)
from calendar_tui.planning.changes.doubts import date_doubts
from calendar_tui.planning.changes.held_season import HeldSeason
from calendar_tui.planning.changes.new_bags import NewBag, new_bag, units_at
from calendar_tui.planning.changes.proposal import Proposal
from calendar_tui.planning.changes.record_proposal import checked_season, proposed
from calendar_tui.planning.changes.task_edits import task_names
from calendar_tui.planning.changes.ticks import fact_edits, not_yet, tick_edits, ticks_texts
from calendar_tui.planning.changes.trip_work import NEAR_D, done_by, ids_text, known_limits
from calendar_tui.planning.sampling.bag_states import LOST, BagState, bag_states
from calendar_tui.planning.sampling.missed import bag_text, not_cut_text
from calendar_tui.planning.sampling.planned import planned_bags
from calendar_tui.planning.sampling.week import sampling_week
from calendar_tui.planning.tasks.samplings import is_in_plan
from calendar_tui.season.edits import Edit
from calendar_tui.season.records import Season, Task
from calendar_tui.season.refusal import Refusal
from calendar_tui.season.sampling import BagOf
from calendar_tui.season.wording import bag_count_text, full_day_text


class TripBag(NamedTuple):
    """A bag of a task that is still to be cut. name: its id, where it was given one ahead; kept: whether the budget leaves it."""

    bag: NewBag
    name: str = ""
    kept: bool = True

    @property
    def text(self) -> str:
        """Which it is, in words."""
        return bag_text(self.bag.of)


def bags_of_tasks(held: HeldSeason, tasks: Iterable[Task]) -> tuple[TripBag, ...]:
    """The bags of these tasks that are still to be cut: of the trip by the sampling plans, else of each position of a cohort."""
    bags: dict[BagOf, TripBag] = {}
    for task in tasks:
        for one in (*_planned(held, task), *_unplanned(held, task)):
            bags.setdefault(one.bag.of, one)
    return tuple(bags.values())


def cut_bags_of_tasks(
    held: HeldSeason,
    tasks: Sequence[Task],
    bags: Sequence[TripBag],
    cut: Collection[TripBag],
    cutting: Cutting,
) -> Proposal:
    """The proposal that records the bags of these tasks that were cut, and ticks the tasks with their ids and what was not.

    bags: all that were to be cut. Raises Refusal, FieldErrors.
    """
    season, day = held.plan.season, cutting.day
    if wrong := not_yet(day, held.plan.today):
        raise Refusal(wrong)
    new = tuple(named_bags(season, [one.bag for one in cut if not one.name], cutting, "taken"))
    ahead = [one.name for one in cut if one.name]
    edits = [*_cut_edits(ahead, cutting), *(Edit("add", "sample", (s.id,), (), bag_table(s)) for s in new)]
    idents = [(name,) for name in (*ahead, *(s.id for s in new))]
    checked = checked_season(held, edits, {"sample": idents}, {})
    edits += tick_edits(tasks, day)
    for task in tasks:
        edits += fact_edits([task], _fact(checked, task, day, [one for one in bags if one not in cut]))
    also = [task for task in done_by(held.plan, checked, day, {day}) if task not in tasks]
    edits += tick_edits(also, day)
    for task in also:
        edits += fact_edits([task], ids_text(checked, task, day))
    checked = checked_season(held, edits, {"sample": idents}, {})
    proposal = proposed(held, checked, _what(tasks, cut, day), edits, "sample", idents)
    there = [checked.samples[name] for (name,) in idents]
    doubts = date_doubts(season, held.plan.today, day) if cut else ()
    return replace(
        proposal,
        questions=(*entry_questions(held, there), *proposal.questions),
        notes=(*ticks_texts(also), *proposal.notes),
        doubts=(*doubts, *bag_doubts(held, there, new), *proposal.doubts),
    )


def _planned(held: HeldSeason, task: Task) -> Iterator[TripBag]:
    """The bags of the trip that a task is the work of, as the sampling plans have them."""
    season = held.plan.season
    states = bag_states(season, planned_bags(season, held.plan.timelines, task.about))
    day = _trip_day(season, task, states)
    of_trip = [one for one in states if one.bag.day == day and one.is_open]
    if day is None or not of_trip:
        return
    week = sampling_week(season, held.plan.timelines, day, known_limits(held.plan))
    out = {one.bag for one in week.kept.given_up}
    for one in of_trip:
        yield TripBag(new_bag(one.bag), one.sample.id if one.sample else "", one.bag not in out)


def _trip_day(season: Season, task: Task, states: Iterable[BagState]) -> date | None:
    """The day that a round is known by, wherever its task was moved to; else the nearest on which bags are planned."""
    days = {one.bag.day for one in states}
    meant = season.first_day + timedelta(days=task.n - 1)
    if not task.cohort and meant in days:
        return meant
    near = [day for day in days if abs((day - task.date).days) <= NEAR_D]
    return min(near, key=lambda day: (abs((day - task.date).days), day), default=None)


def _unplanned(held: HeldSeason, task: Task) -> Iterator[TripBag]:
    """What is cut at once of the cohorts that no sampling plan is for."""
    season = held.plan.season
    near = [s for s in season.samples.values() if abs((s.date - task.date).days) <= NEAR_D]
    names = [name for name in task.about if name in season.cohorts and not is_in_plan(season, name)]
    for bag in [unit for name in names for unit in units_at(held, name)]:
        alike = [s for s in near if s.of == bag.of and s.state != LOST]
        ahead = [s.id for s in alike if s.state == "planned"]
        if ahead or not alike:
            yield TripBag(bag, ahead[0] if ahead else "")


def _cut_edits(names: Iterable[str], cutting: Cutting) -> Iterator[Edit]:
    """The edits that make bags of which the ids were given ahead cut ones."""
    values = {"state": "taken", "date": cutting.day} | ({"who": cutting.by} if cutting.by else {})
    for name in names:
        for key, value in values.items():
            yield Edit("set", "sample", (name,), (key,), value)


def _fact(season: Season, task: Task, day: date, left: Iterable[TripBag]) -> str:
    """What to write down with a task: the ids of the bags that were cut, and which were not."""
    ids = ids_text(season, task, day)
    missing = not_cut_text(one.text for one in left if one.bag.cohort in task.about)
    return "; ".join(filter(None, (ids, missing)))


def _what(tasks: Sequence[Task], cut: Collection[TripBag], day: date) -> str:
    form = phrase_form("ticked {tasks} on {day} with no bag cut")
    if cut:
        form = phrase_form("ticked {tasks} on {day} with {bags} cut")
    bags = bag_count_text(len(cut))
    return file_text(form, tasks=task_names(tasks), day=full_day_text(day), bags=bags)
