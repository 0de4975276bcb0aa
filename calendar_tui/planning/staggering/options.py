"""What may be planted: for each place, planting date and lights-off date the harvest, by the engine of the calendar."""

from __future__ import annotations

from collections.abc import Callable, Iterable, Iterator, Mapping
from dataclasses import dataclass, field, replace
from datetime import date, timedelta

from calendar_tui.nature.quantities import plants_per_area
from calendar_tui.nature.rounding import whole
from calendar_tui.planning.clash_words import FEW_GROWTH_D
from calendar_tui.planning.laying_out.early import early_stages
from calendar_tui.planning.laying_out.light import season_light
from calendar_tui.planning.laying_out.programmes import place_of, programmes_of
from calendar_tui.planning.laying_out.timeline import Timeline, lay_out
from calendar_tui.planning.laying_out.warmth import Warmth
from calendar_tui.planning.response.outcomes import placed
from calendar_tui.planning.staggering.wish import Wish
from calendar_tui.planning.tasks.amounts import area_of_light_m2
from calendar_tui.season.records import Cohort, Crew, Lamps, Season

_DAY = timedelta(days=1)
# Other days of growth that are tried under lamps, beside those wished for.
_MORE_GROWN_D = (0, -7, 7, 14, 28)
# Of the plantings in one place that come to a harvest about one date, so many are kept, the cheapest.
MOST_A_HARVEST = 24
# What a choice costs: a day off the harvest wished for, a day of growth missing, one under what keeps plants small,
# one more than wished for, and a night of lamps. Choices, so that dates come first and then plants; whole numbers.
COST_OFF, COST_MISSING, COST_SMALL, COST_MORE, COST_NIGHTS = 200, 50, 300, 4, 1


@dataclass(frozen=True, slots=True)
class Option:
    """One way to plant a cohort, alone in its place, and what comes of it.

    target: the number of the harvest wished for; begun: seeding or sticking; planted: into its place; off: lights off, None
    on natural days; harvest: the likely one; off_d: days by which it misses the date wished for.
    """

    target: int
    light: str
    begun: date
    planted: date
    off: date | None
    harvest: date
    off_d: int
    growth_d: int
    cost: int
    timeline: Timeline = field(compare=False, repr=False)


@dataclass(frozen=True)
class Bench:
    """Where plantings are tried out: a season without cohorts. known: what has been tried."""

    season: Season
    wish: Wish
    warmth: Warmth | None
    begin: date
    known: dict[tuple[object, date, date, date | None], Timeline] = field(default_factory=dict)
    classes: dict[str, object] = field(default_factory=dict)


def bench_of(season: Season, wish: Wish, warmth: Warmth | None, today: date) -> Bench:
    """Nothing is started before today, nor before the season's first day."""
    empty = replace(season, cohorts={}, chores={}, tasks=(), drafts={})
    return Bench(empty, wish, warmth, max(season.first_day, today))


def tried(bench: Bench, light: str, begun: date, planted: date, off: date | None) -> Timeline:
    """The timeline of a cohort that is planted so, alone. Places alike in light and warmth are tried once."""
    if light not in bench.classes:
        bench.classes[light] = _alike(bench.season, light)
    key = (bench.classes[light], begun, planted, off)
    if key not in bench.known:
        bench.known[key] = _laid_out(bench, cohort_of(bench.season, bench.wish, light, begun, planted, off))
    return bench.known[key]


def _alike(season: Season, light: str) -> object:
    """What decides the dates and the work of a cohort in a light, the same for places that are alike."""
    place = place_of(season, light)
    failed = tuple((o.first, o.last) for o in season.outages if o.place in (place.id, light))
    area = area_of_light_m2(season, light)
    return place.kind, area, place.lamps, programmes_of(season, place), failed, place.warmer_c, place.held_c


def cohort_of(
    season: Season, wish: Wish, light: str, begun: date, planted: date, off: date | None, name: str = "new"
) -> Cohort:
    """The cohort that is planted so; its plants: as wished for, else as many as the light's area holds."""
    place, part = placed(season, light)
    planned = {"sticking" if wish.start == "cutting" else "seeding": begun}
    if wish.nursery:
        planned["transplant"] = planted
    if off is not None:
        planned["lights_off"] = off
    return Cohort(
        id=name,
        variety=wish.variety,
        start=wish.start,
        place=place,
        part=part,
        nursery=wish.nursery,
        plants=plants_of(season, wish, light),
        spacing_m=wish.spacing_m,
        planned=planned,
    )


