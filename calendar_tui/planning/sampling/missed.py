"""The bags that were not cut on their day, and which of them are settled: lost, left out, noted as not cut, or cut since."""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from datetime import date, timedelta

from calendar_tui.planning.sampling.bag_states import LOST, BagState
from calendar_tui.planning.sampling.planned import PlannedBag
from calendar_tui.season.records import Season
from calendar_tui.season.sampling import BagOf
from calendar_tui.season.wording import unit_text

# What stands before the bags that were not cut, in what is written down with the work of their trip.
NOT_CUT = "not cut: "


def not_cut_text(bags: Iterable[str]) -> str:
    """ "not cut: A1 top, A1 middle"; "" for none."""
    names = ", ".join(bags)
    return f"{NOT_CUT}{names}" if names else ""


def bag_text(of: BagOf) -> str:
    """What a bag is of, in words."""
    return f"{unit_text(*of.unit)} {of.position}"


def is_left_out(season: Season, one: BagState, today: date) -> bool:
    """Whether a bag of a day before is settled without having been cut. One of today may still be cut again."""
    if not one.is_open or one.bag.day >= today:
        return False
    return is_cut_since(season, one) or _is_lost(season, one.bag) or _is_noted(season, one.bag)


def is_cut_since(season: Season, one: BagState) -> bool:
    """Whether a bag that nothing stands for was overtaken: one like it was cut on a later day, for another trip."""
    alike = (s for s in season.samples.values() if s.of == one.bag.of)
    return one.is_open and any(s.is_cut and s.date > one.bag.day for s in alike)


def _is_lost(season: Season, bag: PlannedBag) -> bool:
    alike = (s for s in season.samples.values() if s.state == LOST and s.of == bag.of)
    return any(abs((s.date - bag.day).days) <= bag.near_d for s in alike)


def _is_noted(season: Season, bag: PlannedBag) -> bool:
    name = bag_text(bag.of)
    return any(name in _noted(fact) for fact in _facts_of_trip(season, bag))


def _facts_of_trip(season: Season, bag: PlannedBag) -> Iterator[str]:
    """What was written down with the work of a bag's trip: that of its round, or nearest to its day."""
    round_n = (bag.day - season.first_day + timedelta(days=1)).days
    for task in season.tasks:
        if task.state == "done" and NOT_CUT in task.fact and bag.cohort in task.about:
            near = abs((task.date - bag.day).days) <= bag.near_d
            if near or (not task.cohort and task.n == round_n):
                yield task.fact


def _noted(fact: str) -> list[str]:
    """The bags that a fact names as not cut."""
    return fact.partition(NOT_CUT)[2].partition(";")[0].split(", ")
