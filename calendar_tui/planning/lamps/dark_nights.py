"""What nights without lamps do to a cohort: how many count as short days, whether it may flower, and what can be done."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from datetime import date, timedelta

from calendar_tui.nature.plant import counts
from calendar_tui.planning.laying_out.light import Light, PlaceLight
from calendar_tui.planning.laying_out.stages import likely_response, narrowed
from calendar_tui.planning.laying_out.timeline import Timeline
from calendar_tui.season.records import Outage
from calendar_tui.season.wording import count_text, day_text, hours_against, hours_text, night_count_text

# Nights that count as short days from which a failure is urgent. Common practice, no source.
URGENT_NIGHTS = 2
# Short days after which plants may be induced, where a variety's figure has no range. Duchin et al. 2020, Acta
# Horticulturae 1283:17 (read): induction takes no more than 5 short days.
MAY_START_D = 5


@dataclass(frozen=True, slots=True)
class DarkNights:
    """The nights of an outage on which a short-day cohort asked for the failed lamps, by their day numbers.

    own: the light that failed. missed: all of them, one at least. short: those whose day counts without the lamps, and
    would not have counted with them; the night before too, whose morning lamps by the clock may have been to light.
    """

    own: PlaceLight
    missed: tuple[int, ...]
    short: tuple[int, ...]


def dark_nights(timeline: Timeline, light: Light, outage: Outage) -> DarkNights | None:
    """What an outage is to a cohort; None where it asked for no lamps then."""
    own = _failed_light(timeline, light, outage)
    if timeline.ready is None or own is None:
        return None
    nights = range(light.index(outage.first), light.index(outage.last + timedelta(days=1)))
    asked = [
        range(light.index(a.first), light.index(a.dark)) for a in own.by_cohort.get(timeline.cohort.id, ())
    ]
    missed = tuple(n for n in nights if any(n in span for span in asked))
    return DarkNights(own, missed, _short_nights(timeline, light, own, missed)) if missed else None


def missed_nights(timeline: Timeline, light: Light, outage: Outage) -> tuple[int, ...]:
    """The day numbers on which a short-day cohort asked for this place's lamps and they failed."""
    nights = dark_nights(timeline, light, outage)
    return () if nights is None else nights.missed


def _failed_light(timeline: Timeline, light: Light, outage: Outage) -> PlaceLight | None:
    """The failed light under which a cohort stands at some time; an outage of a place is one of all its parts.

    Of several lights in the place, the one under which it stands in these nights.
    """
    there = [stay for stay in timeline.stays if outage.place in (stay.place, stay.light)]
    if not there:
        return None
    then = next((stay for stay in there if stay.first <= outage.last and outage.first < stay.end), there[-1])
    return light.places[then.light]


def _short_nights(
    timeline: Timeline, light: Light, own: PlaceLight, missed: tuple[int, ...]
) -> tuple[int, ...]:
    begin, induced = light.index(_ready(timeline)), timeline.likely("induced")
    if induced is not None and light.index(induced) < missed[0]:
        return ()
    critical = timeline.variety.critical_day.likely
    nights = (missed[0] - 1, *missed) if missed[0] else missed
    return tuple(n for n in nights if begin <= n and own.felt_h[n] < critical <= own.unfailed_h[n])


def outage_text(timeline: Timeline, light: Light, outage: Outage) -> str:
    """What an outage means for a cohort, in one sentence with its figures; "" where it asked for no lamps then."""
    nights = dark_nights(timeline, light, outage)
    if nights is None or not nights.short:
        return "" if nights is None else _harmless(timeline, light, outage, nights)
    short = nights.short
    how = "urgent" if len(short) >= URGENT_NIGHTS else "alert"
    return (
        f"{how}: {timeline.cohort.id} is without the lamps of {outage.place} for {night_count_text(len(short))} from "
        f"{_day(light, short[0])} ({_length_text(timeline, light, nights)}, under "
        f"{hours_text(timeline.variety.critical_day.likely)}); {_what_now(timeline, light, dark_run(timeline, light, short))}"
    )


def remark_text(timeline: Timeline, light: Light, outage: Outage) -> str:
    """The same of an outage that does the cohort no harm; "" of one that does."""
    nights = dark_nights(timeline, light, outage)
    return "" if nights is None or nights.short else _harmless(timeline, light, outage, nights)


@dataclass(frozen=True, slots=True)
class DarkRun:
    """The short days that nights without lamps leave in a row, up to the last of these nights.

    last: its day number. count: of short days at its end. least: the count from which the quickest plants may be
    induced; may_start: the day number at which it was reached, None where it was not. trigger: the cohort's trigger
    where this run leads up to it, else None. flowering: whether it was full before the run's end.
    """

    last: int
    count: float
    least: float
    may_start: int | None
    trigger: date | None
    flowering: bool

    def of_text(self, timeline: Timeline) -> str:
        """ "7.9 of 8": the count of those that are needed."""
        return count_text(self.count, timeline.variety.inductive_days.likely)


