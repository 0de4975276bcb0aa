"""Dates, light, and how the plants came to flower, for a growers' page."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from datetime import date

from calendar_tui.handing_on.report.day_length import day_svg, day_text_at
from calendar_tui.handing_on.report.parts import Drawing, Part, Section, Table, Text, numbered, section
from calendar_tui.handing_on.report.subject import Subject
from calendar_tui.planning.field_book.findings import rise_text, rises
from calendar_tui.planning.laying_out.stages import StageDate
from calendar_tui.planning.laying_out.timeline import Timeline
from calendar_tui.season.stages import DECIDED
from calendar_tui.season.wording import day_text, delay_text, hours_text, stage_text, year_day_text

_WIDE = 180.0
_NO_COHORT = "No cohort belongs to it."


def dates_section(subject: Subject) -> Section:
    """What the grower decided on: planned and done."""
    stages = [stage for stage in DECIDED if any(_has_date(one, stage) for one in subject.timelines)]
    if not subject.timelines:
        return section("Dates, planned and done", (), _NO_COHORT)
    usual = [stage for stage in stages if _is_usual(stage, subject.timelines)]
    rare = [stage for stage in stages if stage not in usual]
    rows = [
        (
            *(t.cohort.id, t.variety.id, t.where_text, _plants(t)),
            *(_done_text(t, stage) for stage in usual),
            *(["; ".join(_rare_texts(t, rare))] if rare else []),
        )
        for t in subject.timelines
    ]
    table = Table(
        "What was done when",
        ("cohort", "variety", "places", "plants", *map(stage_text, usual), *(["besides"] if rare else [])),
        tuple(rows),
        "A date without a word was recorded; behind it how far it was from the plan. Planned and expected dates have not happened.",
        numbered(3),
    )
    return section("Dates, planned and done", [table])


def _has_date(timeline: Timeline, stage: str) -> bool:
    """Whether the grower has a date for it; the harvest wherever it comes."""
    stage_date = timeline.stages.get(stage)
    return stage_date is not None and (stage == "harvest" or stage_date.status != "projected")


def _is_usual(stage: str, timelines: Sequence[Timeline]) -> bool:
    """Whether half of the cohorts or more have it, so that it has a column of its own."""
    return 2 * sum(stage in one.stages for one in timelines) >= len(timelines)


def _rare_texts(timeline: Timeline, stages: Sequence[str]) -> Iterator[str]:
    for stage in stages:
        if text := _done_text(timeline, stage):
            yield f"{stage_text(stage)} {text}"


def _plants(timeline: Timeline) -> str:
    return "" if timeline.cohort.plants is None else str(timeline.cohort.plants)


def _done_text(timeline: Timeline, stage: str) -> str:
    """ "8 Nov 2026 (9 d late)", "planned 20 Dec 2026", "expected 5 Apr 2027"."""
    stage_date = timeline.stages.get(stage)
    if stage_date is None:
        return ""
    day, cohort = year_day_text(stage_date.likely), timeline.cohort
    if stage_date.status != "recorded":
        return f"{'planned' if stage_date.status == 'planned' else 'expected'} {day}"
    planned = cohort.planned.get(stage)
    return day if planned is None else f"{day} ({delay_text((stage_date.likely - planned).days)})"


# --- light


def light_section(subject: Subject) -> Section:
    """The natural day at the position that is told, lamps, and the limits of the varieties."""
    if not subject.timelines:
        return section("Day length and lamps", (), _NO_COHORT)
    rounded = (
        ""
        if subject.openness.place
        else " Natural days are those of the rounded position, a few minutes off at most."
    )
    parts: list[Part] = [
        Drawing(
            "day-length",
            day_svg(subject, _WIDE),
            "The natural day through the season (curve). Dashed: at or above the critical day the count towards flowering starts "
            "anew; dotted: at or below full response each day counts whole. Thick: lamps, from lights on to lights off.",
        ),
        Table(
            "Natural day on the days that matter",
            (
                "cohort",
                "variety",
                "critical day",
                "full response",
                "at planting",
                "at lights off",
                "at the trigger",
            ),
            tuple(_light_row(subject, one) for one in subject.timelines),
            f"Limits are the figures of the varieties as the season has them, not found by this trial.{rounded}",
        ),
    ]
    return section("Day length and lamps", parts)


def _light_row(subject: Subject, one: Timeline) -> tuple[str, ...]:
    variety, is_short_day = one.variety, one.variety.response == "short-day"
    limits = (variety.critical_day.likely, variety.full_response_day.likely)
    days = (one.planted, one.likely("lights_off"), one.likely("trigger"))
    return (
        one.cohort.id,
        variety.id,
        *(hours_text(limit) if is_short_day else "day-neutral" for limit in limits),
        *("" if day is None else f"{day_text(day)}: {day_text_at(subject, day)}" for day in days),
    )


# --- flowering


def flowering_section(subject: Subject) -> Section:
    timelines = [one for one in subject.timelines if "flowering" in one.stages]
    return section(
        "Induced and in flower",
        list(_flowering(subject, timelines)),
        "No cohort comes into flower in this season.",
    )


def _flowering(subject: Subject, timelines: Sequence[Timeline]) -> Iterator[Part]:
    if not timelines:
        return
    in_order = sorted(timelines, key=lambda one: (one.variety.id, one.planted, one.cohort.id))
    yield Table(
        "By variety and day of planting",
        (
            "variety",
            "planted",
            "cohort",
            "induced",
            "50 % flowering",
            "days from planting",
            "harvest",
            "days from flowering",
        ),
        tuple(_flowering_row(one) for one in in_order),
        "Recorded dates are of whole cohorts, one each, so there is no SE and no test: cohorts differ by place and day too. In brackets: the "
        "range in which 8 of 10 expected dates lie.",
        numbered(5, 7),
    )
    seen = [one for one in rises(subject.plan.season) if one.cohort in {t.cohort.id for t in timelines}]
    if seen:
        yield Text(f"From shares that were counted: {'; '.join(map(rise_text, seen))}.")


def _flowering_row(one: Timeline) -> tuple[str, ...]:
    flowering, harvest = one.stages["flowering"], one.stages.get("harvest")
    return (
        one.variety.id,
        year_day_text(one.planted),
        one.cohort.id,
        _ranged(one.stages.get("induced")),
        _ranged(flowering),
        _days(one.planted, flowering.likely),
        _ranged(harvest),
        "" if harvest is None else _days(flowering.likely, harvest.likely),
    )


def _ranged(stage_date: StageDate | None) -> str:
    """ "8 Nov 2026" where it is recorded, else "expected 5 Apr (4 Apr to 18 May)"."""
    if stage_date is None:
        return ""
    if stage_date.status == "recorded":
        return year_day_text(stage_date.likely)
    return f"expected {day_text(stage_date.likely)} ({day_text(stage_date.earliest)} to {day_text(stage_date.latest)})"


def _days(first: date, last: date) -> str:
    return str((last - first).days)
