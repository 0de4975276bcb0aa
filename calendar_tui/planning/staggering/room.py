"""What the farm can hold and handle, what of it is taken, and what each planting would take: spans of days and amounts."""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Mapping, Sequence
from dataclasses import dataclass
from datetime import date
from typing import NamedTuple

from calendar_tui.planning.capacity.hours import loads
from calendar_tui.planning.capacity.uses import (
    UNITS,
    WEEK,
    WEEKLY,
    WHAT,
    Limit,
    Use,
    crop_uses,
    has_of,
    room_uses,
)
from calendar_tui.planning.laying_out.timeline import Timeline
from calendar_tui.planning.staggering.options import Option
from calendar_tui.planning.tasks.amounts import area_at_spacing_m2, area_of_light_m2, trays_of
from calendar_tui.planning.tasks.by_chore import chore_tasks
from calendar_tui.planning.tasks.week import ANYONE
from calendar_tui.season.measures import figure, unit_shown
from calendar_tui.season.records import Cohort, Season
from calendar_tui.season.weeks import monday_of
from calendar_tui.season.wording import day_text

_EQUAL = 1e-6


class Over(NamedTuple):
    """A limit that is not kept, from a day on (weekly: in the week from that Monday): how much is needed, and there is."""

    limit: Limit
    day: date
    needed: float
    has: float

    @property
    def text(self) -> str:
        """ "samples for the laboratory, week of 4 Jan: 9 samples of 6, 3 too many"."""
        unit = UNITS[self.limit.kind]
        when = f"week of {day_text(self.day)}" if self.limit.kind in WEEKLY else day_text(self.day)
        over, what = figure(self.needed - self.has, unit), WHAT[self.limit.kind].format(self.limit.of)
        return f"{what}, {when}: {figure(self.needed, unit)} {unit_shown(unit)} of {figure(self.has, unit)}, {over} too many"


@dataclass(frozen=True)
class Room:
    """What there is, and what the season's own cohorts take of it."""

    season: Season
    taken: tuple[Use, ...]

    def has(self, limit: Limit, day: date) -> float | None:
        """The capacity on a day, or in the week of a Monday; None if it is not set."""
        has = has_of(self.season, limit, day)
        # A place of unknown area is one that holds one cohort, where cohorts take places as a whole.
        return has or 1.0 if limit.kind == "room" else has


def room_of(season: Season, timelines: Mapping[str, Timeline], today: date) -> Room:
    """The room of a season, with the cohorts that it has."""
    return Room(season, tuple(_taken(season, timelines, today)))


def _taken(season: Season, timelines: Mapping[str, Timeline], today: date) -> Iterator[Use]:
    for timeline in timelines.values():
        yield from room_uses(season, timeline)
        yield from crop_uses(season, timeline, today)
    if season.crew is not None:
        for load in loads(season, season.crew.hours_per_week):
            yield Use(Limit("hours", load.role), load.monday, load.monday + WEEK, load.hours)


def uses_of(season: Season, light: str, timeline: Timeline) -> Iterator[Use]:
    """What a new cohort takes of a light and of all else but hours; without plants it takes its light as a whole."""
    cohort = timeline.cohort
    area = _area(season, cohort, light)
    planted, harvest = timeline.planted, timeline.likely("harvest")
    if area is not None and harvest is not None:
        yield Use(Limit("room", light), planted, harvest, area)
    yield from crop_uses(season, timeline)


def _area(season: Season, cohort: Cohort, light: str) -> float | None:
    """The area that a cohort takes of a light: its plants' own, or all; None where that is not known."""
    has = area_of_light_m2(season, light)
    if cohort.plants is None:
        return has or 1.0
    return None if has is None else area_at_spacing_m2(cohort)


def hours_of(season: Season, timeline: Timeline) -> Iterator[Use]:
    """Person-hours, where the roles' are told, of the work that is for this cohort alone; shared work of a place is counted when all is laid out."""
    if season.crew is None or not season.crew.hours_per_week:
        return
    sums: dict[tuple[str, date], float] = {}
    for task in chore_tasks(season, timeline):
        if task.hours:
            key = task.who or ANYONE, monday_of(task.date)
            sums[key] = sums.get(key, 0.0) + task.hours
    for (role, monday), hours in sums.items():
        yield Use(Limit("hours", role), monday, monday + WEEK, hours)


