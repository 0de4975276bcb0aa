"""A staggering laid out by the engine of the calendar: its cohorts in the season, what they come to, and the change."""

from __future__ import annotations

import re
from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass, replace
from datetime import date
from itertools import pairwise

from calendar_tui.nature.rounding import sum_of_known
from calendar_tui.planning.capacity.hours import loads
from calendar_tui.planning.capacity.uses import Limit
from calendar_tui.planning.changes.proposal import Proposal
from calendar_tui.planning.changes.replan import propose
from calendar_tui.planning.clash import new_clashes
from calendar_tui.planning.clashes import SMALL
from calendar_tui.planning.lamps.loads import LampLoad, loads_of_cohort, runs_by_light
from calendar_tui.planning.laying_out.stages import Range
from calendar_tui.planning.laying_out.timeline import Timeline
from calendar_tui.planning.plan import Plan
from calendar_tui.planning.staggering.problem import HARD
from calendar_tui.planning.staggering.room import Over, overs, peak, room_of, uses_of
from calendar_tui.planning.tasks.amounts import area_at_spacing_m2
from calendar_tui.planning.why.gaps import Apart, harvests_apart
from calendar_tui.season.edits import Edit
from calendar_tui.season.records import Cohort, Season
from calendar_tui.season.wording import day_text, stage_text

# The kinds of clashes that are limits not kept, which a scheme has among its own.
_LIMIT_KINDS = re.compile(rf"(crew|crowded): |(dryer|trays \S+|samples) \d{{4}}-W\d\d$|{SMALL}$")


@dataclass(frozen=True, slots=True)
class Sown:
    """One cohort of a scheme. load: of its place's lamps on the evenings on which it asks; None for none.

    planting_gap_d, harvest_gap: days since the cohort before, by harvest; None for the first, and without a harvest.
    """

    cohort: Cohort
    timeline: Timeline
    load: LampLoad | None
    planting_gap_d: int | None = None
    harvest_gap: Apart | None = None

    @property
    def harvest_gap_d(self) -> int | None:
        """By the likely run."""
        return None if self.harvest_gap is None else self.harvest_gap.likely

    @property
    def planted(self) -> date:
        return self.timeline.planted

    def stands_on(self, day: date) -> bool:
        """Whether its plants stand in their place on a day, by likely dates."""
        harvest = self.timeline.likely("harvest")
        return self.planted <= day and (harvest is None or day < harvest)


@dataclass(frozen=True, slots=True)
class Measures:
    """What schemes are compared by. Peaks are of the whole season: how much, and the first day, or Monday, of it.

    peak_hours: of each role; lamp_kwh, lamp_cost: what the lamps draw more than without the scheme.
    """

    cohorts: int
    first_harvest: date | None
    last_harvest: date | None
    shortest_gap_d: int | None
    longest_gap_d: int | None
    peak_dryer_kg: tuple[float, date] | None
    peak_hours: Mapping[str, tuple[float, date]]
    lamp_kwh: float | None
    lamp_cost: float | None
    growth_d: tuple[int, int] | None
    clashes: int

    @property
    def spread_d(self) -> int | None:
        """Days from the first harvest to the last."""
        if self.first_harvest is None or self.last_harvest is None:
            return None
        return (self.last_harvest - self.first_harvest).days


