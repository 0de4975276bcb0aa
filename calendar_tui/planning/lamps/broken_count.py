"""A lights off after which the count of short days begins, and is lost as the days grow past the critical day."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from datetime import date, timedelta

from calendar_tui.language.speaking import phrase, phrase_form
from calendar_tui.nature.plant import counts
from calendar_tui.planning.lamps.onset import Onset, onset_by
from calendar_tui.planning.lamps.onset_words import HEADS, look_text
from calendar_tui.planning.lamps.ways_out import felt_under, run_in
from calendar_tui.planning.laying_out.early import Asking
from calendar_tui.planning.laying_out.light import Light, place_light
from calendar_tui.planning.laying_out.stages import likely_response
from calendar_tui.planning.laying_out.stays import growing_on
from calendar_tui.planning.laying_out.timeline import Timeline
from calendar_tui.season.records import Season
from calendar_tui.season.stages import AFTER
from calendar_tui.season.wording import count_text, day_text, hours_text

# A trigger so much later than lights off is told, and a lights off so long ago still is. Starting values, common practice, no source.
FAR_D = 30
RECENT_D = 30
# A lower count than shows in tenths is none.
_LEAST_SHOWN = 0.1
# Once one of these is recorded, what brought it on is no matter any more.
_BEGUN = {"trigger", *AFTER["trigger"]}


@dataclass(frozen=True, slots=True)
class BrokenRun:
    """The fullest run of short days between lights off and the trigger that the days to follow put back to zero.

    first, last: its day numbers. count: at the end of its last day.
    """

    first: int
    last: int
    count: float


def brings_flowering(timeline: Timeline, within_d: int = FAR_D) -> bool:
    """Whether the trigger comes within so many days of lights off, and not months later with the season."""
    off, trigger = timeline.likely("lights_off"), timeline.likely("trigger")
    return off is not None and trigger is not None and (trigger - off).days <= within_d


def broken_run(timeline: Timeline, light: Light) -> BrokenRun | None:
    """The run that is lost after lights off, where the trigger then comes much later; else None.

    A run that ends because lamps of others lengthen a day is none: the cohort is held back.
    """
    off, trigger, ready = timeline.likely("lights_off"), timeline.likely("trigger"), timeline.ready
    if off is None or trigger is None or ready is None or brings_flowering(timeline):
        return None
    variety = timeline.variety
    response = likely_response(variety)
    begin = max(light.index(off), light.index(ready.likely))
    totals = counts(timeline.felt_h[: light.index(trigger)], begin, response)
    count = max(totals, default=0.0)
    last = begin + totals.index(count) if totals else begin
    if count < _LEAST_SHOWN or light.natural_h[last + 1] < variety.critical_day.likely:
        return None
    first = next((n + 1 for n in range(last, begin - 1, -1) if not totals[n - begin]), begin)
    return BrokenRun(first, last, count)


def is_told(timeline: Timeline, light: Light, today: date) -> bool:
    """Whether a cohort's lights off, to come or recent, misses its flowering by a count that is lost."""
    off = timeline.likely("lights_off")
    if off is None or (today - off).days > RECENT_D or _BEGUN & timeline.cohort.recorded.keys():
        return False
    return broken_run(timeline, light) is not None


def broken_count_text(season: Season, timeline: Timeline, light: Light, today: date) -> str:
    """What becomes of the count, when flowering comes instead, and by when the lamps must be off; "" where none is lost."""
    off, flowering, run = (
        timeline.likely("lights_off"),
        timeline.likely("flowering"),
        broken_run(timeline, light),
    )
    if off is None or run is None:
        return ""
    begun = onset_by(season, timeline, light, run.last)
    sentences = [_lost_text(timeline, light, run, off, is_sure=begun is None or begun.look is None)]
    if flowering is not None:
        sentences[0] += f"; {phrase('flowering comes on {day}', day=day_text(flowering))}"
    if begun is not None and begun.look is not None:
        sentences.append(_look_text(begun, begun.look))
    return ". ".join((*sentences, _way_out(season, timeline, light, run, today)))


def _lost_text(timeline: Timeline, light: Light, run: BrokenRun, off: date, is_sure: bool) -> str:
    variety = timeline.variety
    form = phrase_form(
        "{cohorts} lights off on {day} does not surely bring flowering: the count reaches {count_of} on {last}, "
        "then the day is {hours} or more from {first}"
    )
    if is_sure:
        form = phrase_form(
            "{cohorts} lights off on {day} does not bring flowering: the count reaches {count_of} on {last}, "
            "then the day is {hours} or more from {first}"
        )
    return phrase(
        form,
        cohorts=timeline.cohort.id,
        day=day_text(off),
        count_of=count_text(run.count, variety.inductive_days.likely),
        last=_day(light, run.last),
        hours=hours_text(variety.critical_day.likely),
        first=_day(light, run.last + 1),
    )


def _look_text(begun: Onset, look: date) -> str:
    """ "Flowering may have started by then, in 12 of 50 futures; look at the tips from 14 Nov, then twice a week"."""
    text = phrase(
        "{head} by then, in {others} of {futures} futures; {look}",
        head=phrase(HEADS[begun.level]),
        others=begun.begun,
        futures=len(begun.days),
        look=look_text(look),
    )
    return text[0].upper() + text[1:]


def _way_out(season: Season, timeline: Timeline, light: Light, run: BrokenRun, today: date) -> str:
    covers_from = _day(light, run.last + 1)
    off = None if "lights_off" in timeline.cohort.recorded else last_lights_off(season, timeline, light, run)
    if off is not None and off >= today:
        return phrase(
            "Switch off by {day}, and draw covers from {first} on: long days may turn it back",
            day=day_text(off),
            first=covers_from,
        )
    return phrase("To bring it sooner, draw covers from {first} on", first=covers_from)


def last_lights_off(season: Season, timeline: Timeline, light: Light, run: BrokenRun) -> date | None:
    """The latest lights off from which the likely count is full before the days are too long; None where there is none."""
    return next(
        (
            off
            for off, felt_h in _sooner(season, timeline, light)
            if (run_there := run_in(timeline, light, felt_h)) is not None and run_there.induced <= run.last
        ),
        None,
    )


def _sooner(season: Season, timeline: Timeline, light: Light) -> Iterator[tuple[date, tuple[float, ...]]]:
    """Each sooner lights off, the latest first, with the felt days (h) that the cohort would have."""
    cohort, dark = timeline.cohort, timeline.likely("lights_off")
    if dark is None:
        return
    stay = growing_on(timeline.stays, dark - timedelta(days=1))
    here, place = light.places[stay.light], season.places[stay.place]
    own = here.by_cohort.get(cohort.id)
    if own is None:
        return
    others = [pair for pair in here.asked if pair[0] != cohort.id]
    first, last = min(a.first for a in own), max(a.dark for a in own)
    for n in range(1, (last - first).days):
        off = last - timedelta(days=n)
        askings = (*others, *((cohort.id, Asking(a.first, min(a.dark, off))) for a in own))
        under = place_light(season, place, stay.light, light.natural_h, askings)
        yield off, felt_under(timeline, light, stay.light, under)


def _day(light: Light, n: int) -> str:
    return day_text(light.first + timedelta(days=n))