def not_looked_at(season: Season, cohort: Cohort) -> Iterator[str]:
    """Limits that the season tells and that cannot be looked at for such a cohort, with what is missing."""
    variety, nursery = season.varieties[cohort.variety], season.places.get(cohort.nursery or "")
    kept = season.capacity is not None and season.capacity.dryer_holds_kg is not None
    unknown = "the number of plants is not known" if cohort.plants is None else ""
    if kept and (
        why := unknown
        or ("" if variety.fresh_kg_per_plant else f"the fresh weight of a plant of {variety.id} is not set")
    ):
        yield f"the dryer is not looked at: {why}"
    if nursery is not None and nursery.trays is not None and trays_of(season, cohort) is None:
        yield f"trays on benches are not looked at: {unknown or f'{nursery.id} has no number of tray cells'}"
    has = area_of_light_m2(season, cohort.light)
    if cohort.plants is not None and has is None:
        yield f"room in {cohort.light} is not looked at: its area is not set"
    elif cohort.plants is not None and cohort.spacing_m is None:
        yield "room is not looked at: the plants have no spacing; give it (1.5x0.6: m between rows, m in the row)"


@dataclass(frozen=True, slots=True)
class LimitRow:
    """On some days these options, by number and amount, may take no more than is left.

    base: what is taken already; has: what there is; day: the first of these days.
    """

    limit: Limit
    day: date
    amounts: tuple[tuple[int, float], ...]
    base: float
    has: float

    @property
    def left(self) -> float:
        """What is left for the options, in the unit of the limit."""
        return max(self.has - self.base, 0.0)


def rows_of(room: Room, options: Sequence[Option]) -> tuple[LimitRow, ...]:
    """The rows that can be broken at all. The most is taken on a day on which something begins: only those are looked at."""
    by_limit: dict[Limit, list[tuple[int, Use]]] = {}
    # Places that are alike share their timelines, and so the hours of the work.
    hours: dict[int, tuple[Use, ...]] = {}
    for number, option in enumerate(options):
        key = id(option.timeline)
        if key not in hours:
            hours[key] = tuple(hours_of(room.season, option.timeline))
        for use in (*uses_of(room.season, option.light, option.timeline), *hours[key]):
            by_limit.setdefault(use.limit, []).append((number, use))
    return tuple(
        row for limit, uses in by_limit.items() for row in _rows_of_limit(room, limit, uses, options)
    )


def _rows_of_limit(
    room: Room, limit: Limit, numbered: Sequence[tuple[int, Use]], options: Sequence[Option]
) -> Iterator[LimitRow]:
    taken = [use for use in room.taken if use.limit == limit]
    kept: dict[tuple[tuple[int, float], ...], LimitRow] = {}
    for day in sorted({use.first for _, use in numbered} | {use.first for use in taken}):
        has = room.has(limit, day)
        if has is None:
            continue
        sums: dict[int, float] = {}
        for number, use in numbered:
            if use.first <= day < use.end:
                sums[number] = sums.get(number, 0.0) + use.amount
        row = LimitRow(
            limit, day, tuple(sums.items()), sum(u.amount for u in taken if u.first <= day < u.end), has
        )
        before = kept.get(row.amounts)
        if _most(row, options) > row.left + _EQUAL and (before is None or row.left < before.left):
            kept[row.amounts] = row
    yield from kept.values()


def _most(row: LimitRow, options: Sequence[Option]) -> float:
    """The most that can be taken, with one planting for each harvest in each light."""
    most: dict[tuple[int, str], float] = {}
    for number, amount in row.amounts:
        key = options[number].target, options[number].light
        most[key] = max(most.get(key, 0.0), amount)
    return sum(most.values())


def overs(room: Room, uses: Iterable[Use]) -> tuple[Over, ...]:
    """Where these uses, with what is taken, are more than there is: the worst day of each limit, and each such week."""
    by_limit: dict[Limit, list[Use]] = {}
    for use in uses:
        by_limit.setdefault(use.limit, []).append(use)
    overs_of_all: list[Over] = []
    for limit, own in by_limit.items():
        all_of = [*own, *(use for use in room.taken if use.limit == limit)]
        over = [o for day in sorted({u.first for u in all_of}) if (o := _over(room, limit, day, own, all_of))]
        overs_of_all += over if limit.kind in WEEKLY else sorted(over, key=lambda o: o.has - o.needed)[:1]
    return tuple(overs_of_all)


def _over(room: Room, limit: Limit, day: date, own: Sequence[Use], all_of: Sequence[Use]) -> Over | None:
    has, needed = room.has(limit, day), sum(u.amount for u in all_of if u.first <= day < u.end)
    ours = any(u.first <= day < u.end for u in own)
    return Over(limit, day, needed, has) if ours and has is not None and needed > has + _EQUAL else None


def peak(uses: Iterable[Use], kind: str) -> tuple[float, date] | None:
    """The most of one kind that is taken on one day, and the first such day; None for nothing."""
    spans = [use for use in uses if use.limit.kind == kind]
    sums = {
        day: sum(u.amount for u in spans if u.first <= day < u.end)
        for day in sorted({u.first for u in spans})
    }
    day = max(sums, key=lambda d: sums[d], default=None)
    return None if day is None else (sums[day], day)