@dataclass(frozen=True, slots=True)
class Scheme:
    """wish_text: what was asked for, in words. notes: sentences on what cannot be; best: whether no better choice can be.

    overs: limits that are not kept; clashes: what else clashes with it, in sentences; small: where plants stay small; remarks: what may clash with it in some futures. proposal: the change that makes the
    cohorts and their tasks.
    """

    wish_text: str
    variety: str
    sown: tuple[Sown, ...]
    proposal: Proposal
    overs: tuple[Over, ...]
    measures: Measures
    clashes: tuple[str, ...] = ()
    notes: tuple[str, ...] = ()
    best: bool = True
    small: tuple[str, ...] = ()
    remarks: tuple[str, ...] = ()

    @property
    def hard_texts(self) -> tuple[str, ...]:
        """The hard limits that it breaks, in sentences: hours and samples can be stretched, ground and growth cannot."""
        room = (
            f"{o.text}; {_fitting_text(self.plants_that_fit(o))}" for o in self.overs if o.limit.kind in HARD
        )
        return (*room, *self.small)

    def plants_that_fit(self, over: Over) -> int | None:
        """Plants of each cohort that the ground of a limit holds on its day; None where it is not ground, or not known."""
        if over.limit.kind not in HARD:
            return None
        there = [s for s in self.sown if s.cohort.light == over.limit.of and s.stands_on(over.day)]
        areas = [area for s in there if (area := area_at_spacing_m2(s.cohort)) is not None]
        plants = sum(s.cohort.plants or 0 for s in there)
        if not plants or len(areas) < len(there):
            return None
        left = over.has - (over.needed - sum(areas))
        return int(max(left, 0.0) / (sum(areas) / plants) / len(there) + 1e-6)


def _fitting_text(most: int | None) -> str:
    """ "33 plants a cohort fit there that day"."""
    if most is None:
        return "plant fewer there, or elsewhere"
    return f"{most} plants a cohort fit there that day" if most else "no plant more fits there that day"


def scheme_of(
    plan: Plan, cohorts: Sequence[Cohort], wish_text: str, more_edits: Sequence[Edit] = (), what: str = ""
) -> Scheme:
    """The scheme of these cohorts in the plan's season.

    cohorts: at least one; their ids are not the season's.
    wish_text: what was asked for, in words.
    more_edits: saved in the same change.
    what: the change in words for the history; "" for one made here.
    """
    season = replace(plan.season, cohorts={**plan.season.cohorts, **{c.id: c for c in cohorts}})
    edits = [Edit("add", "cohort", (c.id,), (), cohort_table(c)) for c in cohorts]
    what = what or _added_text(cohorts)
    proposal = propose(plan, season, what, (*edits, *more_edits))
    after = proposal.plan
    sown = tuple(_with_gaps(_sown(after, cohorts)))
    uses = [use for s in sown for use in uses_of(plan.season, s.cohort.light, s.timeline)]
    broken = (
        *overs(room_of(plan.season, plan.timelines, plan.today), uses),
        *_over_hours(plan.season, after.season),
    )
    clashes = tuple(_clashes(plan, after))
    new = {c.id for c in cohorts}
    small = tuple(c.text for c in after.clashes if c.kind == SMALL and new.issuperset(c.cohorts))
    measures = _measures(after, sown, len(clashes) + len(broken) + len(small))
    notes = tuple(_moved(proposal, cohorts))
    remarks = tuple(text for text in after.remarks if text not in plan.remarks)
    variety = cohorts[0].variety
    return Scheme(
        wish_text, variety, sown, proposal, broken, measures, clashes, notes, small=small, remarks=remarks
    )


def _added_text(cohorts: Sequence[Cohort]) -> str:
    """ "A4 to A6 added: amber in H1 H2", "A4 added: amber in H1"."""
    names = cohorts[0].id if len(cohorts) == 1 else f"{cohorts[0].id} to {cohorts[-1].id}"
    lights = " ".join(dict.fromkeys(cohort.light for cohort in cohorts))
    return f"{names} added: {cohorts[0].variety} in {lights}"


def _clashes(before: Plan, after: Plan) -> Iterator[str]:
    """What clashes with the scheme and not without it; limits that are not kept are told apart."""
    for clash in new_clashes(before.clashes, after.clashes):
        if not _LIMIT_KINDS.match(clash.kind):
            yield clash.text


def cohort_table(cohort: Cohort) -> dict[str, object]:
    """A cohort as it is written in the season file."""
    pairs: tuple[tuple[str, object], ...] = (
        ("id", cohort.id),
        ("variety", cohort.variety),
        ("start", cohort.start),
        ("nursery", cohort.nursery),
        ("place", cohort.place),
        ("part", cohort.part),
        ("plants", cohort.plants),
        ("spacing_m", None if cohort.spacing_m is None else list(cohort.spacing_m)),
        ("planned", dict(cohort.planned)),
    )
    return {key: value for key, value in pairs if value not in ("", None)}