def plants_of(season: Season, wish: Wish, light: str) -> int | None:
    """Plants of a cohort in this light; None if they are not set, and area or spacing is not known."""
    area = area_of_light_m2(season, light)
    if wish.plants is not None or area is None or wish.spacing_m is None:
        return wish.plants
    return plants_per_area(area, *wish.spacing_m) or None


def _laid_out(bench: Bench, cohort: Cohort) -> Timeline:
    used = {stay.place: bench.season.places[stay.place] for stay in cohort.stays}
    alone = replace(bench.season, places=used, cohorts={cohort.id: cohort})
    early = early_stages(alone, cohort, bench.warmth, count=0)  # tried by its likely run alone
    return lay_out(alone, cohort, early, season_light(alone, {cohort.id: early}), bench.warmth)


# --- which dates are tried


def begun_for(bench: Bench, planted: date) -> date:
    """Seeding or sticking for a planting date: the likely days before, or the last working day before that."""
    if not bench.wish.nursery:
        return planted
    variety = bench.season.varieties[bench.wish.variety]
    days = whole(variety.to_transplant_d(bench.wish.start).likely)
    day, works = planted - timedelta(days=days), _works(bench.season)
    return next((d for d in (day - timedelta(days=n) for n in range(8)) if works(d)), day)


def _works(season: Season) -> Callable[[date], bool]:
    return (season.crew or Crew()).works


def may_plant(bench: Bench, light: str, day: date) -> bool:
    """Whether the farm works on this day, and neither a window nor frost forbids planting there."""
    capacity, site = bench.season.capacity, bench.season.site
    if not _works(bench.season)(day) or begun_for(bench, day) < bench.begin:
        return False
    if place_of(bench.season, light).kind == "field" and site.last_frost and day <= site.last_frost:
        return False
    return capacity is None or _inside(day, capacity.planting_from, capacity.planting_to)


def may_harvest(bench: Bench, light: str, day: date) -> bool:
    """Whether the farm works on this day, and neither a window nor frost forbids a harvest there."""
    capacity, site = bench.season.capacity, bench.season.site
    if not _works(bench.season)(day) or day > bench.season.last_day:
        return False
    if place_of(bench.season, light).kind == "field" and site.first_frost and day >= site.first_frost:
        return False
    return capacity is None or _inside(day, capacity.harvest_from, capacity.harvest_to)


def _inside(day: date, first: date | None, last: date | None) -> bool:
    return (first is None or first <= day) and (last is None or day <= last)


def days_of(bench: Bench) -> Iterator[date]:
    """Every day on which something can be planted."""
    count = (bench.season.last_day - bench.begin).days + 1
    return (bench.begin + timedelta(days=n) for n in range(count))


def lamps_of(bench: Bench, light: str) -> Lamps | None:
    """The lamps that can hold the variety back there; None for a day-neutral one too."""
    short_day = bench.season.varieties[bench.wish.variety].response == "short-day"
    return place_of(bench.season, light).lamps if short_day else None


def plantings(bench: Bench, light: str, wanted: Callable[[date], bool]) -> Iterator[tuple[date, date | None]]:
    """Planting date and lights-off that are worth trying there: natural days, and under lamps those that come to a
    harvest that is wanted.
    """
    for day in days_of(bench):
        if may_plant(bench, light, day):
            yield day, None
    if lamps_of(bench, light) is None:
        return
    works = _works(bench.season)
    for off in days_of(bench):
        planted = lit_planting(bench, light, off) if works(off) else None
        if planted is None:
            continue
        harvest = tried(bench, light, begun_for(bench, planted), planted, off).likely("harvest")
        if harvest is None or not wanted(harvest):
            continue
        for more in _MORE_GROWN_D:
            day = planted - timedelta(days=more)
            if day < off and may_plant(bench, light, day):
                yield day, off


