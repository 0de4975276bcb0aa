"""The bags that the sampling plans of a season ask for: of each cohort by day, lot, block or plot, and position."""

from __future__ import annotations

from collections.abc import Callable, Collection, Iterable, Iterator, Mapping
from datetime import date, timedelta
from itertools import groupby
from typing import TYPE_CHECKING, NamedTuple

from calendar_tui.planning.laying_out.timeline import Timeline
from calendar_tui.season.lots import lots_of_cohort, passes_in
from calendar_tui.season.records import Season
from calendar_tui.season.rules import Lot
from calendar_tui.season.sampling import BagOf, Sampling
from calendar_tui.season.wording import weekday_text
from calendar_tui.season.work import WORK_DAYS, Crew

if TYPE_CHECKING:
    from calendar_tui.season.trials import TrialPlot

_DAY = timedelta(days=1)
# How far a day may wait for the laboratory and the crew, in days; it stays where both never come together.
_FARTHEST_D = 13


class PlannedBag(NamedTuple):
    """A bag to cut. lot: where its cohort has several; meant: the day by the plan alone; why: it is cut on another.

    near_d: how many days from its own a bag may be cut and still be this one.
    """

    day: date
    cohort: str
    position: str
    lot: str = ""
    block: str = ""
    plot: str = ""
    plants: int = 5
    laboratory: str = ""
    plan: str = ""
    meant: date = date.min
    why: str = ""
    near_d: int = 3

    @property
    def of(self) -> BagOf:
        return BagOf(self.cohort, self.lot, self.block, self.plot, self.position)


class Trip(NamedTuple):
    """All bags of a day, cut in one round. meant: the first of the days that the plans alone ask for."""

    day: date
    bags: tuple[PlannedBag, ...]

    @property
    def meant(self) -> date:
        return min(bag.meant for bag in self.bags)

    @property
    def why(self) -> str:
        """Why some of it is not on the day of its plan."""
        return "; ".join(dict.fromkeys(bag.why for bag in self.bags if bag.why))

    @property
    def cohorts(self) -> tuple[str, ...]:
        return tuple(dict.fromkeys(bag.cohort for bag in self.bags))


class _Day(NamedTuple):
    day: date
    meant: date
    why: str


class _Unit(NamedTuple):
    """What a bag stands for; "" for all of them. lost: the day from which nothing of it counts."""

    lot: str
    block: str = ""
    plot: str = ""
    lost: date | None = None


def plans_of(season: Season, cohort: str) -> tuple[Sampling, ...]:
    """The sampling plans that a cohort is in."""
    return tuple(plan for plan in season.samplings.values() if not plan.cohorts or cohort in plan.cohorts)


def tagged_of(season: Season, cohort: str, position: str) -> tuple[str, ...]:
    """The tagged plants that bags of a cohort and position are cut from, by its plans; none where these tag none."""
    plans = (plan for plan in plans_of(season, cohort) if position in plan.positions)
    return tuple(dict.fromkeys(plant for plan in plans for plant in plan.tagged))


def planned_bags(
    season: Season, timelines: Mapping[str, Timeline], cohorts: Collection[str] | None = None
) -> tuple[PlannedBag, ...]:
    """Every bag that the plans ask for, by day, in the order of the cohorts. cohorts: only of these.

    A bag that two plans ask for on one day is one.
    """
    chosen = [t for name, t in timelines.items() if cohorts is None or name in cohorts]
    bags = [bag for timeline in chosen for bag in bags_of_cohort(season, timeline)]
    return tuple(sorted(bags, key=lambda bag: bag.day))


def bags_of_cohort(season: Season, timeline: Timeline) -> tuple[PlannedBag, ...]:
    """The bags that the plans ask for of one cohort, by day."""
    bags: dict[tuple[date, BagOf], PlannedBag] = {}
    for plan in plans_of(season, timeline.cohort.id):
        for bag in _bags(season, plan, timeline):
            bags.setdefault((bag.day, bag.of), bag)
    return tuple(sorted(bags.values(), key=lambda bag: bag.day))


def bags_at_once(season: Season, cohort: str) -> int:
    """How many bags the plans ask for of a cohort when each of them cuts some."""
    lots = _lots(season, cohort)
    return len(
        {
            (unit, position)
            for plan in plans_of(season, cohort)
            for unit in _units(season, plan, lots)
            if unit.lost is None
            for position in plan.positions
        }
    )


def trips(bags: Iterable[PlannedBag]) -> tuple[Trip, ...]:
    """The rounds in which bags are cut, one a day, whatever cohorts and plans they are of."""
    by_day = groupby(sorted(bags, key=lambda bag: bag.day), key=lambda bag: bag.day)
    return tuple(Trip(day, tuple(of_day)) for day, of_day in by_day)


def is_lost(season: Season, of: BagOf, day: date) -> bool:
    """Whether the plot that a bag is of, or every plot of its block, is lost on a day."""
    plots = [season.plots[of.plot]] if of.plot else _plots_in_block(season, of.cohort, of.block)
    return bool(plots) and all(plot.lost_by(day) is not None for plot in plots)


def _plots_in_block(season: Season, cohort: str, block: str) -> list[TrialPlot]:
    own = (plot for plot in season.plots.values() if plot.cohort == cohort and not plot.is_guard)
    return [plot for plot in own if block and str(plot.block) == block]


