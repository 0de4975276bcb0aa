"""What nights without lamps come to for each cohort in the place, in a line each, before anything else is told of them."""

from __future__ import annotations

from collections.abc import Iterator
from datetime import date, timedelta
from enum import IntEnum
from operator import itemgetter

from calendar_tui.nature.plant import counts
from calendar_tui.planning.lamps.dark_nights import (
    DarkNights,
    DarkRun,
    dark_nights,
    dark_run,
    harmless_texts,
    look_text,
    trigger_text,
)
from calendar_tui.planning.laying_out.light import PlaceLight
from calendar_tui.planning.laying_out.stages import likely_response
from calendar_tui.planning.laying_out.timeline import Timeline
from calendar_tui.planning.plan import Plan
from calendar_tui.season.records import Outage
from calendar_tui.season.wording import day_text, days_text


class _Rank(IntEnum):
    """In which order verdicts are told."""

    FLOWERS, MAY_FLOWER, DARK_ON, TO_RELIGHT, MOVES, NO_HARM = range(6)


def verdict_texts(before: Plan, after: Plan, outage: Outage) -> tuple[str, ...]:
    """A line for each cohort that stands in the failed place, or asks for its lamps, on these nights; the worst first.

    after: the plan with the outage in it; before: the one without.
    """
    verdicts = [
        (rank, f"{name}: {text}")
        for name, timeline in after.timelines.items()
        for rank, text in _verdict(before, after, timeline, outage)
    ]
    return tuple(text for _, text in sorted(verdicts, key=itemgetter(0)))


def stands_in(timeline: Timeline, place: str, first: date, last: date) -> bool:
    """Whether plants of a cohort stand in a place, or in one part of it (H2 east), on a date from first to last."""
    cut = timeline.likely("harvest") or date.max
    end = min(cut, last + timedelta(days=1))
    return any(
        max(timeline.begun, first, stay.first) < min(end, stay.end)
        for stay in timeline.stays
        if place in (stay.place, stay.light)
    )


def arrivals(timeline: Timeline, place: str) -> Iterator[date]:
    """The likely dates on which plants of a cohort come into a place, or into one part of it."""
    for stay in timeline.stays:
        if place in (stay.place, stay.light) and stay.first < stay.end:
            yield max(timeline.begun, stay.first)


def _verdict(before: Plan, after: Plan, timeline: Timeline, outage: Outage) -> Iterator[tuple[_Rank, str]]:
    """The verdict on one cohort; nothing where it is not there."""
    nights = dark_nights(timeline, after.light, outage)
    if nights is None:
        if stands_in(timeline, outage.place, outage.first, outage.last):
            yield _unasked(before, timeline)
    elif nights.short:
        yield _of_run(before, after, timeline, nights)
    else:
        yield _Rank.NO_HARM, f"no harm: {harmless_texts(timeline, after.light, nights)[1]}"


def _unasked(before: Plan, timeline: Timeline) -> tuple[_Rank, str]:
    """Of a cohort that asked for no lamps then: a neighbour's may have held it back."""
    was, now = before.timelines[timeline.cohort.id].likely("trigger"), timeline.likely("trigger")
    if was != now and now is not None:
        old = "none" if was is None else day_text(was)
        return (
            _Rank.MOVES,
            f"asked for no lamps on these nights, but was held back by them: trigger {old} -> {day_text(now)}",
        )
    if timeline.variety.response == "day-neutral":
        return _Rank.NO_HARM, "no harm: it flowers by age"
    return _Rank.NO_HARM, "no harm: it asked for no lamps on these nights"


def _of_run(before: Plan, after: Plan, timeline: Timeline, nights: DarkNights) -> tuple[_Rank, str]:
    """The verdict on a cohort that short days were counted for."""
    run = dark_run(timeline, after.light, nights.short)
    when = "" if run.trigger is None else trigger_text(timeline, run.trigger)
    if run.flowering:
        return _Rank.FLOWERS, f"flowering has started: {when}{_harvest_text(before, timeline)}"
    if run.may_start is not None:
        count = f"{run.of_text(timeline)} short days"
        relit = _relit(after, timeline, run)
        what = f"relit on {day_text(relit)}" if relit else _relight_text(after, run)
        return (
            _Rank.MAY_FLOWER,
            f"flowering may have started ({count}): {what}; {look_text(after.light, run)}",
        )
    if when:
        return (
            _Rank.DARK_ON,
            f"no lit night follows: {when}{_harvest_text(before, timeline)}; relight for a night, or let it flower",
        )
    if relit := _relit(after, timeline, run):
        return _Rank.NO_HARM, f"no harm done: relit on {day_text(relit)}, the count went back to zero"
    left = _dark_days_left(after, timeline, nights.own, run)
    more = f"; {left} more dark {'day' if left == 1 else 'days'} and it may flower" if left else ""
    return _Rank.TO_RELIGHT, f"{_relight_text(after, run)}: no harm done{more}"


def _harvest_text(before: Plan, timeline: Timeline) -> str:
    """ ", harvest 5 Apr -> 22 Mar (14 days sooner)"; "" where it does not move."""
    was, now = before.timelines[timeline.cohort.id].likely("harvest"), timeline.likely("harvest")
    if was is None or now is None or was == now:
        return ""
    by = f"{days_text(abs((was - now).days))} {'sooner' if now < was else 'later'}"
    return f", harvest {day_text(was)} -> {day_text(now)} ({by})"


def _relit(plan: Plan, timeline: Timeline, run: DarkRun) -> date | None:
    """The first long day after the run, where it lies before today."""
    critical, first = timeline.variety.critical_day.likely, run.last + 1
    n = next((n for n, felt in enumerate(timeline.felt_h[first:], first) if felt >= critical), None)
    day = None if n is None else plan.light.first + timedelta(days=n)
    return day if day is not None and day < plan.today else None


def _relight_text(plan: Plan, run: DarkRun) -> str:
    dark_tonight = plan.light.first + timedelta(days=run.last) >= plan.today
    return "relight tomorrow" if dark_tonight else "relight tonight"


def _dark_days_left(plan: Plan, timeline: Timeline, own: PlaceLight, run: DarkRun) -> int:
    """How many further nights without lamps bring the count to where flowering may start; 0 where none do."""
    assert timeline.ready is not None
    felt_h = timeline.felt_h[: run.last + 1] + own.dark_h[run.last + 1 :]
    begin = plan.light.index(timeline.ready.likely)
    further = enumerate(counts(felt_h, begin, likely_response(timeline.variety)), begin)
    return next((n - run.last for n, count in further if n > run.last and count >= run.least - 1e-9), 0)
