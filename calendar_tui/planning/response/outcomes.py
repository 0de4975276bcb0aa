"""The response of the date: what planting on each date of a year comes to, by the engine of the calendar itself."""

from __future__ import annotations

from collections import Counter
from collections.abc import Callable, Iterable, Iterator, Mapping, Sequence
from dataclasses import dataclass, replace
from datetime import date, timedelta
from functools import cached_property
from itertools import groupby
from math import ceil

from calendar_tui.nature.rounding import whole
from calendar_tui.planning.laying_out.early import early_stages
from calendar_tui.planning.laying_out.light import season_light
from calendar_tui.planning.laying_out.stages import Range, StageDate
from calendar_tui.planning.laying_out.timeline import Timeline, lay_out
from calendar_tui.planning.laying_out.warmth import Warmth, season_warmth
from calendar_tui.season.readers import choices
from calendar_tui.season.records import Cohort, Season, Variety, light_name
from calendar_tui.season.refusal import Refusal
from calendar_tui.season.wording import day_text, days_text

YEAR_D = 366
MOST_NURSERY_D = 120
COHORT_ID = "planting"


@dataclass(frozen=True, slots=True, kw_only=True)
class Planting:
    """How plants would be started and grown; the date is left open.

    nursery: None where they are sown or stuck in place; nursery_d: days there, None for the variety's likely ones.
    lights_off: a date, or days after planting; None: they grow on natural days.
    """

    variety: str
    place: str
    part: str = ""
    start: str = "seed"
    nursery: str | None = None
    nursery_d: int | None = None
    lights_off: date | int | None = None


# The stages of an outcome that have a range.
RANGED = ("trigger", "induced", "flowering", "harvest")


@dataclass(frozen=True, slots=True)
class Outcome:
    """What planting on one date comes to; None where it does not get so far.

    planted: the day the plants are to come into their place; begun: seeding or sticking; up: emergence or rooted.
    transplant: later than planted where the plants are not up by then; None where they are sown or stuck in place.
    reason: why the trigger (day-neutral: flowering) is when it is. never: why it does not flower, or "".
    """

    planted: date
    begun: date
    transplant: date | None
    up: date | None
    lights_off: date | None
    trigger: Range | None
    induced: Range | None
    flowering: Range | None
    harvest: Range | None
    growth_d: int | None
    reason: str
    never: str


@dataclass(frozen=True)
class Curve:
    """The outcomes of one planting by date, in order. notes: what the temperatures lack, in sentences."""

    planting: Planting
    outcomes: tuple[Outcome, ...]
    notes: tuple[str, ...] = ()

    @cached_property
    def spread(self) -> Spread | None:
        """Over how many days those that flower are planted, flower and are harvested; None where none does."""
        return spread(self.outcomes)


@dataclass(frozen=True, slots=True)
class Spread:
    """Days from the first to the last of several plantings: planted, in flower, harvested. By their likely dates."""

    planted_d: int
    flowering_d: int
    harvest_d: int

    @property
    def text(self) -> str:
        """ "planted over 78 days, flowering within 48 days, harvest within 48 days"."""
        flowering, harvest = days_text(self.flowering_d), days_text(self.harvest_d)
        return f"planted over {days_text(self.planted_d)}, flowering within {flowering}, harvest within {harvest}"


def spread(outcomes: Sequence[Outcome]) -> Spread | None:
    """The spread of those that flower; None where none does."""
    rows = [(o.planted, o.flowering.likely, o.harvest.likely) for o in outcomes if o.flowering and o.harvest]
    if not rows:
        return None
    return Spread(*((max(column) - min(column)).days for column in zip(*rows, strict=True)))


def closest(outcomes: Sequence[Outcome], within_d: int) -> tuple[Outcome, ...]:
    """The longest run of planting dates of which all flower within so many days of one another, by likely dates."""
    best, begin = (0, 0), 0
    days = [None if o.flowering is None else o.flowering.likely.toordinal() for o in outcomes]
    for end, day in enumerate(days):
        if day is None:
            begin = end + 1
            continue
        begin = _begin_within(days, begin, end, within_d)
        best = max(best, (begin, end + 1), key=lambda run: run[1] - run[0])
    return tuple(outcomes[slice(*best)])


def _begin_within(days: Sequence[int | None], begin: int, end: int, within_d: int) -> int:
    """The first date from `begin` on from which all up to `end` flower within so many days of that one."""
    last = days[end] or 0
    apart = (n for n in range(end - 1, begin - 1, -1) if abs((days[n] or 0) - last) > within_d)
    return next(apart, begin - 1) + 1


def response(season: Season, planting: Planting, first: date, last: date) -> Curve:
    """What planting on each date from first to last comes to, alone in its place.

    Each is as `make_plan` lays a cohort out that stands alone in `around(season, planting, first, last)`.
    """
    span = around(season, planting, first, last)
    warmth = season_warmth(span)
    dates = (first + timedelta(days=n) for n in range((last - first).days + 1))
    outcomes = tuple(outcome(timeline) for timeline in timelines(span, planting, dates, warmth))
    return Curve(planting, outcomes, () if warmth is None else warmth.notes)


def around(season: Season, planting: Planting, first: date, last: date) -> Season:
    """The season without its cohorts, from the first start of a planting to a year after the last has grown up.

    In that year there is every natural day that the site has. Places have lamps as in the season; programmes, outages and
    a station's own days hold on their dates. Only the places that are needed are in it.
    """
    variety = season.varieties[planting.variety]
    grown_d = ceil(variety.emergence_d.late + variety.juvenile_d.late)
    used = [name for name in (planting.place, planting.nursery) if name]
    return replace(
        season,
        first_day=first - timedelta(days=nursery_days(variety, planting)),
        last_day=last + timedelta(days=YEAR_D + grown_d),
        places={name: season.places[name] for name in used},
        cohorts={},
        chores={},
        tasks=(),
    )