def last_cut(season: Season, timeline: Timeline, lot: Lot) -> date | None:
    """The day of a lot's last pass; before one is recorded, the latest day of the harvest, or of a pass after it.

    Of a crop that waits behind its harvest it is the day up to which that is worked.
    """
    passes = passes_in(season, lot)
    if ends := [one.date for one in passes if one.last]:
        return max(ends)
    harvest = timeline.stages.get("harvest")
    if harvest is None:
        return None
    waits = [] if timeline.waits_to is None else [timeline.waits_to]
    return max([harvest.range.latest, *waits, *(one.date for one in passes)])


def _bags(season: Season, plan: Sampling, timeline: Timeline) -> Iterator[PlannedBag]:
    cohort = timeline.cohort.id
    lots = _lots(season, cohort)
    ends = {lot.id: last_cut(season, timeline, lot) for lot in lots}
    last = max((end for end in ends.values() if end is not None), default=None)
    units = list(_units(season, plan, lots))
    for at in _days(season, plan, timeline, last):
        for unit in units:
            end = ends.get(unit.lot, last)
            if end is None or at.day > end or (unit.lost is not None and at.day >= unit.lost):
                continue
            for position in plan.positions:
                yield PlannedBag(
                    at.day,
                    cohort,
                    position,
                    unit.lot if len(lots) > 1 else "",
                    unit.block,
                    unit.plot,
                    plan.plants,
                    plan.laboratory,
                    plan.id,
                    at.meant,
                    at.why,
                    (plan.every_d - 1) // 2,
                )


def _lots(season: Season, cohort: str) -> tuple[Lot, ...]:
    """The lots of a cohort; one that is only proposed is one."""
    return lots_of_cohort(season, cohort) if cohort in season.cohorts else (Lot(id=cohort, cohort=cohort),)


def _units(season: Season, plan: Sampling, lots: Collection[Lot]) -> Iterator[_Unit]:
    """What a bag each stands for, lot by lot; a lot that has no block or plot is one.

    Blocks are those of the lot, else of the plan, else those in which plots of a trial have the cohort's plants.
    """
    if plan.by == "pooled":
        yield _Unit("")
        return
    for lot in lots:
        blocks = [b for b in lot.blocks if not plan.blocks or b in plan.blocks] if lot.blocks else plan.blocks
        units = list(_PARTS[plan.by](season, lot, tuple(blocks))) if plan.by in _PARTS else []
        yield from units or [_Unit(lot.id)]


def _blocks(season: Season, lot: Lot, blocks: Collection[str]) -> Iterator[_Unit]:
    """A block of plots is lost with the last of them."""
    if blocks:
        yield from (_Unit(lot.id, block) for block in blocks)
        return
    by_block: dict[int, list[date | None]] = {}
    for plot in _plots_of(season, lot, ()):
        if plot.block is not None:
            by_block.setdefault(plot.block, []).append(plot.lost)
    for number, days in sorted(by_block.items()):
        lost = [day for day in days if day is not None]
        yield _Unit(lot.id, str(number), lost=max(lost) if len(lost) == len(days) else None)


def _plots(season: Season, lot: Lot, blocks: Collection[str]) -> Iterator[_Unit]:
    """In walking order."""
    plots = _plots_of(season, lot, blocks)
    for plot in sorted(plots, key=lambda one: (one.trial, one.number or 0)):
        yield _Unit(lot.id, plot=plot.id, lost=plot.lost)


def _plots_of(season: Season, lot: Lot, blocks: Collection[str]) -> list[TrialPlot]:
    """The plots in which plants of a lot stand, guards left out; blocks: in these, all of them for none."""
    own = (plot for plot in season.plots.values() if plot.cohort == lot.cohort and not plot.is_guard)
    return [plot for plot in own if not blocks or str(plot.block) in blocks]


# What parts of a lot have bags of their own, by the word of the plan.
_PARTS: Mapping[str, Callable[[Season, Lot, Collection[str]], Iterator[_Unit]]] = {
    "block": _blocks,
    "plot": _plots,
}


def _days(season: Season, plan: Sampling, timeline: Timeline, last: date | None) -> Iterator[_Day]:
    """The days of a plan for a cohort, each once; the last may be moved over the end."""
    flowering = timeline.likely("flowering")
    begins = plan.begins if isinstance(plan.begins, date) else timeline.likely(plan.begins)
    if begins is None or last is None:
        return
    if flowering is not None and isinstance(plan.begins, date):
        # Of a cohort that flowers later no bag before that shows anything of the trend.
        begins = max(begins, flowering)
    first, before = begins + timedelta(days=plan.offset_d), None
    for n in range(max((last - first).days // plan.every_d + 1, 0)):
        meant = _on_weekday(first + timedelta(days=n * plan.every_d), plan.weekday)
        at = _open_day(season, plan, meant)
        if at.day != before:
            yield at
        before = at.day


def _on_weekday(day: date, weekday: str) -> date:
    """The first such weekday from a day on; the day itself without one."""
    return day + timedelta(days=(WORK_DAYS.index(weekday) - day.weekday()) % 7) if weekday else day


def _open_day(season: Season, plan: Sampling, meant: date) -> _Day:
    """The first day from one on that the laboratory takes bags in and the crew works."""
    laboratory = season.laboratories.get(plan.laboratory)
    takes = WORK_DAYS if laboratory is None else laboratory.takes
    crew = season.crew or Crew()
    near = (meant + n * _DAY for n in range(_FARTHEST_D + 1))
    day = next((d for d in near if WORK_DAYS[d.weekday()] in takes and crew.works(d)), meant)
    if day == meant:
        return _Day(day, meant, "")
    whose = (
        f"laboratory {plan.laboratory} takes bags in on {', '.join(takes)}"
        if WORK_DAYS[meant.weekday()] not in takes
        else "no working day"
    )
    return _Day(day, meant, f"moved from {weekday_text(meant)}: {whose}")
