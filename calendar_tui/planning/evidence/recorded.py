"""What the records of a variety say: how far each is from its projection, and what that means for other cohorts.

Nothing is changed by it. Cost grows with the number of cohorts: each is laid out a few times more.
"""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass, replace
from datetime import date
from statistics import median

from calendar_tui.nature.futures import COUNT
from calendar_tui.planning.evidence.figures import Fitted, figure_of, present, rounded, scaled, with_figure
from calendar_tui.planning.laying_out.early import early_stages
from calendar_tui.planning.laying_out.heat import shoot_of
from calendar_tui.planning.laying_out.light import Light
from calendar_tui.planning.laying_out.stages import StageDate
from calendar_tui.planning.laying_out.timeline import Timeline, lay_out
from calendar_tui.planning.laying_out.warmth import Warmth
from calendar_tui.season.records import Cohort, Season, Variety
from calendar_tui.season.stages import LAMP_STAGES, SHOWING_VARIETY, STAGES

# Plants are looked at 2 to 3 times a week (common practice), so one day apart lies in the looking.
APART_D = 2
# How often a figure is tried under heat, and how near the recorded day one that is given in whole days must come.
TRIES, NEXT_TO_D = 6, 1
_AND_LATER: Mapping[str, frozenset[str]] = {
    stage: frozenset(STAGES[STAGES.index(stage) :]) - set(LAMP_STAGES) for stage in SHOWING_VARIETY
}


@dataclass(frozen=True, slots=True)
class Seen:
    """One record beside what would have been projected without it and without later ones, under the same light.

    projected: None where it was not to get there; never: why. figure: that would have given the recorded date, None
    where no one figure does. sure: whether the stage that the figure counts from is recorded too.
    """

    cohort: str
    day: date
    projected: StageDate | None
    never: str = ""
    figure: Fitted | None = None
    sure: bool = True

    @property
    def days(self) -> int | None:
        """Days late; negative: early; None where there is no projection."""
        return None if self.projected is None else (self.day - self.projected.likely).days

    @property
    def within(self) -> bool:
        """Whether it lies inside the projected range."""
        return self.projected is not None and self.projected.earliest <= self.day <= self.projected.latest


@dataclass(frozen=True, slots=True)
class Meaning:
    """A cohort that has not got there: its dates as they stand, and if it does as the records say."""

    cohort: str
    old: date
    new: date | None
    old_harvest: date | None
    new_harvest: date | None


@dataclass(frozen=True, slots=True)
class Evidence:
    """The records of one stage of a variety that speak to one of its figures.

    key, base: the variety's figure and the stage it counts from; "" where no one figure gives the dates.
    changed: the variety with the figure they suggest, the median where there are several; None where it stays as it is.
    pending: the cohorts of the variety that have not got there; others: what the change would mean for them.
    """

    variety: Variety
    stage: str
    key: str
    base: str
    seen: tuple[Seen, ...]
    changed: Variety | None
    pending: tuple[str, ...]
    others: tuple[Meaning, ...]

    @property
    def cohorts(self) -> tuple[str, ...]:
        """Those it is from and those it is about."""
        return tuple(s.cohort for s in self.seen) + self.pending

    @property
    def apart(self) -> bool:
        """Whether any record is further from its projection than lies in the looking."""
        return any(s.days is None or abs(s.days) >= APART_D for s in self.seen)

    @property
    def firm(self) -> bool:
        """Whether it is worth taking over: each record is counted from another, or lies within its range."""
        return self.changed is not None and self.apart and all(s.sure or s.within for s in self.seen)


@dataclass(frozen=True, slots=True)
class _Air:
    """The light and the warmth that all is laid out under, as they are."""

    light: Light
    warmth: Warmth | None

    def lay_out(
        self, season: Season, cohort: Cohort, variety: Variety, up_to: str = "", futures: int = 0
    ) -> Timeline:
        """The cohort as it would be with these figures of its variety, at least up to one stage, in so many futures."""
        season = replace(season, varieties={**season.varieties, variety.id: variety})
        early = early_stages(season, cohort, self.warmth, futures)
        if up_to == shoot_of(cohort):
            return Timeline(cohort, variety, early, ())
        return lay_out(season, cohort, early, self.light, self.warmth)

    def warm(self, cohort: Cohort) -> bool:
        """Whether the cohort's stages run on heat."""
        return self.warmth is not None and bool(self.warmth.places[cohort.place])