def lit_planting(bench: Bench, light: str, off: date) -> date | None:
    """When to plant for the days of growth wished for before the induction that follows lights off; None for too early.

    Plants under lamps are induced some days after lights off, how many depends on the light and not on the planting.
    """
    planted = off - timedelta(days=bench.wish.grown_d)
    if planted < bench.begin:
        return None
    grown = tried(bench, light, begun_for(bench, planted), planted, off).growth_d
    if grown is None:
        return planted
    return min(planted + timedelta(days=max(grown - bench.wish.grown_d, 0)), off - _DAY)


def options_in(
    bench: Bench, light: str, targets: Mapping[int, date], on_trial: Callable[[], None] = lambda: None
) -> list[Option]:
    """The ways to plant in a light that come to one of these harvests, the cheapest for each.

    targets: the harvests, by number. on_trial: called for each trial; what it raises ends the search.
    """
    # Each planting is run through the calendar's own engine, which is dear: under lamps only those are tried whose harvest,
    # with the growth wished for, falls near one that is wanted, and of each place and harvest the cheapest go on to the solver.
    near = {
        d + timedelta(days=n)
        for d in targets.values()
        for n in range(-bench.wish.within_d, bench.wish.within_d + 1)
    }
    by_target: dict[int, list[Option]] = {}
    for planted, off in plantings(bench, light, near.__contains__):
        on_trial()
        begun = begun_for(bench, planted)
        timeline = tried(bench, light, begun, planted, off)
        harvest = timeline.likely("harvest")
        if harvest is None or harvest not in near or not may_harvest(bench, light, harvest):
            continue
        # The engine may hold a transplant, and lights off before the trigger is in vain: neither is promised.
        if timeline.likely("transplant") not in (None, planted) or timeline.never:
            continue
        for number, target in targets.items():
            if abs((harvest - target).days) <= bench.wish.within_d:
                option = _option(bench.wish, number, light, begun, planted, off, harvest, target, timeline)
                by_target.setdefault(number, []).append(option)
    return [o for n in sorted(by_target) for o in sorted(by_target[n], key=_order)[:MOST_A_HARVEST]]


def _order(option: Option) -> tuple[int, date, date]:
    return option.cost, option.planted, option.off or date.min


def _option(
    wish: Wish,
    number: int,
    light: str,
    begun: date,
    planted: date,
    off: date | None,
    harvest: date,
    target: date,
    timeline: Timeline,
) -> Option:
    grown, off_d = timeline.growth_d or 0, (harvest - target).days
    cost = COST_OFF * abs(off_d) + COST_MISSING * max(wish.grown_d - grown, 0)
    cost += COST_SMALL * max(FEW_GROWTH_D - grown, 0) + COST_MORE * max(grown - wish.grown_d, 0)
    cost += 0 if off is None else COST_NIGHTS * (off - planted).days
    return Option(number, light, begun, planted, off, harvest, off_d, grown, cost, timeline)


def harvests_of(bench: Bench, lights: Iterable[str]) -> tuple[date, date] | None:
    """The earliest and the latest harvest that these places can have, of plants that are not small where some are not.

    None for no harvest at all.
    """
    by_size: dict[bool, list[date]] = {True: [], False: []}
    for light in lights:
        for planted, off in _some_plantings(bench, light):
            timeline = tried(bench, light, begun_for(bench, planted), planted, off)
            harvest = timeline.likely("harvest")
            if harvest is not None and may_harvest(bench, light, harvest):
                small = (timeline.growth_d or 0) < min(bench.wish.grown_d, FEW_GROWTH_D)
                by_size[small].append(harvest)
    dates = by_size[False] or by_size[True]
    return (min(dates), max(dates)) if dates else None


def _some_plantings(bench: Bench, light: str) -> Iterator[tuple[date, date | None]]:
    """Natural days, and under lamps as many days of growth as wished for."""
    lit = lamps_of(bench, light) is not None
    for day in days_of(bench):
        if lit and (planted := lit_planting(bench, light, day)) and may_plant(bench, light, planted):
            yield planted, day
        elif not lit and may_plant(bench, light, day):
            yield day, None
