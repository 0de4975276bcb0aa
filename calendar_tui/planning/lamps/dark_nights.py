"""Which nights without lamps count as short days of a cohort, and how far the likely count comes by them."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from datetime import date, timedelta

from calendar_tui.language.speaking import phrase, phrase_form
from calendar_tui.nature.plant import counts
from calendar_tui.planning.laying_out.light import Light, PlaceLight
from calendar_tui.planning.laying_out.stages import likely_response
from calendar_tui.planning.laying_out.stays import Stay
from calendar_tui.planning.laying_out.timeline import Timeline
from calendar_tui.season.records import Outage
from calendar_tui.season.wording import count_text, day_text, hours_against, hours_text, night_count_text

# By whether the days are as long as nature has them, and whether they are several.
_LENGTHS: Mapping[tuple[bool, bool], str] = {
    (True, True): phrase_form("natural day {full} or less"),
    (True, False): phrase_form("natural day {full}"),
    (False, True): phrase_form("a day of {full} or less"),
    (False, False): phrase_form("a day of {full}"),
}
# By how much an outage changes for a cohort.
_CHANGES: Mapping[str, str] = {
    "nothing": phrase_form("{cohort}: the outage of {light} from {day} changes nothing; {why}"),
    "little": phrase_form("{cohort}: the outage of {light} from {day} changes little; {why}"),
}


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


def nights_there(timeline: Timeline, light: Light, outage: Outage) -> tuple[int, ...]:
    """The day numbers of an outage's nights on which plants of a cohort stood there and lamps were to burn, for any cohort."""
    return tuple(
        n
        for stay in timeline.stays
        if outage.place in (stay.place, stay.light)
        for n in _nights_of(timeline, light, outage, stay)
        if light.places[stay.light].askers_by_night[n]
    )


def _nights_of(timeline: Timeline, light: Light, outage: Outage, stay: Stay) -> range:
    """The day numbers of an outage's nights within a stay, from the cohort's start to its harvest."""
    first = max(outage.first, stay.first, timeline.begun)
    end = min(outage.last + timedelta(days=1), stay.end, timeline.likely("harvest") or date.max)
    return range(light.index(first), light.index(end)) if first < end else range(0)


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


def outage_kind(outage: Outage) -> str:
    """The kind of the clashes of an outage."""
    return f"outage {outage.place} {outage.first}"


def facts_text(timeline: Timeline, light: Light, outage: Outage) -> str:
    """ "8 nights without the lamps of H3 from 12 Jan (natural day 14 h 15 or less, under 14 h 45)"; "" where none is.

    Only nights that count as short days of the cohort are of it.
    """
    nights = dark_nights(timeline, light, outage)
    if nights is None or not nights.short:
        return ""
    return phrase(
        "{night_count} without the lamps of {light} from {day} ({natural}, under {limit})",
        night_count=night_count_text(len(nights.short)),
        light=outage.place,
        day=_day(light, nights.short[0]),
        natural=_length_text(timeline, light, nights),
        limit=hours_text(timeline.variety.critical_day.likely),
    )


def remark_text(timeline: Timeline, light: Light, outage: Outage) -> str:
    """That an outage does a cohort no harm, and why; "" of one that may do some."""
    nights = dark_nights(timeline, light, outage)
    return "" if nights is None or nights.short else _harmless(timeline, light, outage, nights)


@dataclass(frozen=True, slots=True)
class DarkRun:
    """The short days that nights without lamps leave in a row in the likely run, up to the last of these nights.

    last: its day number. count: of short days at its end. trigger: the cohort's trigger where this run leads up to it,
    else None. full: whether the count was full before the run's end.
    """

    last: int
    count: float
    trigger: date | None
    full: bool

    def of_text(self, timeline: Timeline) -> str:
        """ "7.9 of 8": the count of those that are needed."""
        return count_text(self.count, timeline.variety.inductive_days.likely)


def dark_run(timeline: Timeline, light: Light, short: Sequence[int]) -> DarkRun:
    """The run that these nights, which count as short days, belong to."""
    last, begin = short[-1], light.index(_ready(timeline))
    run = counts(timeline.felt_h[: last + 1], begin, likely_response(timeline.variety))
    trigger, induced = timeline.likely("trigger"), timeline.likely("induced")
    led = trigger is not None and induced is not None and light.index(trigger) <= last
    full = led and induced is not None and light.index(induced) <= last
    return DarkRun(last, run[-1], trigger if led else None, full)


def _ready(timeline: Timeline) -> date:
    """From when a day can count, for a cohort that misses nights."""
    assert timeline.ready is not None
    return timeline.ready.likely


def _length_text(timeline: Timeline, light: Light, nights: DarkNights) -> str:
    """ "natural day 14 h 03 or less": the longest of the days that count, as they were felt in the failed place."""
    own, short = nights.own, nights.short
    is_natural = all(own.felt_h[n] == light.natural_h[n] for n in short)
    longest = hours_against(max(own.felt_h[n] for n in short), timeline.variety.critical_day.likely)
    return phrase(_LENGTHS[is_natural, len(short) > 1], full=longest)


def _day(light: Light, n: int) -> str:
    return day_text(light.first + timedelta(days=n))


def _harmless(timeline: Timeline, light: Light, outage: Outage, nights: DarkNights) -> str:
    """That an outage changes nothing for a cohort, or little, and why."""
    change, why = harmless_texts(timeline, light, nights)
    return phrase(
        _CHANGES[change],
        cohort=timeline.cohort.id,
        light=outage.place,
        day=_day(light, nights.missed[0]),
        why=why,
    )


def _begins_text(timeline: Timeline, begin: date) -> str:
    """From when its short days count."""
    if "trigger" in timeline.cohort.recorded:
        return phrase("its trigger is recorded on {day}", day=day_text(begin))
    return phrase("its plants are juvenile until {day}", day=day_text(begin))


def harmless_texts(timeline: Timeline, light: Light, nights: DarkNights) -> tuple[str, str]:
    """ "nothing" or "little", and why, where none of the nights missed counts that would not have with the lamps."""
    variety, begin, induced = timeline.variety, _ready(timeline), timeline.likely("induced")
    own, missed = nights.own, nights.missed
    shortest, critical = min(light.natural_h[n] for n in missed), hours_text(variety.critical_day.likely)
    if all(own.covered(light.first + timedelta(days=n)) for n in missed):
        return "nothing", phrase("covers are drawn on these evenings and no lamps burn")
    if shortest >= variety.critical_day.likely:
        natural = hours_against(shortest, variety.critical_day.likely)
        return "nothing", phrase(
            "the natural day is {hours} or more, and only under {limit} counts", hours=natural, limit=critical
        )
    if light.index(begin) > missed[-1]:
        return "nothing", _begins_text(timeline, begin)
    if induced is not None and light.index(induced) < missed[0]:
        return "nothing", phrase("it was induced on {day}", day=day_text(induced))
    if any(own.felt_h[n] < own.unfailed_h[n] for n in missed):
        lit = hours_against(max(own.unfailed_h[n] for n in missed), variety.critical_day.likely)
        return "little", phrase("lit, its days would be {hours} or less and count too", hours=lit)
    return "nothing", phrase("no night of it counts as a shorter day than the lamps give")