def find_evidence(
    season: Season, own: Sequence[Timeline], light: Light, warmth: Warmth | None = None
) -> Iterator[Evidence]:
    """What the records of one variety's cohorts, `own`, say; nothing of a stage where all are as projected."""
    for stage in SHOWING_VARIETY:
        yield from _of_stage(season, own, _Air(light, warmth), stage)


def _of_stage(season: Season, own: Sequence[Timeline], air: _Air, stage: str) -> Iterator[Evidence]:
    groups: dict[tuple[str, str], list[Seen]] = {}
    for timeline in own:
        if once := _seen(season, timeline, air, stage):
            groups.setdefault(_key(once), []).append(once)
    pending = [t for t in own if stage in t.stages and not _AND_LATER[stage] & set(t.cohort.recorded)]
    for (key, base), seen in groups.items():
        if all(s.days == 0 for s in seen):
            continue
        touched = [t for t in pending if not base or base in t.stages]
        changed = _changed(own[0].variety, key, [s.figure.value for s in seen if s.figure is not None])
        names = tuple(t.cohort.id for t in touched)
        others = () if changed is None else tuple(_meanings(season, changed, touched, air, stage))
        yield Evidence(own[0].variety, stage, key, base, tuple(seen), changed, names, others)


def _key(seen: Seen) -> tuple[str, str]:
    return ("", "") if seen.figure is None else (seen.figure.key, seen.figure.base)


def _seen(season: Season, timeline: Timeline, air: _Air, stage: str) -> Seen | None:
    cohort, variety = timeline.cohort, timeline.variety
    day = cohort.recorded.get(stage)
    if day is None:
        return None
    before = {s: d for s, d in cohort.recorded.items() if s not in _AND_LATER[stage]}
    projected = air.lay_out(season, replace(cohort, recorded=before), variety, stage, COUNT)
    expected = projected.stages.get(stage)
    if expected is None:
        return Seen(cohort.id, day, None, projected.never) if projected.never else None
    figure = figure_of(projected, air.light, stage, day, air.warm(cohort))
    if figure is not None and day == expected.likely:
        figure = replace(figure, value=present(variety, figure.key))
    elif figure is not None:
        figure = _fitted(season, projected, air, stage, day, figure)
    sure = figure is None or not figure.base or figure.base in before
    return Seen(cohort.id, day, expected, "", figure, sure)


def _fitted(
    season: Season, projected: Timeline, air: _Air, stage: str, day: date, figure: Fitted
) -> Fitted | None:
    """The figure that brings the projection onto the recorded day, or, rounded, next to it and nearer; else None."""
    cohort, variety = projected.cohort, projected.variety
    begin = projected.likely(figure.base) if figure.base else None
    nearest, fitting = abs((day - projected.stages[stage].likely).days), None
    for _ in range(TRIES):
        changed = with_figure(variety, figure.key, figure.value)
        got = air.lay_out(season, cohort, changed, stage).likely(stage)
        if got is None:
            break
        if abs((got - day).days) < min(nearest, NEXT_TO_D + 1):
            nearest, fitting = abs((got - day).days), figure
        if nearest == 0 or begin is None or not air.warm(cohort):
            break
        # Heat comes at another pace each day, so a figure in proportion is only nearer: once more from there.
        again = scaled(figure, (got - begin).days, (day - begin).days)
        if again is None or again == figure:
            break
        figure = again
    return fitting


def _changed(variety: Variety, key: str, values: Sequence[float]) -> Variety | None:
    if not values:
        return None
    value = values[0] if len(values) == 1 else rounded(key, median(values))
    return None if value == present(variety, key) else with_figure(variety, key, value, tuple(values))


def _meanings(
    season: Season, changed: Variety, pending: Sequence[Timeline], air: _Air, stage: str
) -> Iterator[Meaning]:
    """Each cohort laid out with the changed figure, under the light as it is."""
    for now in pending:
        new = air.lay_out(season, now.cohort, changed)
        harvests = now.likely("harvest"), new.likely("harvest")
        yield Meaning(now.cohort.id, now.stages[stage].likely, new.likely(stage), *harvests)
