"""What happened when, the weather and the work as tables of an open folder."""

from __future__ import annotations

from collections.abc import Iterator
from datetime import timedelta
from math import isnan

from calendar_tui.handing_on.folder.columns import DATE, INTEGER, NUMBER, Column, Row, Table
from calendar_tui.handing_on.words.openness import Asked
from calendar_tui.planning.laying_out.stages import StageDate
from calendar_tui.planning.laying_out.stays import stay_on
from calendar_tui.planning.laying_out.timeline import Timeline
from calendar_tui.planning.plan import Plan
from calendar_tui.season.records import Season
from calendar_tui.season.stages import STAGES

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


def _event_rows(plan: Plan, asked: Asked) -> Iterator[Row]:
    for timeline in plan.timelines.values():
        for stage_date in timeline.stages.values():
            yield from _stage_rows(timeline, stage_date)
    yield from _light_rows(plan.season)
    yield from _spray_rows(plan.season, asked)


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


def _spray_rows(season: Season, asked: Asked) -> Iterator[Row]:
    for one in sorted(season.sprays.values(), key=lambda one: (one.date, one.id)):
        told = (one.product, one.registration, one.active, one.rate, one.total, one.target)
        yield {
            "event": f"{SPRAY} {one.id}",
            "type": SPRAY,
            "date": one.date,
            "to": one.end_date,
            "place": one.place if season.place_of(one.place) else None,
            "status": "recorded",
            "detail": "; ".join(filter(None, told)),
            "by": one.who if asked.names else None,
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
        Column("cause", means="why it came on another day than planned, as written"),
        Column("detail", means="in words", miappe="Event description"),
        Column("by", means="who; left out unless names were asked for"),
    ),
    _event_rows,
)


def _weather_rows(plan: Plan, asked: Asked) -> Iterator[Row]:
    """The days of the station up to today."""
    days = plan.season.weather
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


def _task_rows(plan: Plan, asked: Asked) -> Iterator[Row]:
    season = plan.season
    for one in sorted(season.tasks, key=lambda one: (one.date, one.id)):
        yield {
            **{
                name: getattr(one, name)
                for name in ("date", "chore", "what", "n", "hours", "state", "done_on")
            },
            "task": one.id,
            "spent_h": one.spent,
            "cohorts": " ".join(one.about),
            "place": one.place if season.place_of(one.place) else None,
            "by": one.who if asked.names else None,
            "fact": one.fact if asked.names else None,
            "note": one.note if asked.names else None,
        }


TASKS = Table(
    "tasks",
    "Tasks",
    "The saved list of work.",
    ("task",),
    (
        Column("task", needed=True, means="made by the season"),
        Column("date", DATE, "for which day", needed=True),
        Column("chore", means="the rule that made it"),
        Column("n", INTEGER, "which of its chore's dates"),
        Column("what", needed=True, means="the work, as written"),
        Column("cohorts", means="for which cohorts, with blanks between"),
        Column("place", refers="places", means="where"),
        Column("hours", NUMBER, "planned person-hours", "h"),
        Column("spent_h", NUMBER, "person-hours that it took, where they were noted", "h"),
        Column("state", categories=("open", "done", "skipped"), means="how it stands"),
        Column("done_on", DATE, "when it was done"),
        Column("by", means="role; left out unless names were asked for"),
        Column("fact", means="what was found, as written; left out unless names were asked for"),
        Column("note", means="as written; left out unless names were asked for"),
    ),
    _task_rows,
)
