"""What nights without lamps do to a cohort: how many count as short days, and what the grower can do."""

from __future__ import annotations

from datetime import date, timedelta

from calendar_tui.nature.plant import Response, counts
from calendar_tui.planning.light import Light
from calendar_tui.planning.timeline import Timeline
from calendar_tui.planning.wording import day_text, hours_text
from calendar_tui.season.records import Outage, Season

# Nights that count as short days from which a failure is urgent. Common practice, no source.
URGENT_NIGHTS = 2
DAY_H = 24.0


def missed_nights(timeline: Timeline, light: Light, outage: Outage) -> tuple[int, ...]:
    """The day numbers on which a short-day cohort asked for this place's lamps and they failed."""
    if timeline.ready is None:
        return ()
    first, end = light.index(outage.first), light.index(outage.last + timedelta(days=1))
    asks = [a for name, a in light.places[outage.place].asked if name == timeline.cohort.id]
    return tuple(
        n for n in range(first, end) if any(a.first <= light.first + timedelta(days=n) < a.dark for a in asks)
    )


def short_nights(
    season: Season, timeline: Timeline, light: Light, outage: Outage, missed: tuple[int, ...]
) -> tuple[int, ...]:
    """Those of the missed nights whose natural day counts, where the lamps' day would have counted less."""
    lamps = season.places[outage.place].lamps
    # Lamps without target hours, such as a night break, hold plants on any night.
    lamps_h = (lamps.target_h if lamps else 0.0) or DAY_H
    begin = light.index(_ready(timeline))
    induced = timeline.likely("induced")
    if induced is not None and light.index(induced) < missed[0]:
        return ()
    critical = timeline.variety.critical_day
    return tuple(
        n for n in missed if begin <= n and light.natural_h[n] < critical and light.natural_h[n] < lamps_h
    )


def outage_text(season: Season, timeline: Timeline, light: Light, outage: Outage) -> str:
    """What an outage means for a cohort, in one sentence with its figures; "" where it asked for no lamps then."""
    missed = missed_nights(timeline, light, outage)
    if not missed:
        return ""
    short = short_nights(season, timeline, light, outage, missed)
    if not short:
        return _harmless(timeline, light, outage, missed)
    how = "urgent" if len(short) >= URGENT_NIGHTS else "alert"
    longest = max(light.natural_h[n] for n in short)
    nights = "1 night" if len(short) == 1 else f"{len(short)} nights"
    return (
        f"{how}: {timeline.cohort.id} is without the lamps of {outage.place} for {nights} from {_day(light, short[0])} "
        f"(natural day {hours_text(longest)}{' or less' if len(short) > 1 else ''}, under "
        f"{hours_text(timeline.variety.critical_day)}); {_what_now(timeline, light, short)}"
    )


def _ready(timeline: Timeline) -> date:
    """From when a day can count, for a cohort that misses nights."""
    assert timeline.ready is not None
    return timeline.ready.likely


def _day(light: Light, n: int) -> str:
    return day_text(light.first + timedelta(days=n))


def _harmless(timeline: Timeline, light: Light, outage: Outage, missed: tuple[int, ...]) -> str:
    """Why an outage changes nothing for a cohort."""
    variety, begin = timeline.variety, _ready(timeline)
    shortest = min(light.natural_h[n] for n in missed)
    if shortest >= variety.critical_day:
        why = f"the natural day is {hours_text(shortest)} or more, and only under {hours_text(variety.critical_day)} counts"
    elif light.index(begin) > missed[-1] and "trigger" in timeline.cohort.recorded:
        why = f"its trigger is recorded on {day_text(begin)}"
    elif light.index(begin) > missed[-1]:
        why = f"its plants are juvenile until {day_text(begin)}"
    elif (induced := timeline.likely("induced")) is not None and light.index(induced) < missed[0]:
        why = f"it was induced on {day_text(induced)}"
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