def dark_run(timeline: Timeline, light: Light, short: Sequence[int]) -> DarkRun:
    """The run that these nights, which count as short days, belong to."""
    variety, begin, last = timeline.variety, light.index(_ready(timeline)), short[-1]
    response = likely_response(variety)
    run = counts(timeline.felt_h[: last + 1], begin, response)
    least = least_count(timeline)
    reached = [n for n, count in enumerate(run, begin) if n >= short[0] and count >= least - 1e-9]
    trigger, induced = timeline.likely("trigger"), timeline.likely("induced")
    led = trigger is not None and induced is not None and light.index(trigger) <= last
    return DarkRun(
        last,
        run[-1],
        least,
        reached[0] if reached else None,
        trigger if led else None,
        led and induced is not None and light.index(induced) <= last,
    )


def least_count(timeline: Timeline) -> float:
    """The count of short days from which the quickest plants of a cohort may be induced."""
    needed = narrowed(timeline.variety.inductive_days, timeline.cohort.start, timeline.variety.cutting_spread)
    return needed.early if needed.early < needed.likely else min(MAY_START_D, needed.likely)


def _ready(timeline: Timeline) -> date:
    """From when a day can count, for a cohort that misses nights."""
    assert timeline.ready is not None
    return timeline.ready.likely


def _length_text(timeline: Timeline, light: Light, nights: DarkNights) -> str:
    """ "natural day 14 h 03 or less": the longest of the days that count, as they were felt in the failed place."""
    own, short = nights.own, nights.short
    kind = "natural day" if all(own.felt_h[n] == light.natural_h[n] for n in short) else "a day of"
    longest = hours_against(max(own.felt_h[n] for n in short), timeline.variety.critical_day.likely)
    return f"{kind} {longest}{' or less' if len(short) > 1 else ''}"


def _day(light: Light, n: int) -> str:
    return day_text(light.first + timedelta(days=n))


def _harmless(timeline: Timeline, light: Light, outage: Outage, nights: DarkNights) -> str:
    """That an outage changes nothing for a cohort, or little, and why."""
    change, why = harmless_texts(timeline, light, nights)
    return f"{timeline.cohort.id}: the outage of {outage.place} from {_day(light, nights.missed[0])} changes {change}; {why}"


def harmless_texts(timeline: Timeline, light: Light, nights: DarkNights) -> tuple[str, str]:
    """ "nothing" or "little", and why, where none of the nights missed counts that would not have with the lamps."""
    variety, begin, induced = timeline.variety, _ready(timeline), timeline.likely("induced")
    own, missed = nights.own, nights.missed
    shortest, critical = min(light.natural_h[n] for n in missed), hours_text(variety.critical_day.likely)
    if all(own.covered(light.first + timedelta(days=n)) for n in missed):
        return "nothing", "covers are drawn on these evenings and no lamps burn"
    if shortest >= variety.critical_day.likely:
        natural = hours_against(shortest, variety.critical_day.likely)
        return "nothing", f"the natural day is {natural} or more, and only under {critical} counts"
    if light.index(begin) > missed[-1]:
        is_recorded = "trigger" in timeline.cohort.recorded
        how = "its trigger is recorded on" if is_recorded else "its plants are juvenile until"
        return "nothing", f"{how} {day_text(begin)}"
    if induced is not None and light.index(induced) < missed[0]:
        return "nothing", f"it was induced on {day_text(induced)}"
    if any(own.felt_h[n] < own.unfailed_h[n] for n in missed):
        lit = hours_against(max(own.unfailed_h[n] for n in missed), variety.critical_day.likely)
        return "little", f"lit, its days would be {lit} or less and count too"
    return "nothing", "no night of it counts as a shorter day than the lamps give"


def trigger_text(timeline: Timeline, trigger: date) -> str:
    """ "trigger moved to 16 Jan"."""
    status = timeline.stages["trigger"].status
    return f"trigger {'recorded on' if status == 'recorded' else 'moved to'} {day_text(trigger)}"


def look_text(light: Light, run: DarkRun) -> str:
    """ "look at the tips from 28 Jan"; only of a run that may have started flowering."""
    assert run.may_start is not None
    return f"look at the tips from {_day(light, run.may_start)}"


def _what_now(timeline: Timeline, light: Light, run: DarkRun) -> str:
    when = "" if run.trigger is None else trigger_text(timeline, run.trigger)
    if run.flowering:
        return (
            f"flowering has started: {when}; repair the lamps and plan again what follows, or let it flower"
        )
    if run.may_start is not None:
        follows = f"; no lit night follows: {when}" if when else ""
        return (
            f"flowering may have started: {_count_text(timeline, run)}, and {least_text(timeline, run.least)}{follows}; repair "
            f"the lamps and relight, and {look_text(light, run)}"
        )
    if when:
        return (
            f"no lit night follows: {when}; relight for a night to put the count back "
            f"to zero, or let it flower"
        )
    return (
        f"{_count_text(timeline, run)}; repair the lamps and relight: the count goes back to zero on the first lit night "
        f"(of {hours_text(timeline.variety.critical_day.likely)} or longer)"
    )


def _count_text(timeline: Timeline, run: DarkRun) -> str:
    return f"the count of short days comes to {run.of_text(timeline)}"


def least_text(timeline: Timeline, least: float) -> str:
    """ "5 can be enough": of the count from which the quickest plants may be induced."""
    early, likely, _ = timeline.variety.inductive_days
    return f"{least:g} {'are enough for the quickest plants' if early < likely else 'can be enough'}"
