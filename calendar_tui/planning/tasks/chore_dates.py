"""When and where the cohorts need a chore, by the likely dates of their stages."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from datetime import date, datetime, time, timedelta
from functools import lru_cache, partial
from itertools import groupby
from typing import NamedTuple

from calendar_tui.planning.laying_out.stays import Stay, growing_on, nursery_on
from calendar_tui.planning.laying_out.timeline import Timeline
from calendar_tui.season.records import Chore, Cohort, Season, Variety
from calendar_tui.season.stages import AFTER, LAMP_STAGES
from calendar_tui.season.wording import stage_text

# A repeat that its `until` stage does not stop sooner is stopped here.
MOST_REPEATS = 800
# Days from a first pass to the next, common practice, no source: chores that go on "to the last pass" have them behind the harvest.
ROOM_FOR_PASSES_D = 6
_DAY = timedelta(days=1)
_PLANTED = {"transplant", *AFTER["transplant"]}


class Spell(NamedTuple):
    """The dates from `first` to `last`, both counted, on which a cohort needs a chore at a place.

    planned: where `first` was when it was first planned; it does not slip.
    """

    cohort: str
    place: str
    first: date
    last: date
    planned: date


def seed_kind(cohort: Cohort, variety: Variety) -> str:
    """What the cohort's plants are started from: what its variety says, else by how it is started."""
    return "clone" if cohort.start == "cutting" else variety.seed_kind or "feminised"


def fits(season: Season, chore: Chore, cohort: Cohort, lamps: bool) -> bool:
    """Whether a chore is one for this cohort, whatever its stages. lamps: whether it has its own."""
    variety = season.varieties[cohort.variety]
    return (
        chore.active
        and cohort.start in chore.starts
        and (chore.lamps is None or chore.lamps == lamps)
        and (chore.nursery is None or chore.nursery == (cohort.nursery is not None))
        and variety.response in chore.responses
        and seed_kind(cohort, variety) in chore.seed_kinds
        and any(season.places[stay.place].kind in chore.place_kinds for stay in cohort.growing_stays)
        and (chore.at != "nursery" or cohort.nursery is not None)
    )


def stage_for(chore: Chore, cohort: Cohort) -> str:
    """The stage that a chore hangs on for this cohort."""
    return chore.stage if cohort.nursery is not None else chore.without_nursery or chore.stage


def applies(season: Season, chore: Chore, timeline: Timeline) -> bool:
    """Whether a chore is one for this cohort: its start, lamps, variety and place, and a stage it reaches."""
    stage = stage_for(chore, timeline.cohort)
    return stage in timeline.stages and fits(season, chore, timeline.cohort, has_lamps(timeline))


def has_lamps(timeline: Timeline) -> bool:
    """Whether a cohort is under lamps of its own."""
    return "lights_off" in timeline.stages or "lights_on" in timeline.stages


def is_next_pass(chore: Chore) -> bool:
    """Whether a chore is the work of a further pass: a repeat that begins and ends some days behind the harvest."""
    return bool(chore.repeat) and chore.stage == chore.until == "harvest" and chore.offset_d > 0


def _pass_of(chore: Chore, timeline: Timeline) -> date | None:
    """The day of the recorded pass that a chore is counted from in place of the harvest; None without one.

    The next pass is counted from the latest while something is left; what comes once on the day of the harvest, such as to load
    the dryer, goes with the first.
    """
    if not timeline.cut_on:
        return None
    if is_next_pass(chore):
        return None if timeline.cut_through else timeline.cut_on[-1]
    once = not (chore.repeat or chore.offset_d or chore.records)
    return timeline.cut_on[0] if once and chore.stage == "harvest" else None


def span_of(chore: Chore, timeline: Timeline) -> tuple[date, date] | None:
    """First and last date of a chore for a cohort, both counted, or None where it has none.

    A repeat runs from stage + offset up to the day before its end. Of an end some days behind the harvest the first
    `ROOM_FOR_PASSES_D` are room for further passes, which is over once the last one is recorded. The next pass is counted
    from the latest, where one is recorded. Of a crop that waits behind its harvest the work goes on as long as that stands.
    """
    passed = _pass_of(chore, timeline)
    anchor = passed or timeline.likely(stage_for(chore, timeline.cohort))
    if anchor is None:
        return None
    first = anchor + timedelta(days=chore.offset_d)
    if not chore.repeat:
        return first, first
    end = passed or timeline.likely(chore.until)
    more_d = chore.until_offset_d
    if chore.until == "harvest" and timeline.cut_through is not None:
        more_d = min(more_d, max(more_d - ROOM_FOR_PASSES_D, 0))
    last = None if end is None else end + timedelta(days=more_d) - _DAY
    if last is not None and timeline.waits_to is not None and chore.tends_uncut_crops:
        last = max(last, timeline.waits_to)
    return None if last is None or last < first else (first, last)


