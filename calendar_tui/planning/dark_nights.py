"""What nights without lamps do to a cohort: how many count as short days, and what the grower can do."""

from __future__ import annotations

from datetime import date, timedelta

from calendar_tui.nature.plant import Response, counts
from calendar_tui.planning.light import Light, PlaceLight
from calendar_tui.planning.timeline import Timeline
from calendar_tui.planning.wording import day_text, hours_against, hours_text, night_count_text
from calendar_tui.season.records import Outage

# Nights that count as short days from which a failure is urgent. Common practice, no source.
URGENT_NIGHTS = 2


def missed_nights(timeline: Timeline, light: Light, outage: Outage) -> tuple[int, ...]:
    """The day numbers on which a short-day cohort asked for this place's lamps and they failed."""
    own = _failed_light(timeline, light, outage)
    if timeline.ready is None or own is None:
        return ()
    first, end = light.index(outage.first), light.index(outage.last + timedelta(days=1))
    asks = [a for name, a in own.asked if name == timeline.cohort.id]
    return tuple(
        n for n in range(first, end) if any(a.first <= light.first + timedelta(days=n) < a.dark for a in asks)
    )


def _failed_light(timeline: Timeline, light: Light, outage: Outage) -> PlaceLight | None:
    """The failed light under which a cohort grows, or did as a seedling; an outage of a place is one of all its parts."""
    cohort = timeline.cohort
    if outage.place in (cohort.place, cohort.light):
        return light.places[cohort.light]
    return light.places[outage.place] if outage.place == cohort.nursery else None


def short_nights(
    timeline: Timeline, light: Light, outage: Outage, missed: tuple[int, ...]
) -> tuple[int, ...]:
    """The nights whose day counts without the failed lamps, and would not have counted with them.

    Those of `missed`, and the one before, whose morning lamps by the clock may have been to light.
    """
    own = _failed_light(timeline, light, outage)
    begin = light.index(_ready(timeline))
    induced = timeline.likely("induced")
    if own is None or (induced is not None and light.index(induced) < missed[0]):
        return ()
    critical = timeline.variety.critical_day
    nights = (missed[0] - 1, *missed) if missed[0] else missed
    return tuple(n for n in nights if begin <= n and own.felt_h[n] < critical <= own.unfailed_h[n])


def outage_text(timeline: Timeline, light: Light, outage: Outage) -> str:
    """What an outage means for a cohort, in one sentence with its figures; "" where it asked for no lamps then."""
    missed = missed_nights(timeline, light, outage)
    if not missed:
        return ""
    short = short_nights(timeline, light, outage, missed)
    if not short:
        return _harmless(timeline, light, outage, missed)
    how = "urgent" if len(short) >= URGENT_NIGHTS else "alert"
    return (
        f"{how}: {timeline.cohort.id} is without the lamps of {outage.place} for {night_count_text(len(short))} from "
        f"{_day(light, short[0])} ({_length_text(timeline, light, outage, short)}, under "
        f"{hours_text(timeline.variety.critical_day)}); {_what_now(timeline, light, short)}"
    )


def _ready(timeline: Timeline) -> date:
    """From when a day can count, for a cohort that misses nights."""
    assert timeline.ready is not None
    return timeline.ready.likely


def _length_text(timeline: Timeline, light: Light, outage: Outage, short: tuple[int, ...]) -> str:
    """ "natural day 14 h 03 or less": the longest of these days, as they were felt in the failed place."""
    own = _failed_light(timeline, light, outage)
    felt_h = light.natural_h if own is None else own.felt_h
    kind = "natural day" if all(felt_h[n] == light.natural_h[n] for n in short) else "a day of"
    longest = hours_against(max(felt_h[n] for n in short), timeline.variety.critical_day)
    return f"{kind} {longest}{' or less' if len(short) > 1 else ''}"


def _day(light: Light, n: int) -> str:
    return day_text(light.first + timedelta(days=n))


def _harmless(timeline: Timeline, light: Light, outage: Outage, missed: tuple[int, ...]) -> str:
    """Why an outage changes nothing for a cohort."""
    variety, begin = timeline.variety, _ready(timeline)
    own = _failed_light(timeline, light, outage)
    shortest = min(light.natural_h[n] for n in missed)
    if own is not None and all(own.covered(light.first + timedelta(days=n)) for n in missed):
        why = "covers are drawn on these evenings and no lamps burn"
    elif shortest >= variety.critical_day:
        shortest_h = hours_against(shortest, variety.critical_day)
        why = f"the natural day is {shortest_h} or more, and only under {hours_text(variety.critical_day)} counts"
    elif light.index(begin) > missed[-1] and "trigger" in timeline.cohort.recorded:
        why = f"its trigger is recorded on {day_text(begin)}"
    elif light.index(begin) > missed[-1]:
        why = f"its plants are juvenile until {day_text(begin)}"
    elif (induced := timeline.likely("induced")) is not None and light.index(induced) < missed[0]:
        why = f"it was induced on {day_text(induced)}"
    elif own is not None and any(own.felt_h[n] < own.unfailed_h[n] for n in missed):
        lit_h = hours_against(max(own.unfailed_h[n] for n in missed), variety.critical_day)
        return (
            f"{timeline.cohort.id}: the outage of {outage.place} from {_day(light, missed[0])} changes little; lit, its days "
            f"would be {lit_h} or less and count too"
        )
    else:
        why = "no night of it counts as a shorter day than the lamps give"
    return f"{timeline.cohort.id}: the outage of {outage.place} from {_day(light, missed[0])} changes nothing; {why}"


def _what_now(timeline: Timeline, light: Light, short: tuple[int, ...]) -> str:
    trigger, induced = timeline.stages.get("trigger"), timeline.likely("induced")
    if trigger is None or induced is None:
        return _count_now(timeline, light, short)
    when = (
        f"trigger {'recorded on' if trigger.status == 'recorded' else 'moved to'} {day_text(trigger.likely)}"
    )
    if light.index(induced) <= short[-1]:
        return (
            f"flowering has started: {when}; repair the lamps and plan again what follows, or let it flower"
        )
    if light.index(trigger.likely) <= short[-1]:
        return (
            f"no lit night follows: {when}; relight for a night to put the count back "
            f"to zero, or let it flower"
        )
    return _count_now(timeline, light, short)


def _count_now(timeline: Timeline, light: Light, short: tuple[int, ...]) -> str:
    """How far the count got, and how it goes back."""
    variety = timeline.variety
    begin = light.index(_ready(timeline))
    response = Response(variety.critical_day, variety.full_response_day, variety.inductive_days.likely)
    most = counts(timeline.felt_h[: short[-1] + 1], begin, response)[-1]
    return (
        f"the count of short days comes to {most:.1f} of {variety.inductive_days.likely:g}; repair the lamps and relight: "
        f"the count goes back to zero on the first lit night (of {hours_text(variety.critical_day)} or longer)"
    )
