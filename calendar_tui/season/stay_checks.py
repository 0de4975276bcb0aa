"""What must hold for where cohorts stand: places and parts that there are, and stays in an order that can be."""

from __future__ import annotations

from collections.abc import Callable, Iterator
from datetime import date
from itertools import pairwise

from calendar_tui.season.problems import KeyPath, Problem
from calendar_tui.season.readers import choices
from calendar_tui.season.records import Cohort, Place, Season, WrittenStay
from calendar_tui.season.stages import STAGES, STAY_STAGES, stages_for


def stay_path(i: int, cohort: Cohort, n: int, key: str) -> KeyPath:
    """Where a key of a stay stands in the data, in either form."""
    if cohort.written_stays:
        return "cohort", i, "stays", n, key
    return "cohort", i, "nursery" if n < cohort.nursery_stays else key


def _parts(season: Season) -> Iterator[Problem]:
    for i, cohort in enumerate(season.cohorts.values()):
        for n, stay in enumerate(cohort.stays):
            place = season.places.get(stay.place)
            if place is None:
                continue
            if not cohort.written_stays and n < cohort.nursery_stays:
                if place.screened:
                    yield Problem(stay_path(i, cohort, n, "place"), _screened_nursery_text(cohort, place))
            elif stay.part not in place.parts:
                yield Problem(
                    stay_path(i, cohort, n, "part" if stay.part else "place"), _part_text(cohort, stay, place)
                )


def _screened_nursery_text(cohort: Cohort, nursery: Place) -> str:
    return (
        f"cohort {cohort.id}: nursery {nursery.id} is screened into parts, and nursery names none; "
        f'write {{ place = "{nursery.id}", part = "{nursery.screened[0]}" }} in its stays, in place of nursery and place'
    )


def _part_text(cohort: Cohort, stay: WrittenStay, place: Place) -> str:
    if not place.screened:
        parts = f'screened = ["{stay.part}", "other"]'
        return f"cohort {cohort.id} has a part, but place {place.id} is not screened; add {parts} to it, or leave part out"
    if not stay.part:
        return (
            f"cohort {cohort.id} has no part, and place {place.id} is screened into {', '.join(place.screened)}; "
            f'add part = "{place.screened[0]}"'
        )
    return (
        f'cohort {cohort.id}: part "{stay.part}" is no part of {place.id}{choices(stay.part, place.screened)}'
    )


def _begins(season: Season) -> Iterator[Problem]:
    """What each stay begins with, taken by itself."""
    for i, cohort in enumerate(season.cohorts.values()):
        for n, stay in enumerate(cohort.written_stays):
            if text := begin_problem(season, cohort, n, stay):
                key = "from" if stay.begins else "place"
                yield Problem(("cohort", i, "stays", n, key), f"cohort {cohort.id}: {text}")


def begin_problem(season: Season, cohort: Cohort, n: int, stay: WrittenStay) -> str:
    """Why the stay of this number cannot begin so, or ""."""
    begins = stay.begins
    if n == 0:
        return (
            f"its first stay, in {stay.light}, begins with the cohort; leave its from out" if begins else ""
        )
    if not begins:
        return f'its stay in {stay.light} has no from; add a stage or a date, such as from = "transplant"'
    if isinstance(begins, date):
        if season.first_day <= begins <= season.last_day:
            return ""
        span = f"{season.first_day} to {season.last_day}"
        return f"its stay in {stay.light} from {begins} is outside the season, {span}"
    if begins in STAY_STAGES and begins in stages_for(cohort.start, nursery=True):
        return ""
    usable = (s for s in stages_for(cohort.start, nursery=True) if s in STAY_STAGES)
    return f"no stay begins with {begins}; write a date, or one of: {', '.join(usable)}"


def _turns(season: Season) -> Iterator[Problem]:
    """Dates after dates, and stages after stages; a date against a stage is told when that has its date."""
    for i, cohort in enumerate(season.cohorts.values()):
        numbered = list(enumerate(cohort.written_stays))[1:]
        for kind, order in _ORDERS:
            of_kind = [(n, stay) for n, stay in numbered if stay.begins and isinstance(stay.begins, kind)]
            for (_, before), (n, stay) in pairwise(of_kind):
                if order(stay.begins) <= order(before.begins):
                    yield Problem(
                        ("cohort", i, "stays", n, "from"),
                        f"cohort {cohort.id}: its stay in {stay.light} from {stay.begins} must come after the one in "
                        f"{before.light} from {before.begins}; write stays in the order in which they come",
                    )


_ORDERS: tuple[tuple[type, Callable[..., int]], ...] = (
    (date, date.toordinal),
    (str, STAGES.index),
)
STAY_CHECKS: tuple[Callable[[Season], Iterator[Problem]], ...] = (_parts, _begins, _turns)
