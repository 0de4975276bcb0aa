"""Where a cohort stands from when to when: its stays in turn, dated by its stages."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from datetime import date, timedelta
from typing import NamedTuple

from calendar_tui.language.speaking import phrase
from calendar_tui.planning.laying_out.stages import StageDate
from calendar_tui.season.records import Cohort, Season, WrittenStay, light_name
from calendar_tui.season.wording import day_text


class Stay(NamedTuple):
    """The dates from `first` up to, not including, `end` on which a cohort stands in one place.

    first is date.min of the first stay, end date.max of the last, and of one that ends with a stage that is not known.
    in_nursery: it is before the transplant.
    """

    place: str
    part: str
    first: date
    end: date
    in_nursery: bool

    @property
    def light(self) -> str:
        """The name of the light there."""
        return light_name(self.place, self.part)


def stays_of(cohort: Cohort, stages: Mapping[str, StageDate]) -> tuple[Stay, ...]:
    """The stays of a cohort in turn; none begins before the one ahead of it, so that one may be empty."""
    written, begins = cohort.stays, [date.min]
    for stay in written[1:]:
        begins.append(max(begins[-1], _begin(stay, stages)))
    ends = (*begins[1:], date.max)
    nurseries = cohort.nursery_stays
    return tuple(
        Stay(stay.place, stay.part, first, end, n < nurseries)
        for n, (stay, first, end) in enumerate(zip(written, begins, ends, strict=True))
    )


def _begin(stay: WrittenStay, stages: Mapping[str, StageDate]) -> date:
    if isinstance(stay.begins, date):
        return stay.begins
    begun = stages.get(stay.begins)
    return date.max if begun is None else begun.likely


def stay_on(stays: Sequence[Stay], day: date) -> Stay:
    """Where a cohort stands on a day: before its start in its first place, after its harvest in its last."""
    return next(stay for stay in reversed(stays) if stay.first <= day)


def growing(stays: Sequence[Stay]) -> list[Stay]:
    """The stays from the transplant on; all of a cohort that is not transplanted."""
    return [stay for stay in stays if not stay.in_nursery]


def always_in_pots(season: Season, stays: Sequence[Stay]) -> bool:
    """Whether plants that have stood so can be carried: once in the ground they never are."""
    return all(stay.in_nursery or season.places[stay.place].holds_pots for stay in stays)


def stays_text(stays: Sequence[Stay]) -> str:
    """ "N1, H1 from 26 Nov, F1 from 26 Dec": those that come about."""
    there = [stay for stay in stays if stay.first < stay.end]
    rest = (phrase("{light} from {day}", light=stay.light, day=day_text(stay.first)) for stay in there[1:])
    return ", ".join((there[0].light, *rest))


def span_text(stay: Stay) -> str:
    """ "4 Dec to 25 Dec", "up to 3 Dec", "from 26 Dec", "all along"."""
    if stay.end == date.max:
        return (
            phrase("all along") if stay.first == date.min else phrase("from {day}", day=day_text(stay.first))
        )
    last = day_text(stay.end - timedelta(days=1))
    return (
        phrase("up to {last}", last=last)
        if stay.first == date.min
        else phrase("{day} to {last}", day=day_text(stay.first), last=last)
    )


def lamp_stays(stays: Sequence[Stay]) -> list[Stay]:
    """The growing stays, the first from of old: the lamps of a place may burn before the plants come."""
    first, *rest = growing(stays)
    return [first._replace(first=date.min), *rest]


def growing_on(stays: Sequence[Stay], day: date) -> Stay:
    """The growing place of a day: before the transplant, the one where it will be planted."""
    here = growing(stays)
    return next((stay for stay in reversed(here) if stay.first <= day), here[0])


def nursery_on(stays: Sequence[Stay], day: date) -> Stay | None:
    """The nursery of a day: from the transplant on, the one where it stood last; None without one."""
    return next((stay for stay in reversed(stays) if stay.in_nursery and stay.first <= day), None)
