"""Clashes that ask whether a stage has come, and are over with a record; and how much waits on a day."""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from datetime import date
from typing import NamedTuple

from calendar_tui.language.speaking import phrase, tr, tr_n
from calendar_tui.planning.clash import Clash
from calendar_tui.planning.laying_out.last_pass import stands_uncut
from calendar_tui.planning.laying_out.light import Light
from calendar_tui.planning.laying_out.timeline import Timeline
from calendar_tui.season.records import Cohort, Season, Task
from calendar_tui.season.stages import AFTER, BEFORE, BY_NAME, DECIDED, LOOKED_FOR
from calendar_tui.season.wording import day_text, days_text, stage_text


class Counts(NamedTuple):
    """How much waits: open tasks of days before and of today, clashes that ask for a record, other clashes, and decisions."""

    overdue: int
    due: int
    to_record: int
    clashes: int
    to_decide: int = 0

    @property
    def text(self) -> str:
        """ "2 to decide, 4 overdue, 2 today, 1 to record, 3 clashes"; what is none is left out."""
        counts = (
            (self.to_decide, tr("{count} to decide", count=self.to_decide)),
            (self.overdue, tr("{count} overdue", count=self.overdue)),
            (self.due, tr("{count} today", count=self.due)),
            (self.to_record, tr("{count} to record", count=self.to_record)),
            (self.clashes, tr_n("{count} clash", "{count} clashes", self.clashes)),
        )
        return ", ".join(text for count, text in counts if count) or tr("nothing waits")


def clash_counts(clashes: Iterable[Clash]) -> Counts:
    """How many clashes ask for a record, and how many others there are."""
    asking = [bool(clash.stage) for clash in clashes]
    return Counts(0, 0, sum(asking), len(asking) - sum(asking))


def counts_on(today: date, tasks: Iterable[Task], clashes: Iterable[Clash]) -> Counts:
    """How much waits on a day."""
    days = [task.date for task in tasks if task.state == "open" and task.date <= today]
    due = days.count(today)
    return clash_counts(clashes)._replace(overdue=len(days) - due, due=due)


def missing(cohort: Cohort, today: date) -> Iterator[str]:
    """The stages that were planned for a day before today, and are not recorded."""
    for stage in DECIDED:
        day = cohort.intended(stage)
        if day is not None and day < today and stage not in cohort.recorded:
            yield stage


def not_recorded(season: Season, timeline: Timeline, light: Light, today: date) -> Iterator[Clash]:
    """A stage that was planned for a day before today, and is not recorded."""
    cohort = timeline.cohort
    for stage in missing(cohort, today):
        day = cohort.intended(stage) or today
        yield Clash(
            f"{stage} not recorded",
            (cohort.id,),
            phrase(
                "{cohort} {stage} was planned for {day}, {far} ago, and is not recorded; "
                "record the date it happened, or plan it again",
                cohort=cohort.id,
                stage=stage_text(stage),
                day=day_text(day),
                far=days_text((today - day).days),
            ),
            stage=stage,
        )


def not_seen(season: Season, timeline: Timeline, light: Light, today: date) -> Iterator[Clash]:
    """A stage of the plants whose latest date has passed: seen and not recorded, or still to come.

    What hangs on a date that is not recorded, and what a later record closes, is not asked about.
    """
    cohort = timeline.cohort
    recorded, unrecorded = cohort.recorded.keys(), set(missing(cohort, today))
    if is_uncut(season, timeline, today):
        unrecorded.add("harvest")
    for stage in LOOKED_FOR:
        at = timeline.stages.get(stage)
        if (
            at is None
            or at.latest >= today
            or ({stage} | AFTER[stage]) & recorded
            or BEFORE[stage] & unrecorded
        ):
            continue
        yield Clash(
            f"{stage} not seen",
            (cohort.id,),
            phrase(
                "{cohort} {stage} was to come by {day} at the latest, and is not recorded; "
                "{look}, and record when it was first seen, or that it is not there yet",
                cohort=cohort.id,
                stage=stage_text(stage),
                day=day_text(at.latest),
                look=phrase(BY_NAME[stage].look.lower()),
            ),
            stage=stage,
        )


def is_uncut(season: Season, timeline: Timeline, today: date) -> bool:
    """Whether the latest day of a projected harvest has passed, of a cohort that flowered and is not recorded as cut, nor known to stand."""
    cohort, at = timeline.cohort, timeline.stages.get("harvest")
    return (
        at is not None
        and at.latest < today
        and cohort.flowers_uncut
        and cohort.intended("harvest") is None
        and timeline.cut_through is None
        and not stands_uncut(season, cohort.id, today)
    )


def not_cut(season: Season, timeline: Timeline, light: Light, today: date) -> Iterator[Clash]:
    """A projected harvest that has gone by: cut and not recorded, or still standing, with its work laid out no further than next week."""
    if is_uncut(season, timeline, today):
        name, latest = timeline.cohort.id, timeline.stages["harvest"].latest
        yield Clash(
            "harvest not recorded",
            (name,),
            phrase(
                "{cohorts} harvest was to come by {day} at the latest, and is not recorded; record the day it was cut, or "
                "plan it for another: until then what stands is watered, scouted and sampled, to the end of next week",
                cohorts=name,
                day=day_text(latest),
            ),
            stage="harvest",
        )
