"""What of a season goes into a calendar: its tasks, the dates of its cohorts, and its lamps, as events."""

from __future__ import annotations

from collections.abc import Callable, Iterator, Mapping
from dataclasses import dataclass
from datetime import UTC, date, datetime

from calendar_tui.handing_on.calendar.revisions import RecordKey
from calendar_tui.language.speaking import chore_text, marked, tr, translated
from calendar_tui.planning.lamps.runs import LampRun, lamp_runs, lights_with_lamps
from calendar_tui.planning.laying_out.programmes import place_of, programme_text, timer_follows
from calendar_tui.planning.laying_out.stages import StageDate
from calendar_tui.planning.laying_out.stays import growing_on
from calendar_tui.planning.laying_out.timeline import Timeline
from calendar_tui.planning.plan import Plan
from calendar_tui.season.lamp_clock import lamps_text
from calendar_tui.season.records import Place, Season, Task
from calendar_tui.season.units_in_use import clock
from calendar_tui.season.wording import (
    MOST_COHORTS,
    amount_text,
    cohorts_text,
    day_text,
    hours_text,
    plant_count_text,
    stage_text,
    task_hours_text,
    weekday_text,
)


@dataclass(frozen=True, slots=True)
class Happening:
    """One event. key: what tells it from all others, for good; start: a local date for a whole day, or an instant in UTC.

    end: the instant of a timed one. status: CONFIRMED, TENTATIVE or CANCELLED (RFC 5545 3.8.1.11). done: is it over
    with, so that it needs no alarm. records: what it follows from; empty where that is the plan as a whole.
    """

    key: tuple[str, ...]
    start: date | datetime
    summary: str
    description: str
    place: str
    status: str
    category: str
    role: str = ""
    end: datetime | None = None
    done: bool = False
    records: tuple[RecordKey, ...] = ()


def work(plan: Plan) -> Iterator[Happening]:
    """Every saved task, whatever its state, as a whole day."""
    for task in plan.season.tasks:
        yield _of_task(plan.season, task)


def dates(plan: Plan) -> Iterator[Happening]:
    """Every date of every stage of every cohort, as a whole day; what is worked out is tentative."""
    for timeline in plan.timelines.values():
        for stage_date in timeline.stages.values():
            for n, day in enumerate(stage_date.dates or (stage_date.likely,), 1):
                yield _of_stage(plan.season, timeline, stage_date, n, day)


def lamps(plan: Plan) -> Iterator[Happening]:
    """Every run of every light's lamps and every drawing of its covers, from on to off."""
    for name in lights_with_lamps(plan.season):
        place, counted = place_of(plan.season, name), dict[date, int]()
        for run in lamp_runs(plan.season, name, plan.light):
            counted[run.date] = counted.get(run.date, 0) + 1
            yield _of_run(place, run, counted[run.date])


# What may be asked for, by its name.
KINDS: Mapping[str, Callable[[Plan], Iterator[Happening]]] = {"tasks": work, "dates": dates, "lamps": lamps}

_DONE_TEXT = {"open": "{work}", "done": marked("done: {work}"), "skipped": marked("skipped: {work}")}


def _of_task(season: Season, task: Task) -> Happening:
    chore = season.chores.get(task.chore)
    about = {
        "": tr("done {day}", day=weekday_text(task.done_on)) if task.done_on else "",
        marked("who"): chore_text(task.who),
        marked("hours"): task_hours_text(task.hours, chore is not None and chore.guessed),
        marked("amount"): amount_text(task.amount),
        marked("why on this day"): translated(task.why),
        marked("write down"): chore_text(chore.asks) if chore and not task.fact else "",
        marked("found"): task.fact,
        marked("cohorts"): ", ".join(task.about) if len(task.about) > MOST_COHORTS else "",
        marked("task"): task.id,
        marked("note"): task.note,
        marked("caution"): chore_text(chore.caution) if chore else "",
    }
    where = " ".join(part for part in (cohorts_text(task.about), task.place) if part)
    hour = f"{clock(chore.time)} " if chore is not None and chore.time is not None else ""
    named = (
        ("task", task.id),
        ("chore", task.chore),
        ("place", task.place),
        *(("cohort", c) for c in task.about),
    )
    return Happening(
        ("task", task.id),
        task.date,
        tr(_DONE_TEXT[task.state], work=(f"{where}: " if where else "") + hour + chore_text(task.what)),
        _lines(about),
        _place_text(season, task.place),
        "CANCELLED" if task.state == "skipped" else "CONFIRMED",
        "work",
        task.who,
        done=task.state != "open",
        records=named,
    )


def _of_stage(season: Season, timeline: Timeline, stage_date: StageDate, n: int, day: date) -> Happening:
    cohort, here = timeline.cohort, growing_on(timeline.stays, day)
    spread = (
        ""
        if stage_date.earliest == stage_date.latest
        else tr("{first} to {last}", first=day_text(stage_date.earliest), last=day_text(stage_date.latest))
    )
    plants = "" if cohort.plants is None else plant_count_text(cohort.plants)
    about = {
        "": translated(stage_date.status_text),
        marked("range"): spread if len(stage_date.dates) <= 1 else "",
        marked("cohort"): ", ".join(part for part in (cohort.variety, plants, here.light) if part),
        marked("note"): cohort.note,
    }
    return Happening(
        ("stage", cohort.id, stage_date.stage, str(n)),
        day,
        tr(
            "{stage} ({status})",
            stage=f"{cohort.id} {stage_text(stage_date.stage)}",
            status=tr(stage_date.status),
        ),
        _lines(about),
        _place_text(season, here.place),
        "TENTATIVE" if stage_date.status == "projected" else "CONFIRMED",
        "dates",
        done=stage_date.status == "recorded",
    )


def _of_run(place: Place, run: LampRun, n: int) -> Happening:
    covers = run.programme.method == "blackout"
    standard = "" if timer_follows(place) else lamps_text(run.set_on, run.set_off)
    about = {
        "": translated(programme_text(run.programme)),
        marked("dark left"): hours_text(run.dark_span_h),
        marked("set the timer, on standard time"): standard,
        marked("note"): translated(run.note),
    }
    return Happening(
        ("lamps", run.place, run.date.isoformat(), str(n)),
        run.on.astimezone(UTC),
        _run_text(run, covers),
        _lines(about),
        run.place,
        "CONFIRMED",
        "lamps",
        end=run.off.astimezone(UTC),
    )


def _run_text(run: LampRun, covers: bool) -> str:
    """ "Lamps H2 on 19:50 off 20:47", "Covers N1 drawn 17:00 opened 08:00"."""
    text = (
        marked("Covers {place} drawn {on} opened {off}")
        if covers
        else marked("Lamps {place} on {on} off {off}")
    )
    return tr(text, place=run.place, on=clock(run.on), off=clock(run.off))


def _place_text(season: Season, name: str) -> str:
    """A place's id with its longer name, where it has one."""
    place = season.places.get(name)
    return f"{name}, {place.name}" if place is not None and place.name else name


def _lines(about: Mapping[str, str]) -> str:
    """A line for each thing there is to say, led by its name."""
    told = ((tr(name) if name else "", text) for name, text in about.items() if text)
    return "\n".join(f"{name}: {text}" if name else text for name, text in told)
