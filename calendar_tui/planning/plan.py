"""The plan: a season laid out, cohort by cohort, with the light of its places and its clashes."""

from __future__ import annotations

from collections.abc import Callable, Mapping
from dataclasses import dataclass, field, replace
from datetime import date
from functools import cached_property
from typing import TYPE_CHECKING

from calendar_tui.planning.laying_out.early import early_stages
from calendar_tui.planning.laying_out.last_pass import standing_after
from calendar_tui.planning.laying_out.later import LaterTimelines, lay_out_later
from calendar_tui.planning.laying_out.light import Light, felt_by, season_light
from calendar_tui.planning.laying_out.stages import Stages
from calendar_tui.planning.laying_out.timeline import Timeline, lay_out
from calendar_tui.planning.laying_out.waiting_crop import while_it_waits
from calendar_tui.season.records import Cohort, Season
from calendar_tui.season.stages import EARLY

if TYPE_CHECKING:
    from calendar_tui.planning.clash import Clash
    from calendar_tui.planning.deciding.decision import Decision
    from calendar_tui.planning.evidence.recorded import Evidence
    from calendar_tui.planning.laying_out.warmth import Warmth
    from calendar_tui.planning.results.trend import CohortTrend
    from calendar_tui.planning.results.used import Results


@dataclass(frozen=True, repr=False)
class Plan:
    """A season and what follows from it on the day `today`.

    ripe: the timelines by ripeness alone, from which limits and windows may have made harvests earlier.
    """

    season: Season
    today: date
    light: Light
    timelines: Mapping[str, Timeline]
    warmth: Warmth | None = None
    ripe: Mapping[str, Timeline] = field(default_factory=dict, compare=False)

    def __repr__(self) -> str:
        """Short: work in a thread is named by what it works on."""
        return f"Plan({self.season.name!r}, {self.today})"

    @cached_property
    def by_ripeness(self) -> Plan:
        """The plan without what results and official samples make of its harvests: what is quick to draw. Itself in a season without such."""
        return self if self.timelines is self.ripe else replace(self, timelines=self.ripe)

    def hold_harvests(self) -> None:
        """Work out now what results and official samples make of every harvest; else each is worked out once it is asked for."""
        for cohort in self.timelines:
            _ = self.timelines[cohort]

    @cached_property
    def clashes(self) -> tuple[Clash, ...]:
        """Every clash, in cohort order."""
        from calendar_tui.planning.clashes import find_clashes

        return tuple(find_clashes(self.season, self.timelines, self.light, self.today))

    @cached_property
    def decisions(self) -> tuple[Decision, ...]:
        """All that is to be decided, by the day on which it is too late. Not for the event loop."""
        from calendar_tui.planning.deciding.listing import find_decisions

        known = self.results if self.season.results else None
        return find_decisions(self.season, self.timelines, self.light, self.clashes, self.today, known)

    @cached_property
    def remarks(self) -> tuple[str, ...]:
        """What may clash and does not by the likely dates, in sentences. Not for the event loop: it takes a while."""
        from calendar_tui.planning.remarks import remarks

        return tuple(remarks(self.season, self.timelines, self.today))

    @cached_property
    def results(self) -> Results:
        """Every result of the laboratories, those that count and those that do not."""
        from calendar_tui.planning.results.used import results_of

        return results_of(self.season, self.timelines, self.today)

    @cached_property
    def trends(self) -> dict[str, CohortTrend]:
        """By lot or cohort, as far as `results/trend.py` has been asked for them."""
        return {}

    @property
    def notes(self) -> tuple[str, ...]:
        """What the temperatures lack, where heat is switched on, in sentences."""
        return () if self.warmth is None else self.warmth.notes

    def clashes_of(self, cohort_id: str) -> tuple[Clash, ...]:
        """The clashes that touch one cohort."""
        return tuple(self._clashes_by_cohort.get(cohort_id, ()))

    @cached_property
    def _clashes_by_cohort(self) -> dict[str, list[Clash]]:
        by_cohort: dict[str, list[Clash]] = {}
        for clash in self.clashes:
            for name in dict.fromkeys((*clash.cohorts, *clash.shown_with)):
                by_cohort.setdefault(name, []).append(clash)
        return by_cohort

    @property
    def evidence(self) -> tuple[Evidence, ...]:
        """What the records say about the varieties, and about cohorts that have not got there."""
        return tuple(e for name in self.season.varieties for e in self._evidence_on(name))

    def evidence_of(self, cohort_id: str) -> tuple[Evidence, ...]:
        """What is from one cohort's records, or about it; only its own variety is looked at."""
        variety = self.timelines[cohort_id].cohort.variety
        return tuple(e for e in self._evidence_on(variety) if cohort_id in e.cohorts)

    @cached_property
    def _evidence(self) -> dict[str, tuple[Evidence, ...]]:
        """By variety, as far as it has been asked for."""
        return {}

    def _evidence_on(self, variety: str) -> tuple[Evidence, ...]:
        if variety not in self._evidence:
            from calendar_tui.planning.evidence.recorded import find_evidence

            own = [t for t in self.timelines.values() if t.cohort.variety == variety]
            evidence = find_evidence(self.season, own, self.light, self.warmth)
            self._evidence[variety] = tuple(evidence)
        return self._evidence[variety]


