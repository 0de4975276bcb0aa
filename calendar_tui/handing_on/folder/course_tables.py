"""What happened when, the weather and the work as tables of an open folder."""

from __future__ import annotations

from collections.abc import Iterator
from datetime import timedelta
from math import isnan

from calendar_tui.handing_on.folder.columns import (
    DATE,
    INTEGER,
    NOTE,
    NUMBER,
    Column,
    Row,
    Table,
    by_day,
    kept,
    personal,
)
from calendar_tui.handing_on.words.openness import Openness
from calendar_tui.planning.laying_out.stages import StageDate
from calendar_tui.planning.laying_out.stays import stay_on
from calendar_tui.planning.laying_out.timeline import Timeline
from calendar_tui.planning.plan import Plan
from calendar_tui.season.records import Season
from calendar_tui.season.stages import CODE_SOURCE, CODES, STAGES
from calendar_tui.season.weather import known_days

# Stages by the names of the ICASA dictionary.
_ICASA = {
    "seeding": "PDATE",
    "sticking": "PDATE",
    "emergence": "EDATE",
    "transplant": "TRDATE",
    "flowering": "ADAT",
    "harvest": "HADAT",
}
OUTAGE, PROGRAMME, SPRAY = "outage", "programme", "spray"


def _event_rows(plan: Plan, openness: Openness) -> Iterator[Row]:
    for timeline in plan.timelines.values():
        for stage_date in timeline.stages.values():
            yield from _stage_rows(timeline, stage_date)
    yield from _light_rows(plan.season)
    yield from _spray_rows(plan.season)


def _stage_rows(timeline: Timeline, stage_date: StageDate) -> Iterator[Row]:
    """A row for each date of a stage; the range and the plan stand in the first."""
    cohort, stage = timeline.cohort, stage_date.stage
    for n, day in enumerate(stage_date.dates or (stage_date.likely,), 1):
        first = (
            {}
            if n > 1
            else {
                "earliest": stage_date.earliest,
                "latest": stage_date.latest,
                "planned": cohort.planned.get(stage),
            }
        )
        yield {
            "event": f"{cohort.id} {stage} {n}",
            "type": stage,
            "date": day,
            "cohort": cohort.id,
            "place": stay_on(timeline.stays, day).light,
            "status": stage_date.status,
            "replanned": cohort.replanned.get(stage) if n == 1 else None,
            "icasa": _ICASA.get(stage),
            "code": CODES[stage],
            "cause": cohort.causes.get(stage) if n == 1 else None,
            **first,
        }


def _light_rows(season: Season) -> Iterator[Row]:
    for outage in season.outages:
        yield {
            "event": f"{OUTAGE} {outage.place} {outage.first}",
            "type": OUTAGE,
            "date": outage.first,
            "to": outage.last,
            "place": outage.place,
            "status": "recorded",
            "detail": "lamps did not burn on these nights, named by their evenings",
        }
    for programme in season.programmes:
        hours = "" if programme.target_h is None else f", {programme.target_h:g} h a day"
        clock = f", {programme.on:%H:%M} to {programme.off:%H:%M}" if programme.on and programme.off else ""
        yield {
            "event": f"{PROGRAMME} {programme.place} {programme.first}",
            "type": PROGRAMME,
            "date": programme.first,
            "to": programme.last,
            "place": programme.place,
            "status": "planned",
            "detail": f"{programme.method}{hours}{clock}",
        }


def _spray_rows(season: Season) -> Iterator[Row]:
    for one in by_day(season.sprays):
        details = (one.product, one.registration, one.active, one.rate, one.total, one.target)
        yield {
            "event": f"{SPRAY} {one.id}",
            "type": SPRAY,
            "date": one.date,
            "to": one.end_date,
            "place": one.place,
            "status": "recorded",
            "detail": "; ".join(filter(None, details)),
            "by": one.who,
        }


EVENTS = Table(
    "events",
    "Events",
    "Stages of cohorts, nights without lamps, lamps and covers by a programme of their own, and sprays. A date is recorded, planned or "
    "projected, and `status` says which: only a recorded one has happened.",
    ("event",),
    (
        Column("event", needed=True, means="made by this export"),
        Column(
            "type",
            needed=True,
            miappe="Event type",
            rdf="event",
            categories=(*STAGES, OUTAGE, PROGRAMME, SPRAY),
        ),
        Column("date", DATE, "its only or first day", needed=True, miappe="Event date"),
        Column("to", DATE, "its last day, where it has several"),
        Column("cohort", refers="cohorts", means="whose plants"),
        Column("place", refers="places", means="where"),
        Column("status", needed=True, categories=("recorded", "planned", "projected")),
        Column("earliest", DATE, "of the range, 10th percentile over the futures"),
        Column("latest", DATE, "of the range, 90th percentile over the futures"),
        Column("planned", DATE, "as first intended"),
        Column("replanned", DATE, "as intended later"),
        Column("icasa", means="the name of this date in the ICASA dictionary"),
        Column("code", means=f"of the growth stage by the {CODE_SOURCE}; xx any leaf pair, - a span"),
        Column("cause", means="why it came on another day than planned, as written"),
        Column("detail", means="in words", miappe="Event description"),
        personal("by", "who sprayed"),
    ),
    _event_rows,
)


def _weather_rows(plan: Plan, openness: Openness) -> Iterator[Row]:
    """The days of the station up to today."""
    days = known_days(plan.season)
    for n, (low, high) in enumerate(zip(days.low_c, days.high_c, strict=True) if days else ()):
        assert days is not None
        day = days.first + timedelta(days=n)
        if day <= plan.today and not (isnan(low) and isnan(high)):
            yield {
                "date": day,
                "low_c": None if isnan(low) else round(low, 2),
                "high_c": None if isnan(high) else round(high, 2),
            }


WEATHER = Table(
    "weather",
    "Weather",
    "Days of the season's station. A day that it lacks has no row.",
    ("date",),
    (
        Column("date", DATE, "of the site", needed=True),
        Column("low_c", NUMBER, "lowest temperature of the day", "C", icasa="TMIN"),
        Column("high_c", NUMBER, "highest temperature of the day", "C", icasa="TMAX"),
    ),
    _weather_rows,
)


def _task_rows(plan: Plan, openness: Openness) -> Iterator[Row]:
    for one in sorted(plan.season.tasks, key=lambda one: (one.date, one.id)):
        yield {**TASKS.kept_of(one), "cohorts": " ".join(one.about)}


TASKS = Table(
    "tasks",
    "Tasks",
    "The saved list of work.",
    ("task",),
    (
        kept("task", "id", name="task", means="short name", needed=True),
        kept("task", "date", DATE, needed=True),
        kept("task", "chore"),
        kept("task", "n", INTEGER),
        kept("task", "what", needed=True),
        Column("cohorts", means="for which cohorts, with blanks between"),
        kept("task", "place", refers="places"),
        kept("task", "hours", NUMBER),
        kept("task", "spent", NUMBER, name="spent_h"),
        kept("task", "state", categories=("open", "done", "skipped")),
        kept("task", "done_on", DATE),
        personal("by", "role", "who"),
        personal("fact", "what was found, as written"),
        NOTE,
    ),
    _task_rows,
)
