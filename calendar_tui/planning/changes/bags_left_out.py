"""Planned bags that were not cut on their day: left out for good, so that none waits for them."""

from __future__ import annotations

from collections.abc import Collection, Sequence
from dataclasses import replace
from datetime import date

from calendar_tui.planning.changes.bags import Cutting, bag_table, named_bags
from calendar_tui.planning.changes.held_season import HeldSeason
from calendar_tui.planning.changes.new_bags import NewBag, new_bag
from calendar_tui.planning.changes.proposal import Proposal
from calendar_tui.planning.changes.record_proposal import checked_season, proposed
from calendar_tui.planning.sampling.bag_states import LOST, bag_states
from calendar_tui.planning.sampling.missed import bag_text, is_left_out
from calendar_tui.planning.sampling.planned import PlannedBag, planned_bags
from calendar_tui.season.edits import Edit
from calendar_tui.season.refusal import Refusal
from calendar_tui.season.sampling import Sample
from calendar_tui.season.wording import bag_count_text, cohorts_text, full_day_text, weekday_text


def bags_not_cut(
    held: HeldSeason, day: date, cohorts: Collection[str] = (), positions: Collection[str] = ()
) -> tuple[NewBag, ...]:
    """The bags without ids of the trip nearest to a day, of those before today. cohorts, positions: of these alone.

    Raises Refusal where none is, or the day is to come.
    """
    today = held.plan.today
    if day > today:
        raise Refusal(f"{full_day_text(day)} is to come; its bags can still be cut")
    parts = {part.casefold() for part in positions}
    open_ones = [
        bag
        for bag in _without_id(held)
        if (not cohorts or bag.cohort in cohorts) and (not parts or bag.position.casefold() in parts)
    ]
    near = [bag for bag in open_ones if abs((bag.day - day).days) <= bag.near_d]
    if not near:
        days = sorted({bag.day for bag in open_ones}, key=lambda other: abs((other - day).days))[:1]
        which = f"{' or '.join(positions)} bag" if positions else "bag"
        whose = f" of {cohorts_text(list(cohorts))}" if cohorts else ""
        right = f"; near it is {weekday_text(days[0])}: give --date" if days else ""
        raise Refusal(f"no {which}{whose} without an id was planned around {full_day_text(day)}{right}")
    trip = min((bag.day for bag in near), key=lambda other: (abs((other - day).days), other))
    return tuple(new_bag(bag) for bag in near if bag.day == trip)


def _without_id(held: HeldSeason) -> list[PlannedBag]:
    """The planned bags of days before today that are not cut, and that nobody left out."""
    season, today = held.plan.season, held.plan.today
    states = bag_states(season, planned_bags(season, held.plan.timelines))
    return [
        one.bag
        for one in states
        if one.sample is None and one.bag.day < today and not is_left_out(season, one, today)
    ]


def leave_out_bags(held: HeldSeason, bags: Sequence[NewBag]) -> Proposal:
    """The proposal that records bags which were not cut on their day as lost on it, so that none waits for them.

    Raises FieldErrors.
    """
    season, lost = held.plan.season, list[Sample]()
    for bag in bags:
        there = replace(season, samples={**season.samples, **{one.id: one for one in lost}})
        lost += named_bags(there, [bag], Cutting(bag.planned or held.plan.today), LOST)
    edits = [Edit("add", "sample", (s.id,), (), bag_table(s)) for s in lost]
    about = [(s.id,) for s in lost]
    checked = checked_season(held, edits, {"sample": about}, {})
    names = ", ".join(dict.fromkeys(bag_text(bag.of) for bag in bags))
    return proposed(
        held, checked, f"{bag_count_text(len(bags))} not cut, left out: {names}", edits, "sample", about
    )
