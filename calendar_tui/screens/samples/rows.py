"""The rows of the bags' view: each trip of the week with its bags, who has what, and what the budget gives up."""

from __future__ import annotations

from collections.abc import Iterator
from datetime import date
from itertools import groupby
from typing import NamedTuple

from calendar_tui.handing_on.words.plain_text import count_text
from calendar_tui.handing_on.words.samples_text import (
    NOT_OFFICIAL,
    budget_texts,
    closed_texts,
    sample_text,
    tagged_texts,
)
from calendar_tui.planning.changes.trip_work import known_limits
from calendar_tui.planning.plan import Plan
from calendar_tui.planning.results.due import Due, due_results
from calendar_tui.planning.sampling.bag_states import BagState
from calendar_tui.planning.sampling.missed import is_cut_since, is_left_out
from calendar_tui.planning.sampling.planned import PlannedBag
from calendar_tui.planning.sampling.week import SamplingWeek, held_bags, sampling_week
from calendar_tui.screens.kit.drawing import BOLD, DIM, HEADING, PLAIN, WARNING, ListRow, row, wrapped
from calendar_tui.season.cells import cell_len, cut_text, filled
from calendar_tui.season.sample_ids import grouped
from calendar_tui.season.sampling import Sample
from calendar_tui.season.wording import cohorts_text, unit_text, weekday_text


class Bags(NamedTuple):
    """The bags of a week, and all that are not sent yet or at a laboratory."""

    week: SamplingWeek
    held: tuple[Sample, ...]
    out: tuple[Due, ...]


def bags_of(plan: Plan, week: SamplingWeek) -> Bags:
    """A week's bags with those that are about."""
    return Bags(week, held_bags(plan.season), due_results(plan.season))


def first_bags(plan: Plan, day: date | None = None, *_: str) -> Bags:
    """The bags of the week of a day; of this week without one."""
    return bags_of(plan, sampling_week(plan.season, plan.timelines, day or plan.today, known_limits(plan)))


def left_to_cut(plan: Plan, week: SamplingWeek) -> tuple[BagState, ...]:
    """The bags of a week that the budget leaves, and that nobody left out."""
    return tuple(one for one in week.to_cut if not is_left_out(plan.season, one, plan.today))


def key_of(bag: PlannedBag) -> str:
    """What the cursor stands on for a bag without an id; one with an id is known by it."""
    return "|".join((str(bag.day), *bag.of))


def bag_rows(plan: Plan, bags: Bags, marked: frozenset[str], width: int) -> Iterator[ListRow]:
    """All rows of the view; marked: by what the cursor stands on."""
    week = bags.week
    given_up = {one.bag for one in week.given_up}
    shown: set[str] = set()
    units = {unit_text(*one.bag.of.unit) for one in week.bags}
    room = min(max(map(cell_len, units), default=0), width // 3)
    for text in closed_texts(plan.season, week):
        yield from wrapped(text, width, style=WARNING)
    for day, of_day in groupby(week.bags, key=lambda one: one.bag.day):
        trip = list(of_day)
        names = cohorts_text(list(dict.fromkeys(one.bag.cohort for one in trip)))
        today = ("  today", WARNING) if day == plan.today else ""
        yield row((f"{weekday_text(day)}  {count_text(len(trip), 'bag')} of {names}", HEADING), today)
        if why := trip[0].bag.why:
            yield from wrapped(why, width, "  ")
        for text in tagged_texts(plan.season, trip):
            yield from wrapped(text, width, "  ", style=DIM)
        for one in trip:
            shown |= {one.sample.id} if one.sample else set()
            out = "given up" if one.bag in given_up else ""
            if is_left_out(plan.season, one, plan.today):
                out = "cut later" if is_cut_since(plan.season, one) else "left out"
            yield _planned_row(one, out, marked, room)
    yield from _recorded_rows(bags, shown, marked, plan)
    notes = [*budget_texts(plan.season, week), NOT_OFFICIAL]
    yield row()
    for note in notes:
        yield from wrapped(note.strip(), width, "  " if note.startswith(" ") else "")


def _mark(key: str, marked: frozenset[str]) -> str:
    return "* " if key in marked else "  "


def _planned_row(one: BagState, out: str, marked: frozenset[str], room: int) -> ListRow:
    """out: how it is not to be cut, in words; room: for what it is of, in cells."""
    bag = one.bag
    whose = unit_text(*bag.of.unit)
    key = one.sample.id if one.sample else key_of(bag)
    state, style = (out, DIM) if out else ("to cut", BOLD)
    if one.sample is not None:
        state, style = f"{grouped(one.sample.id)}  {one.sample.state}", PLAIN
    plants = f"{bag.plants} plants" + (f" to {bag.laboratory}" if bag.laboratory else "")
    return row(
        f"{_mark(key, marked)}{filled(cut_text(whose, room), room)} {bag.position:<8} ",
        (f"{state:<16}", style),
        f"  {plants}",
        key=key,
    )


def _recorded_rows(bags: Bags, shown: set[str], marked: frozenset[str], plan: Plan) -> Iterator[ListRow]:
    """The bags that stand in no trip of the week: besides, not sent yet, at a laboratory."""
    due = {one.sample.id: one for one in bags.out}
    groups = (
        ("Besides the plan", bags.week.further),
        ("Not sent yet", bags.held),
        ("At a laboratory", [one.sample for one in bags.out]),
    )
    for title, samples in groups:
        left = [sample for sample in samples if sample.id not in shown]
        if left:
            yield row()
            yield row((title, HEADING))
        for sample in left:
            shown.add(sample.id)
            when = _due_text(due[sample.id], plan) if sample.id in due else ""
            late = sample.id in due and due[sample.id].is_overdue(plan.today)
            text = f"{_mark(sample.id, marked)}{sample_text(sample)}"
            yield row(text, (f"  {when}", WARNING if late else PLAIN) if when else "", key=sample.id)


def _due_text(due: Due, plan: Plan) -> str:
    if due.is_overdue(plan.today):
        return f"overdue since {weekday_text(due.overdue_since)}"
    return f"due {weekday_text(due.likely)}"