def make_plan(season: Season, today: date, before: Plan | None = None) -> Plan:
    """Lay a season out. What stands as it did in the plan `before` is taken over, not worked out again."""
    warmth = _warmth(season, before)
    if before is not None and before.warmth is not warmth:
        before = None
    early = {c.id: _early(season, c, warmth, before) for c in season.cohorts.values()}
    light = season_light(season, early)
    laid = (_timeline(season, c, early[c.id], light, warmth, before) for c in season.cohorts.values())
    timelines = {t.cohort.id: while_it_waits(season, t, today) for t in laid}
    return Plan(season, today, light, _by_rules(season, timelines, today), warmth, timelines)


def make_first_plan(season: Season, today: date) -> Plan:
    """The plan of `make_plan` by its likely run, at a third of the work; a cohort's futures are laid out once they are asked for."""
    warmth = _warmth(season, None)
    early = {c.id: early_stages(season, c, warmth, count=0) for c in season.cohorts.values()}
    light = season_light(season, early)
    laid = (lay_out_later(season, c, early[c.id], light, warmth) for c in season.cohorts.values())
    timelines = {t.cohort.id: while_it_waits(season, t, today) for t in laid}
    return Plan(season, today, light, _by_rules(season, timelines, today), warmth, timelines)


def _by_rules(season: Season, timelines: Mapping[str, Timeline], today: date) -> Mapping[str, Timeline]:
    """The timelines with harvests held to what results and official samples leave; as they are in a season without such.

    What they leave takes fits of the results, so a cohort's is worked out once it is asked for.
    """
    if not (season.results or season.officials):
        return timelines

    def holding() -> Callable[[Timeline], Timeline]:
        from calendar_tui.planning.cutting.harvest import holding_by_rules

        held = holding_by_rules(season, timelines, today)
        return lambda timeline: while_it_waits(season, held(timeline), today)

    return LaterTimelines(timelines, holding)


def _warmth(season: Season, before: Plan | None) -> Warmth | None:
    if season.heat is None:
        return None
    from calendar_tui.planning.laying_out.warmth import season_warmth, warmth_inputs

    if before is not None and warmth_inputs(before.season) == warmth_inputs(season):
        return before.warmth
    return season_warmth(season)


def _same(season: Season, cohort: Cohort, before: Plan | None) -> Timeline | None:
    """The timeline before, where the cohort, its variety and its places are as they were."""
    old = None if before is None else before.ripe.get(cohort.id)
    if before is None or old is None or old.cohort != cohort or season.first_day != before.season.first_day:
        return None
    if standing_after(season, cohort.id) != standing_after(before.season, cohort.id):
        return None
    if old.variety != season.varieties[cohort.variety]:
        return None
    places = {stay.place for stay in cohort.stays}
    same = all(season.places[name] == before.season.places.get(name) for name in places)
    return old if same else None


def _early(season: Season, cohort: Cohort, warmth: Warmth | None, before: Plan | None) -> Stages:
    old = _same(season, cohort, before)
    if old is None:
        return early_stages(season, cohort, warmth)
    return {name: stage for name, stage in old.stages.items() if name in EARLY}


def _timeline(
    season: Season, cohort: Cohort, early: Stages, light: Light, warmth: Warmth | None, before: Plan | None
) -> Timeline:
    old = _same(season, cohort, before)
    if old is None or before is None:
        return lay_out(season, cohort, early, light, warmth)
    if (
        old.felt_h == felt_by(light, cohort, early)
        and before.light.natural_h == light.natural_h
        and _same_company(cohort, light, before)
    ):
        return old
    return lay_out(season, cohort, early_stages(season, cohort, warmth), light, warmth)


def _same_company(cohort: Cohort, light: Light, before: Plan) -> bool:
    """Whether the same cohorts ask for the lamps where it grows, and its lights have the same programmes: reasons name both."""
    old = before.light.places
    return all(light.places[name].programmes == old[name].programmes for name in cohort.lights) and all(
        light.places[name].asked == old[name].asked for name in cohort.growing_lights
    )