def usual_nursery(season: Season, variety: str, start: str, place: str) -> str | None:
    """The nursery that most of a variety's cohorts of this start come through; None where most are begun in place.

    Of a variety without such cohorts, that of its others. A nursery is none for what is planted in it.
    """
    own = [c for c in season.cohorts.values() if c.variety == variety]
    alike = [c.nursery for c in own if c.start == start] or [c.nursery for c in own]
    usual = Counter(alike).most_common(1)
    return next((name for name, _ in usual if name != place), None)


def nursery_days(variety: Variety, planting: Planting) -> int:
    """Days in the nursery, 0 where there is none."""
    if not planting.nursery:
        return 0
    if planting.nursery_d is not None:
        return planting.nursery_d
    return whole(variety.to_transplant_d(planting.start).likely)


def cohort_of(variety: Variety, planting: Planting, day: date) -> Cohort:
    """The cohort that is planted like this on a day."""
    begin = "sticking" if planting.start == "cutting" else "seeding"
    planned = {begin: day - timedelta(days=nursery_days(variety, planting))}
    if planting.nursery:
        planned["transplant"] = day
    if planting.lights_off is not None:
        off = planting.lights_off
        planned["lights_off"] = day + timedelta(days=off) if isinstance(off, int) else off
    return Cohort(
        id=COHORT_ID,
        variety=variety.id,
        start=planting.start,
        place=planting.place,
        part=planting.part,
        nursery=planting.nursery,
        planned=planned,
    )


def timelines(
    span: Season, planting: Planting, dates: Iterable[date], warmth: Warmth | None
) -> Iterator[Timeline]:
    """The timeline of one cohort for each date, each alone in the season `span`."""
    variety = span.varieties[planting.variety]
    for day in dates:
        cohort = cohort_of(variety, planting, day)
        alone = replace(span, cohorts={cohort.id: cohort})
        early = early_stages(alone, cohort, warmth)
        yield lay_out(alone, cohort, early, season_light(alone, {cohort.id: early}), warmth)


def outcome(timeline: Timeline) -> Outcome:
    """The dates of a timeline that a grower chooses a planting date by."""
    stages = timeline.stages
    decisive = stages.get("trigger") or stages.get("flowering")
    return Outcome(
        planted=timeline.cohort.planned.get("transplant", timeline.begun),
        begun=timeline.begun,
        transplant=timeline.likely("transplant"),
        up=timeline.likely("emergence") or timeline.likely("rooted"),
        lights_off=timeline.likely("lights_off"),
        trigger=_range(stages, "trigger"),
        induced=_range(stages, "induced"),
        flowering=_range(stages, "flowering"),
        harvest=_range(stages, "harvest"),
        growth_d=timeline.growth_d,
        reason="" if decisive is None else decisive.reason,
        never=timeline.never,
    )


def _range(stages: Mapping[str, StageDate], stage: str) -> Range | None:
    stage_date = stages.get(stage)
    return None if stage_date is None else stage_date.range


def check_planting(season: Season, planting: Planting) -> None:
    """Raises Refusal, with what would be right, where plants cannot be started and grown like this.

    Its variety is one of the season's.
    """
    place, nursery, days = season.places[planting.place], planting.nursery, planting.nursery_d
    if planting.lights_off is not None and place.lamps is None:
        lit = [p.id for p in season.places.values() if p.lamps is not None]
        raise Refusal(
            f"{place.id} has no lamps to switch off{choices(place.id, lit, 'Places with lamps')}"
            if lit
            else f"{place.id} has no lamps to switch off, nor has any place of this season"
        )
    if nursery == planting.place:
        raise Refusal(f"{nursery} cannot be both the nursery and the place; leave the nursery out")
    if days is not None and nursery is None:
        raise Refusal("days in the nursery are given, and no nursery; name the nursery too")
    if days is not None and not 1 <= days <= MOST_NURSERY_D:
        raise Refusal(f"{days_text(days)} in the nursery cannot be; give 1 to {MOST_NURSERY_D}")


def placed(season: Season, light: str) -> tuple[str, str]:
    """The place and the part of a light's name; of a screened place named as a whole, its first part."""
    for place in season.places.values():
        for part in place.parts:
            if light in (place.id, light_name(place.id, part)):
                return place.id, part
    raise KeyError(light)


def stretches(outcomes: Sequence[Outcome], holds: Callable[[Outcome], bool]) -> list[tuple[date, date]]:
    """The first and last planting date of each run of dates for which something holds."""
    groups = (list(run) for held, run in groupby(outcomes, key=holds) if held)
    return [(run[0].planted, run[-1].planted) for run in groups]


def planting_text(planting: Planting, variety: Variety) -> str:
    """ "amber from seed, 25 d in N1, then H2 under lamps for 28 d", "amber from seed, sown in place, F1 on natural days"."""
    kind, begun = (
        ("cuttings", "stuck in place, ") if planting.start == "cutting" else ("seed", "sown in place, ")
    )
    if planting.nursery:
        begun = f"{nursery_days(variety, planting)} d in {planting.nursery}, then "
    where = light_name(planting.place, planting.part)
    off = planting.lights_off
    light = "on natural days" if off is None else "under lamps "
    if off is not None:
        light += f"for {off} d" if isinstance(off, int) else f"to {day_text(off)} {off.year}"
    return f"{variety.id} from {kind}, {begun}{where} {light}"
