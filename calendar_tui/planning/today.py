"""What a day asks of the grower: lamps to relight, dates to decide or record, work by place, lamps tonight."""

from __future__ import annotations

from collections.abc import Collection, Iterable, Iterator, Mapping
from dataclasses import dataclass, field
from datetime import date, timedelta
from typing import NamedTuple

from calendar_tui.planning.cutting.holds import Hold, holds_of
from calendar_tui.planning.deciding.dates import looks_of, relight_of
from calendar_tui.planning.deciding.decision import CLOSED, RECORD, Decision
from calendar_tui.planning.deciding.listing import to_decide, urgent_count
from calendar_tui.planning.field_book.due import Round, unfinished
from calendar_tui.planning.lamps.dark_nights import dark_nights
from calendar_tui.planning.lamps.onset_words import Rank, asked_verdict
from calendar_tui.planning.lamps.runs import LampRun, failed_nights, lamp_runs, lights_with_lamps
from calendar_tui.planning.lamps.tip_looks import TipLook
from calendar_tui.planning.lamps.to_relight import ToRelight
from calendar_tui.planning.laying_out.timeline import Timeline
from calendar_tui.planning.plan import Plan
from calendar_tui.planning.tasks.week import NO_PLACE
from calendar_tui.planning.waiting import Counts
from calendar_tui.season.records import Outage, Task

# Nights without lamps are told for so long after the last of them; a starting value, no source.
FAILED_D = 14


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
    """Recorded nights of late on which the lamps of a light failed and nothing is to be done, the first and the last.

    harmless: whether they did no harm to any cohort.
    """

    light: str
    first: date
    last: date
    nights: int
    harmless: bool = False


@dataclass(frozen=True, slots=True)
class Today:
    """A part without anything is empty.

    relight: what is to be done after nights without lamps; looks: what is to be looked at after them; closed: which places nobody
    enters, or soon; decisions: what else is to be decided; to_record: dates that are past; urgent: how much is to be decided in all; clashes: how many there are that
    ask for no record; to_observe: rounds of the field book that
    are due and of which something is missing, by task; holds: by the ids of tasks that must not be done today, why.
    """

    day: date
    relight: tuple[ToRelight, ...]
    looks: tuple[TipLook, ...]
    closed: tuple[Decision, ...]
    decisions: tuple[Decision, ...]
    to_record: tuple[Decision, ...]
    failed: tuple[Failed, ...]
    work: tuple[AtPlace, ...]
    tonight: tuple[Tonight, ...]
    urgent: int
    clashes: int
    holds: Mapping[str, Hold] = field(default_factory=dict)
    to_observe: tuple[tuple[Round, ...], ...] = ()

    @property
    def counts(self) -> Counts:
        """How much waits."""
        overdue = sum(len(there.overdue) for there in self.work)
        due = sum(len(there.today) for there in self.work)
        return Counts(
            overdue, due, sum(len(row.cohorts) for row in self.to_record), self.clashes, self.urgent
        )


def today_of(plan: Plan) -> Today:
    """What the plan's day asks."""
    of_plan = plan.season, plan.timelines, plan.light, plan.today
    relight = relight_of(*of_plan)
    looks = looks_of(*of_plan, relight)
    return Today(
        plan.today,
        relight,
        looks,
        tuple(row for row in plan.decisions if row.kind == CLOSED),
        to_decide(plan.decisions),
        tuple(row for row in plan.decisions if row.kind == RECORD),
        tuple(_failed(plan, relight, looks)),
        tuple(work_of(plan, plan.season.tasks, plan.today)),
        tuple(_tonight(plan)),
        urgent_count(plan.decisions),
        sum(not clash.stage for clash in plan.clashes),
        holds_of(plan.season, plan.ripe, [t for t in plan.season.tasks if t.date <= plan.today], plan.today),
        tuple(unfinished(plan.season, plan.today)),
    )


def work_of(plan: Plan, tasks: Iterable[Task], today: date, also: Collection[str] = ()) -> Iterator[AtPlace]:
    """Open tasks up to today by place, in order of their names; work of no place last. also: ids of settled ones to keep.

    Work on cohorts of several places is at all of them: "F2, F3".
    """
    by_place: dict[str, tuple[list[Task], list[Task]]] = {}
    wanted = [t for t in tasks if t.date <= today and (t.state == "open" or t.id in also)]
    for task in sorted(wanted, key=lambda t: (t.date, t.about, t.what, t.n)):
        late, now = by_place.setdefault(_places(plan, task), ([], []))
        (late if task.date < today else now).append(task)
    for place in sorted(by_place, key=lambda name: (name == NO_PLACE, name)):
        late, now = by_place[place]
        yield AtPlace(place, tuple(late), tuple(now))


def _places(plan: Plan, task: Task) -> str:
    """The place of a task, or those where the several cohorts that it is for stand on its date."""
    there = {plan.timelines[name].stay_on(task.date).light for name in task.cohorts if name in plan.timelines}
    return task.place or ", ".join(sorted(there)) or NO_PLACE


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


def _failed(plan: Plan, relight: Iterable[ToRelight], looks: Iterable[TipLook]) -> Iterator[Failed]:
    """The lights of which the failure is not told under what to relight or to look at."""
    stands = {one.outage.place for one in relight} | {one.outage.place for one in looks}
    since = plan.today - timedelta(days=FAILED_D)
    for name in lights_with_lamps(plan.season):
        nights = [night for night in failed_nights(name, plan.light) if since <= night <= plan.today]
        if nights and not stands & _names_of(plan, name):
            yield Failed(name, nights[0], nights[-1], len(nights), _no_harm(plan, name, since))


def _names_of(plan: Plan, light: str) -> set[str]:
    """What an outage of this light may be recorded for: the light, or its whole place."""
    place = plan.season.place_of(light)
    return {light} if place is None else {light, place.id}


def _no_harm(plan: Plan, light: str, since: date) -> bool:
    names = _names_of(plan, light)
    late = [o for o in plan.season.outages if o.place in names and o.last >= since and o.first <= plan.today]
    return all(_spared(plan, timeline, outage) for outage in late for timeline in plan.timelines.values())


def _spared(plan: Plan, timeline: Timeline, outage: Outage) -> bool:
    """Whether nights without lamps did not bring a cohort nearer to flowering than it is to be."""
    nights = dark_nights(timeline, plan.light, outage)
    if nights is None or not nights.short:
        return True
    verdict = asked_verdict(plan.season, timeline, plan.light, outage, plan.today)
    return verdict is not None and verdict.rank is Rank.NO_HARM
