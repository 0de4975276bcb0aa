"""What lamps burnt up to today, and what nights without them did."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass, replace
from datetime import date

from calendar_tui.planning.changes.outage_verdicts import verdict_texts
from calendar_tui.planning.lamps.loads import load_of, runs_by_light
from calendar_tui.planning.plan import Plan, make_plan
from calendar_tui.planning.review.replays import without_seen
from calendar_tui.season.records import Outage


@dataclass(frozen=True, slots=True)
class LampsBurnt:
    """The lamps of one light on the nights up to today, those left out on which they failed.

    nights: how many; h: hours they burnt; kw, kwh, cost: None where no power, or no price, is set.
    """

    light: str
    nights: int
    h: float
    kw: float | None
    kwh: float | None
    cost: float | None


@dataclass(frozen=True, slots=True)
class OutageReviewed:
    """Nights without lamps, and a line for each cohort of what they did, by the figures of the varieties alone.

    recorded: what was seen of these cohorts: cohort, stage and date.
    """

    place: str
    first: date
    last: date
    verdicts: tuple[str, ...]
    recorded: tuple[tuple[str, str, date], ...]

    @property
    def nights(self) -> int:
        return (self.last - self.first).days + 1


def lamps_burnt(plan: Plan) -> Iterator[LampsBurnt]:
    """Of each light with lamps that burnt, by the timers as they are worked out: nobody has read a meter."""
    for name, runs in runs_by_light(plan.season, plan.light).items():
        load = load_of(plan.season, name, [run for run in runs if run.date < plan.today])
        if load is not None:
            yield LampsBurnt(name, load.nights, load.h, load.kw, load.kwh, load.cost)


def outages_reviewed(plan: Plan) -> Iterator[OutageReviewed]:
    """Every outage of the season by what it did, each as if it had been the only one left out."""
    unseen = without_seen(plan.season, "trigger")
    after = make_plan(unseen, plan.today)
    for outage in plan.season.outages:
        others = tuple(one for one in unseen.outages if one != outage)
        before = make_plan(replace(unseen, outages=others), plan.today, after)
        texts = verdict_texts(before, after, [outage])
        yield OutageReviewed(outage.place, outage.first, outage.last, texts, tuple(_seen(plan, outage)))


def _seen(plan: Plan, outage: Outage) -> Iterator[tuple[str, str, date]]:
    for cohort in plan.season.cohorts.values():
        if outage.place in (*cohort.lights, *(stay.place for stay in cohort.stays)):
            for stage in ("induced", "flowering"):
                if stage in cohort.recorded and cohort.recorded[stage] > outage.first:
                    yield cohort.id, stage, cohort.recorded[stage]
