"""What bags are to have ids: as the sampling plans have them, of plots, or in place of one that was lost."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from datetime import date
from typing import NamedTuple

from calendar_tui.nature.canopy import POSITIONS
from calendar_tui.planning.changes.held_season import HeldSeason
from calendar_tui.planning.sampling.planned import PlannedBag, planned_bags, plans_of
from calendar_tui.season.lots import lots_of_cohort
from calendar_tui.season.records import Season
from calendar_tui.season.refusal import Refusal
from calendar_tui.season.sampling import BagOf


class NewBag(NamedTuple):
    """A bag that is to have an id. again: the one that it is cut in place of; planned: the day of the plan."""

    cohort: str
    position: str
    lot: str = ""
    block: str = ""
    plot: str = ""
    plants: int | None = None
    laboratory: str = ""
    again: str = ""
    planned: date | None = None

    @property
    def of(self) -> BagOf:
        return BagOf(self.cohort, self.lot, self.block, self.plot, self.position)


def new_bag(bag: PlannedBag) -> NewBag:
    """A planned bag, to be given an id."""
    return NewBag(
        bag.cohort, bag.position, bag.lot, bag.block, bag.plot, bag.plants, bag.laboratory, planned=bag.day
    )


def units_at(held: HeldSeason, cohort: str, positions: Sequence[str] = ()) -> Iterator[NewBag]:
    """What is cut of a cohort at once: of each lot and block of its plans, else of each lot."""
    season, timelines = held.plan.season, held.plan.timelines
    planned = planned_bags(season, timelines, (cohort,))
    like = (
        {new_bag(bag)._replace(position="", planned=None): None for bag in planned}
        if plans_of(season, cohort)
        else {}
    )
    if planned and not positions:
        yield from dict.fromkeys(new_bag(bag)._replace(planned=None) for bag in planned)
        return
    lots = lots_of_cohort(season, cohort)
    plain = [NewBag(cohort, "", lot.id if len(lots) > 1 else "") for lot in lots]
    for unit in [*like] or plain:
        for position in positions or POSITIONS:
            yield unit._replace(position=position)


def bags_of_plots(
    held: HeldSeason, plots: Sequence[str], positions: Sequence[str] = (), plants: int | None = None
) -> tuple[NewBag, ...]:
    """A bag of each position of these plots, by their ids: of those of their cohorts' plans, else top, middle and bottom.

    Raises Refusal for a guard, and for a plot without a cohort.
    """
    return tuple(bag for name in plots for bag in _of_plot(held.plan.season, name, positions, plants))


def _of_plot(season: Season, name: str, positions: Sequence[str], plants: int | None) -> Iterator[NewBag]:
    plot = season.plots[name]
    if plot.is_guard or not plot.cohort:
        why = (
            "is a guard, which is never sampled"
            if plot.is_guard
            else "has no cohort; set whose plants it has"
        )
        raise Refusal(f"plot {name} {why}")
    every, lots = plans_of(season, plot.cohort), lots_of_cohort(season, plot.cohort)
    plans = [plan for plan in every if plan.by == "plot"] or every
    lot = next((one.id for one in lots if len(lots) > 1 and str(plot.block) in one.blocks), "")
    planned = dict.fromkeys(position for plan in plans for position in plan.positions)
    laboratory = next((plan.laboratory for plan in plans), "")
    each = plants or next((plan.plants for plan in plans), None)
    for position in positions or planned or POSITIONS:
        yield NewBag(plot.cohort, position, lot, plot=name, plants=each, laboratory=laboratory)


def bag_again(season: Season, name: str) -> NewBag:
    """A bag like one that is recorded, to be cut in its place."""
    was = season.samples[name]
    return NewBag(was.cohort, was.position, was.lot, was.block, was.plot, was.plants, was.laboratory, name)
