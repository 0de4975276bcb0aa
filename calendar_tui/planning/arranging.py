"""The cohorts of a season in the order in which they are looked at: in groups, and those that words find."""

from __future__ import annotations

from collections.abc import Callable, Collection, Iterable, Iterator, Mapping
from datetime import date
from itertools import groupby
from typing import NamedTuple

from calendar_tui.planning.laying_out.timeline import Timeline
from calendar_tui.planning.plan import Plan
from calendar_tui.season.wording import MONTHS, day_text


class Group(NamedTuple):
    """Cohorts that are looked at together. name: what they share."""

    name: str
    cohorts: tuple[str, ...]


class Row(NamedTuple):
    """One row of an arrangement: a cohort or, cohort being "", a folded group. first: whether it begins its group."""

    group: Group
    cohort: str
    first: bool

    @property
    def key(self) -> str:
        """What tells it from the other rows."""
        return self.cohort or f"group {self.group.name}"


class Way(NamedTuple):
    """A way to arrange cohorts. of: of a plan and a cohort, what orders the groups, and the name of its group."""

    title: str
    of: Callable[[Plan, Timeline], tuple[object, str]]


def _by_place(plan: Plan, timeline: Timeline) -> tuple[object, str]:
    place = timeline.cohort.stays[-1].place
    return list(plan.season.places).index(place), place


def _by_variety(plan: Plan, timeline: Timeline) -> tuple[object, str]:
    variety = timeline.cohort.variety
    return list(plan.season.varieties).index(variety), variety


def _by_planting(plan: Plan, timeline: Timeline) -> tuple[object, str]:
    return timeline.planted, day_text(timeline.planted)


def _by_harvest(plan: Plan, timeline: Timeline) -> tuple[object, str]:
    day = timeline.likely("harvest")
    if day is None:
        return date.max, "none"
    return day.replace(day=1), f"{MONTHS[day.month - 1]} {day.year}"


# The first is the one that a season opens with.
WAYS: Mapping[str, Way] = {
    "place": Way("place", _by_place),
    "variety": Way("variety", _by_variety),
    "planting": Way("planting date", _by_planting),
    "harvest": Way("harvest month", _by_harvest),
}


def groups_of(plan: Plan, way: str, words: str = "") -> tuple[Group, ...]:
    """The cohorts that words find, in groups; in a group in order of their planting. way: a key of WAYS."""
    ordered = sorted(_sorted_keys(plan, way), key=lambda entry: entry[0])
    groups = tuple(
        Group(name, tuple(cohort for _, _, cohort in entries))
        for name, entries in groupby(ordered, key=lambda entry: entry[1])
    )
    return found_in(groups, texts_of(plan, groups), words) if words.strip() else groups


def texts_of(plan: Plan, groups: Iterable[Group]) -> Mapping[str, str]:
    """By the id of each cohort what words are looked for in, with all letters small."""
    return {cohort: _text(plan, group.name, cohort) for group in groups for cohort in group.cohorts}


def found_in(groups: Iterable[Group], texts: Mapping[str, str], words: str) -> tuple[Group, ...]:
    """The groups with the cohorts alone that words find.

    words: each must stand, in any case of letters, in a cohort's id, variety, a place or part of its stays, or the name
    of its group; "" finds all. texts: of `texts_of`.
    """
    wanted = words.casefold().split()
    found = (Group(g.name, tuple(c for c in g.cohorts if all(w in texts[c] for w in wanted))) for g in groups)
    return tuple(group for group in found if group.cohorts)


def _sorted_keys(plan: Plan, way: str) -> Iterator[tuple[tuple[object, ...], str, str]]:
    of = WAYS[way].of
    for n, (cohort, timeline) in enumerate(plan.timelines.items()):
        order, name = of(plan, timeline)
        yield (order, timeline.planted, n), name, cohort


def _text(plan: Plan, name: str, cohort_id: str) -> str:
    cohort = plan.season.cohorts[cohort_id]
    places = (word for stay in cohort.stays for word in (stay.place, stay.part))
    return " ".join((cohort.id, cohort.variety, *places, name)).casefold()


def rows_of(groups: tuple[Group, ...], folded: Collection[str] = ()) -> tuple[Row, ...]:
    """A row a cohort, or one alone for a group whose name is among the folded."""
    return tuple(
        Row(group, cohort, n == 0)
        for group in groups
        for n, cohort in enumerate(("",) if group.name in folded else group.cohorts)
    )