def new_ids(season: Season, variety: str, count: int) -> Iterator[str]:
    """Names that are free: the variety's first letter and a number behind the last of that letter."""
    letter = variety[0].upper()
    numbers = [int(name[1:]) for name in season.cohorts if name[:1] == letter and name[1:].isdecimal()]
    first = max(numbers, default=0) + 1
    return (f"{letter}{n}" for n in range(first, first + count))


def _sown(after: Plan, cohorts: Sequence[Cohort]) -> list[Sown]:
    used = {c.light for c in cohorts if "lights_off" in c.planned}
    lit = replace(
        after.season,
        places={name: p for name, p in after.season.places.items() if not used.isdisjoint(p.lights)},
    )
    runs = runs_by_light(lit, after.light) if used else {}
    out = []
    for cohort in cohorts:
        loads = loads_of_cohort(
            after.season, after.light, cohort.id, {cohort.light: runs.get(cohort.light, ())}
        )
        load = next(iter(loads), None)
        out.append(Sown(cohort, after.timelines[cohort.id], load))
    return sorted(out, key=lambda s: (s.timeline.likely("harvest") or date.max, s.planted, s.cohort.id))


def _with_gaps(sown: Sequence[Sown]) -> Iterator[Sown]:
    yield from sown[:1]
    for before, one in pairwise(sown):
        apart = harvests_apart(before.timeline, one.timeline)
        yield replace(one, planting_gap_d=(one.planted - before.planted).days, harvest_gap=apart)


def _over_hours(before: Season, after: Season) -> Iterator[Over]:
    """The weeks in which a role has more work than hours, and more than without the scheme; shared work counted in."""
    old = {(load.role, load.monday): load.hours for load in loads(before)}
    for load in loads(after):
        if load.over_h and load.has_h is not None and load.hours > old.get((load.role, load.monday), 0.0):
            yield Over(Limit("hours", load.role), load.monday, load.hours, load.has_h)


def _moved(proposal: Proposal, cohorts: Sequence[Cohort]) -> Iterator[str]:
    """What the scheme moves of the season's own cohorts."""
    new = {c.id for c in cohorts}
    for move in proposal.stages:
        if move.cohort not in new and move.old is not None and move.new is not None:
            yield moved_text(f"{move.cohort} {stage_text(move.stage)}", move.old.range, move.new.range)


def moved_text(what: str, old: Range, new: Range) -> str:
    """ "it moves B1 harvest from 1 Mar to 3 Mar"; where its likely date stays, how its range changes."""
    if old.likely != new.likely:
        return f"it moves {what} from {day_text(old.likely)} to {day_text(new.likely)}"
    was, now = (f"{day_text(r.earliest)} - {day_text(r.latest)}" for r in (old, new))
    return f"it changes the range of {what} from {was} to {now}"


def _measures(after: Plan, sown: Sequence[Sown], clashes: int) -> Measures:
    harvests = [day for s in sown if (day := s.timeline.likely("harvest")) is not None]
    gaps = [s.harvest_gap_d for s in sown if s.harvest_gap_d is not None]
    grown = [s.timeline.growth_d for s in sown if s.timeline.growth_d is not None]
    loads_of = [s.load for s in sown if s.load is not None]
    return Measures(
        len(sown),
        min(harvests, default=None),
        max(harvests, default=None),
        min(gaps, default=None),
        max(gaps, default=None),
        peak(room_of(after.season, after.timelines, after.today).taken, "dryer"),
        _peak_hours(after.season),
        sum_of_known(load.kwh for load in loads_of),
        sum_of_known(load.cost for load in loads_of),
        (min(grown), max(grown)) if grown else None,
        clashes,
    )


def _peak_hours(season: Season) -> dict[str, tuple[float, date]]:
    roles: dict[str, tuple[float, date]] = {}
    for load in loads(season):
        if load.hours > roles.get(load.role, (0.0, date.min))[0]:
            roles[load.role] = load.hours, load.monday
    return roles
