"""What a day asks of the grower: lamps to relight, dates to decide or record, work by place, lamps tonight."""

from __future__ import annotations

from collections.abc import Collection, Iterable, Iterator
from dataclasses import dataclass
from datetime import date, timedelta
from typing import NamedTuple

from calendar_tui.planning.clash import Clash
from calendar_tui.planning.lamps.broken_count import broken_run, is_told, last_lights_off
from calendar_tui.planning.lamps.runs import LampRun, failed_nights, lamp_runs, lights_with_lamps
from calendar_tui.planning.lamps.tip_looks import TipLook, tip_looks
from calendar_tui.planning.lamps.to_relight import ToRelight, to_relight
from calendar_tui.planning.plan import Plan
from calendar_tui.planning.tasks.week import NO_PLACE, RECENT_D, recent_outages
from calendar_tui.planning.waiting import Counts
from calendar_tui.season.records import Outage, Task
from calendar_tui.season.stages import DECIDED

# Dates that the grower decides on are listed from so many days before; a starting value, no source.
AHEAD_D = 7
# Nights without lamps are told for so long after the last of them; a starting value, no source.
FAILED_D = 14


class Decision(NamedTuple):
    """A date the grower decides on that comes within days.

    by: the last day on which it stands as it is planned, or sooner the last on which it does what it is for. why: that.
    """

    cohort: str
    stage: str
    by: date
    why: str = ""


class AtPlace(NamedTuple):
    """The open tasks at a place: those of days before, and today's."""

    place: str
    overdue: tuple[Task, ...]
    today: tuple[Task, ...]


class Tonight(NamedTuple):
    """A light's lamps tonight, or its covers; no runs: they stay off.

    cohorts: those that ask for the lamps; failed: whether they are recorded as failed tonight.
    """

    light: str
    runs: tuple[LampRun, ...]
    cohorts: tuple[str, ...]
    failed: bool


class Failed(NamedTuple):
    """Recorded nights on which the lamps of a light failed, the first and the last of late."""

    light: str
    first: date
    last: date
    nights: int


@dataclass(frozen=True, slots=True)
class Today:
    """A part without anything is empty.

    relight: what is to be done after nights without lamps; looks: what is to be looked at after them; to_record: clashes
    that ask for a record; clashes: how many others there are.
    """

    day: date
    relight: tuple[ToRelight, ...]
    looks: tuple[TipLook, ...]
    to_record: tuple[Clash, ...]
    decisions: tuple[Decision, ...]
    failed: tuple[Failed, ...]
    work: tuple[AtPlace, ...]
    tonight: tuple[Tonight, ...]
    clashes: int

    @property
    def counts(self) -> Counts:
        """How much waits."""
        overdue = sum(len(there.overdue) for there in self.work)
        due = sum(len(there.today) for there in self.work)
        return Counts(overdue, due, len(self.to_record), self.clashes)


def today_of(plan: Plan) -> Today:
    """What the plan's day asks."""
    to_record = tuple(clash for clash in plan.clashes if clash.stage)
    return Today(
        plan.today,
        tuple(to_relight(plan.season, _late_outages(plan), plan.timelines.values(), plan.light, plan.today)),
        _looks(plan),
        to_record,
        tuple(sorted(_decisions(plan), key=lambda d: d.by)),
        tuple(_failed(plan)),
        tuple(work_of(plan.season.tasks, plan.today)),
        tuple(_tonight(plan)),
        len(plan.clashes) - len(to_record),
    )


def _late_outages(plan: Plan) -> Iterator[Outage]:
    """Recent outages, and those that are recorded up to tonight or beyond it."""
    return (o for o in plan.season.outages if (plan.today - o.last).days <= RECENT_D)


def _looks(plan: Plan) -> tuple[TipLook, ...]:
    recent = recent_outages(plan.season, plan.today)
    return tuple(tip_looks(plan.season, recent, plan.timelines.values(), plan.light, plan.today))


def _decisions(plan: Plan) -> Iterator[Decision]:
    for cohort in plan.season.cohorts.values():
        for stage in DECIDED:
            by = cohort.intended(stage)
            if by is None or stage in cohort.recorded:
                continue
            sooner = _last_lights_off(plan, cohort.id) if stage == "lights_off" else None
            decision = Decision(cohort.id, stage, by) if sooner is None else sooner
            if plan.today <= decision.by <= plan.today + timedelta(days=AHEAD_D):
                yield decision


def _last_lights_off(plan: Plan, cohort: str) -> Decision | None:
    """Lights off by the last day that brings flowering, where the planned one is later and does not."""
    timeline = plan.timelines[cohort]
    run = broken_run(timeline, plan.light) if is_told(timeline, plan.light, plan.today) else None
    off = None if run is None else last_lights_off(plan.season, timeline, plan.light, run)
    if off is None or off < plan.today:
        return None
    return Decision(cohort, "lights_off", off, "later it does not bring flowering, as the days grow too long")


def work_of(tasks: Iterable[Task], today: date, also: Collection[str] = ()) -> Iterator[AtPlace]:
    """Open tasks up to today by place, in order of their names; work of no place last. also: ids of settled ones to keep."""
    by_place: dict[str, tuple[list[Task], list[Task]]] = {}
    wanted = [t for t in tasks if t.date <= today and (t.state == "open" or t.id in also)]
    for task in sorted(wanted, key=lambda t: (t.date, t.about, t.what, t.n)):
        late, now = by_place.setdefault(task.place or NO_PLACE, ([], []))
        (late if task.date < today else now).append(task)
    for place in sorted(by_place, key=lambda name: (name == NO_PLACE, name)):
        late, now = by_place[place]
        yield AtPlace(place, tuple(late), tuple(now))


def _tonight(plan: Plan) -> Iterator[Tonight]:
    """Every light with lamps or covers that anybody stands under."""
    here = {t.stay_on(plan.today).light for t in plan.timelines.values() if _stands(plan, t.cohort.id)}
    for name in lights_with_lamps(plan.season):
        if name in here:
            runs = tuple(run for run in lamp_runs(plan.season, name, plan.light) if run.date == plan.today)
            failed = plan.today in failed_nights(name, plan.light)
            yield Tonight(name, runs, plan.light.places[name].lit_for(plan.today), failed)


def _stands(plan: Plan, cohort: str) -> bool:
    """Whether a cohort stands anywhere today: it has begun and is not cut."""
    timeline = plan.timelines[cohort]
    cut = timeline.likely("harvest")
    return timeline.begun <= plan.today and (cut is None or plan.today < cut)


def _failed(plan: Plan) -> Iterator[Failed]:
    since = plan.today - timedelta(days=FAILED_D)
    for name in lights_with_lamps(plan.season):
        nights = [night for night in failed_nights(name, plan.light) if since <= night <= plan.today]
        if nights:
            yield Failed(name, nights[0], nights[-1], len(nights))