def chore_dates(chore: Chore, timeline: Timeline) -> tuple[date, ...]:
    """The dates a chore falls on for a cohort; a repeat by the RFC 5545 rule."""
    span = span_of(chore, timeline)
    if span is None:
        return ()
    return repeats(chore.repeat, *span) if chore.repeat else span[:1]


@lru_cache(maxsize=4096)
def repeats(rule: str, first: date, last: date) -> tuple[date, ...]:
    """The dates of an RFC 5545 rule that starts on `first`, up to `last`."""
    from dateutil.rrule import rrulestr  # 40 ms to import, and only re-planning needs it

    occurrences = rrulestr(rule, dtstart=datetime.combine(first, time())).xafter(
        datetime.combine(first, time()), count=MOST_REPEATS, inc=True
    )
    out = []
    for at in occurrences:
        if at.date() > last:
            break
        out.append(at.date())
    return tuple(out)


def after_planting(chore: Chore) -> bool:
    """Whether a chore is never before a transplant, or never where the plants stand then."""
    if chore.at != "plants":
        return chore.at == "place"
    return chore.stage in LAMP_STAGES or (chore.stage in _PLANTED and chore.offset_d >= 0)


def in_nursery(chore: Chore, timeline: Timeline) -> bool:
    """Whether a cohort may need a chore where it stands before its transplant."""
    if chore.at == "nursery":
        return timeline.cohort.nursery is not None and span_of(chore, timeline) is not None
    anchor, moved = timeline.likely(chore.stage), timeline.likely("transplant")
    if anchor is None or moved is None or after_planting(chore):
        return False
    return anchor + timedelta(days=chore.offset_d) < moved


def place_on(timeline: Timeline, chore: Chore, day: date) -> str:
    """Where the work is, to the part of a screened place: with the plants, at the growing place, or in their nursery.

    Work on lamps is where they hang.
    """
    if chore.at == "nursery" and (nursery := nursery_on(timeline.stays, day)) is not None:
        return nursery.light
    planted = chore.at in ("nursery", "place") or chore.stage in LAMP_STAGES
    return (_growing_for(chore, timeline, day) if planted else timeline.stay_on(day)).light


def _growing_for(chore: Chore, timeline: Timeline, day: date) -> Stay:
    """The growing place that work of a day is for.

    Work on lamps that comes once is for those that are switched on at lights on, or burnt up to lights off.
    """
    anchor = timeline.likely(chore.stage)
    if chore.stage in LAMP_STAGES and not chore.repeat and anchor is not None:
        day = anchor - _DAY if chore.stage == "lights_off" else max(day, anchor)
    return growing_on(timeline.stays, day)


def in_kind(season: Season, chore: Chore, timeline: Timeline, day: date) -> bool:
    """Whether a cohort grows on a day in a place that a chore is for: of its kinds, and with lamps where they burn."""
    place = season.places[_growing_for(chore, timeline, day).place]
    return place.kind in chore.place_kinds and (chore.stage != "lights_on" or place.lamps is not None)


def spells(season: Season, chore: Chore, timeline: Timeline) -> Iterator[Spell]:
    """When a cohort needs a chore, apart for each place where it stands meanwhile."""
    span = span_of(chore, timeline)
    if span is None:
        return
    first, last = span
    turns = [first, *(stay.first for stay in timeline.stays if first < stay.first <= last)]
    begins = [(place, min(days)) for place, days in groupby(turns, key=partial(place_on, timeline, chore))]
    ends = [*(day - _DAY for _, day in begins[1:]), last]
    meant = timeline.cohort.planned.get(stage_for(chore, timeline.cohort))
    planned = first if meant is None else meant + timedelta(days=chore.offset_d)
    for (place, begin), end in zip(begins, ends, strict=True):
        if in_kind(season, chore, timeline, begin):
            yield Spell(timeline.cohort.id, place, begin, end, planned if begin == first else begin)


def unreached(season: Season, timelines: Mapping[str, Timeline]) -> Iterator[tuple[int, str, str]]:
    """The chores that no cohort of their kind has a day for, since it does not reach the stage, or the repeat gives none:
    their number in the file, the key, and a sentence.
    """
    for i, chore in enumerate(season.chores.values()):
        kin = [t for t in timelines.values() if fits(season, chore, t.cohort, has_lamps(t))]
        for key in ("stage", "until"):
            stages = {_named(chore, key, t.cohort) for t in kin} - {""}
            if stages and not any(_named(chore, key, t.cohort) in t.stages for t in kin):
                names = " or ".join(stage_text(stage) for stage in sorted(stages))
                yield i, key, f"chore {chore.id} makes no task: none of its cohorts has a date for {names}"
                break
        else:
            if chore.repeat and kin and not any(chore_dates(chore, t) for t in kin):
                span = f"from {stage_text(chore.stage)} to {stage_text(chore.until)} of any cohort"
                yield (
                    i,
                    "repeat",
                    f"chore {chore.id} makes no task: its repeat {chore.repeat} gives no day {span}",
                )


def _named(chore: Chore, key: str, cohort: Cohort) -> str:
    return stage_for(chore, cohort) if key == "stage" else chore.until
