"""What each type would give a variety at this site: for its planned cohorts or, where it has none, for some sowings."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass, replace
from datetime import date, timedelta

from calendar_tui.planning.changes.variety_type import of_type
from calendar_tui.planning.laying_out.early import early_stages
from calendar_tui.planning.laying_out.stages import StageDate
from calendar_tui.planning.laying_out.timeline import Timeline, lay_out
from calendar_tui.planning.laying_out.warmth import season_warmth
from calendar_tui.planning.plan import Plan
from calendar_tui.planning.response.outcomes import Planting, around, timelines
from calendar_tui.season.records import Cohort, Variety
from calendar_tui.season.stages import EARLY, TABLE
from calendar_tui.season.variety_types import DEFAULT, VarietyType, type_of, variety_types

# Trigger, induced, flowering and harvest: what the light decides of the phases of a cohort, and what follows.
STAGES = tuple(stage.name for stage in TABLE if stage.begins and stage.name not in EARLY)
# Stages whose record says more of a variety than its type does.
_SEEN = frozenset(STAGES)
# Sowings that are tried for a variety without cohorts: so many, a sixth of the season apart.
_SOWINGS, _APART = 4, 6


@dataclass(frozen=True, slots=True)
class TypeDates:
    """Trigger to harvest as a type gives them; kind: None where it is as the variety stands; never: why it does not flower."""

    kind: VarietyType | None
    timeline: Timeline

    @property
    def never(self) -> str:
        return self.timeline.never

    def stage(self, stage: str) -> StageDate | None:
        """None where it does not get there."""
        return self.timeline.stages.get(stage)

    def induced(self) -> StageDate | None:
        """Induced, or of what flowers by age, flowering."""
        return self.stage("induced") or self.stage("flowering")


@dataclass(frozen=True, slots=True)
class Comparison:
    """One cohort, or one sowing where `sown` is set, as the variety stands and under each type."""

    cohort: Cohort
    sown: bool
    now: TypeDates
    by_type: tuple[TypeDates, ...]

    @property
    def apart_d(self) -> int:
        """Days between the likely inductions of the types of the variety's response, as far as they get there."""
        response = self.now.timeline.variety.response
        days = [
            at.likely
            for dates in self.by_type
            if dates.kind is not None and dates.kind.response == response and (at := dates.induced())
        ]
        return (max(days) - min(days)).days if days else 0


def waiting(plan: Plan, variety: Variety) -> tuple[Cohort, ...]:
    """The cohorts of a variety of which no stage from the trigger on is recorded."""
    own = (c for c in plan.season.cohorts.values() if c.variety == variety.id)
    return tuple(c for c in own if _SEEN.isdisjoint(c.recorded))


def compare_types(plan: Plan, variety: Variety, most: int | None = None) -> Iterator[Comparison]:
    """Each cohort that waits, in the order of the season, at most so many; sowings on natural days where there is none at all."""
    if any(c.variety == variety.id for c in plan.season.cohorts.values()):
        for cohort in waiting(plan, variety)[:most]:
            yield _of_cohort(plan, variety, cohort, tuple(variety_types().values()))
    else:
        yield from _of_sowings(plan, variety)


def _of_cohort(plan: Plan, variety: Variety, cohort: Cohort, kinds: Sequence[VarietyType]) -> Comparison:
    by_type = tuple(TypeDates(kind, _laid_out(plan, of_type(variety, kind), cohort)) for kind in kinds)
    return Comparison(cohort, False, TypeDates(None, plan.timelines[cohort.id]), by_type)


def _laid_out(plan: Plan, variety: Variety, cohort: Cohort) -> Timeline:
    """The cohort with another variety of its id, under the light and the warmth as they are."""
    season = replace(plan.season, varieties={**plan.season.varieties, variety.id: variety})
    return lay_out(season, cohort, early_stages(season, cohort, plan.warmth), plan.light, plan.warmth)


def _of_sowings(plan: Plan, variety: Variety) -> Iterator[Comparison]:
    season = plan.season
    growing = season.growing_places
    if not growing:
        return
    place = next((p for p in growing if p.lamps is None), growing[0]).id
    days = (season.last_day - season.first_day).days
    dates = [season.first_day + timedelta(days=days * n // _APART) for n in range(_SOWINGS)]
    kinds = (None, *variety_types().values())
    rows = [_sown(plan, variety if kind is None else of_type(variety, kind), place, dates) for kind in kinds]
    for now, *others in zip(*rows, strict=True):
        by_type = tuple(TypeDates(kind, t) for kind, t in zip(kinds[1:], others, strict=True))
        yield Comparison(now.cohort, True, TypeDates(None, now), by_type)


def _sown(plan: Plan, variety: Variety, place: str, dates: Sequence[date]) -> list[Timeline]:
    season = replace(plan.season, varieties={**plan.season.varieties, variety.id: variety})
    planting = Planting(variety=variety.id, place=place)
    span = around(season, planting, dates[0], dates[-1])
    return list(timelines(span, planting, dates, season_warmth(span)))


@dataclass(frozen=True, slots=True)
class Contrast:
    """A cohort of which nothing is recorded: as it stands, and as the type of its kind that is furthest from that gives it."""

    now: TypeDates
    other: TypeDates


def contrast(plan: Plan, variety: Variety, cohort: Cohort | None = None) -> Contrast | None:
    """The difference that the choice of a type makes, while nothing is recorded of a variety; of a cohort, else its first.

    None where a stage from the trigger on is recorded of the variety, where its critical day is its own or fitted, where it flowers
    by age, and where no type of its kind gives other dates.
    """
    own = [c for c in plan.season.cohorts.values() if c.variety == variety.id]
    seen = len(own) > len(waiting(plan, variety))
    known = bool(variety.sets) or variety.marks.get("critical_day") == "own"
    if not own or seen or known or variety.response != "short-day":
        return None
    compared, last = _of_cohort(plan, variety, cohort or own[0], _kin(variety)), plan.season.last_day
    furthest = max(compared.by_type, key=lambda dates: _apart(compared.now, dates, last))
    return Contrast(compared.now, furthest) if any(_apart(compared.now, furthest, last)) else None


def _kin(variety: Variety) -> list[VarietyType]:
    """The types of its kind of plants, by the first word of their ids: of a variety without a type those of the default."""
    mine = type_of(variety) or variety_types()[DEFAULT]
    family = mine.id.partition("-")[0]
    return [kind for kind in variety_types().values() if kind.id.partition("-")[0] == family]


def _apart(now: TypeDates, other: TypeDates, last: date) -> tuple[int, int]:
    """Days between the likely inductions, and between the ends of their ranges; the season's last day for what never comes."""
    a, b = (dates.stage("induced") for dates in (now, other))
    likely = abs(((a.likely if a else last) - (b.likely if b else last)).days)
    if a is None or b is None:
        return likely, 0
    return likely, abs((a.earliest - b.earliest).days) + abs((a.latest - b.latest).days)
