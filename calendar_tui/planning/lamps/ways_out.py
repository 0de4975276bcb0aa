"""Ways out for a cohort that a neighbour's lamps hold back: what each would come to, and how it is written down."""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from dataclasses import replace
from datetime import date, timedelta
from itertools import chain, islice
from operator import attrgetter, itemgetter
from typing import NamedTuple, TypeGuard

from calendar_tui.nature.plant import Induction, induction
from calendar_tui.planning.laying_out.early import askings, early_stages
from calendar_tui.planning.laying_out.light import Light, PlaceLight, place_light
from calendar_tui.planning.laying_out.stages import likely_response
from calendar_tui.planning.laying_out.stays import always_in_pots
from calendar_tui.planning.laying_out.timeline import Timeline
from calendar_tui.season.records import Cohort, Place, Season
from calendar_tui.season.stages import LAMP_STAGES
from calendar_tui.season.wording import day_text, days_text

# Of more dark places than this the first are tried.
_MOST_PLACES = 3
# Of more cohorts than this those are told that are lit longest: they lose the most.
_MOST_NAMED = 3


class Lost(NamedTuple):
    """The nights that a cohort loses to the lamps of others.

    nights: their day numbers in order, one at least; others: the ids of the cohorts for which it is lit.
    """

    timeline: Timeline
    light: Light
    nights: tuple[int, ...]
    others: tuple[str, ...]

    @property
    def first(self) -> date:
        """The first of the nights."""
        return self.light.first + timedelta(days=self.nights[0])

    @property
    def number(self) -> int:
        """The number of the stay in which the first of them falls."""
        return self.timeline.stays.index(self.timeline.stay_on(self.first))


def ways_out_text(season: Season, timelines: Mapping[str, Timeline], lost: Lost, today: date) -> str:
    """The ways out of the nights to come that are lost: a common date, a place, a screen."""
    ways = (
        _common_text(season, timelines, lost),
        _place_text(season, lost, today),
        _screen_text(season.places[lost.timeline.stay_on(lost.first).place]),
    )
    return f"Ways out: {'; '.join(filter(None, ways[:-1]))}; or {ways[-1]}"


def trigger_in(timeline: Timeline, light: Light, felt_h: Sequence[float]) -> date | None:
    """The likely trigger of a short-day cohort under these felt days, one a day of the season."""
    run_there = run_in(timeline, light, felt_h)
    return None if run_there is None else light.first + timedelta(days=run_there.trigger)


def run_in(timeline: Timeline, light: Light, felt_h: Sequence[float]) -> Induction | None:
    """The likely induction of a short-day cohort under these felt days (h), one a day of the season; None without one."""
    variety = timeline.variety
    if timeline.ready is None:
        return None
    response = likely_response(variety)
    return induction(felt_h, light.index(timeline.ready.likely), response)


def _common_text(season: Season, timelines: Mapping[str, Timeline], lost: Lost) -> str:
    """One lights-off date, that of the first night lost, and what it leaves the others of their growth."""
    day, light, lit_for = lost.first, lost.light, frozenset(lost.others)
    here = lost.timeline.stay_on(day)
    name = here.light
    askers = light.places[name].askers
    # Of many that ask for the same nights the light needs one; whose they are it does not ask.
    sooner = [
        ("", a._replace(dark=min(a.dark, day))) for a, who in askers.items() if not lit_for.isdisjoint(who)
    ]
    as_now = [("", a) for a, who in askers.items() if not lit_for.issuperset(who)]
    under = place_light(season, season.places[here.place], name, light.natural_h, (*sooner, *as_now))
    longest = sorted((a for a in askers if day < a.dark), key=attrgetter("dark"), reverse=True)
    by_length = dict.fromkeys(chain.from_iterable(askers[a] for a in longest))
    lit = list(filter(lit_for.__contains__, by_length))
    left = [
        f"{who} {now}"
        for who in lit[:_MOST_NAMED]
        if (now := _growth_text(timelines[who], light, name, under))
    ]
    if left and len(lit) > len(left):
        left.append(f"{len(lit) - len(left)} more with fewer too")
    whose = "both" if len(lit_for) == 1 else "all"
    return f"one lights-off for {whose} on {day_text(day)}" + (f" (leaves {', '.join(left)})" if left else "")


def felt_under(timeline: Timeline, light: Light, name: str, under: PlaceLight) -> tuple[float, ...]:
    """The felt day (h) of a cohort, one value a day, were the light of this name another."""
    felt: tuple[float, ...] = ()
    for stay in timeline.stays:
        days = slice(light.index(stay.first), light.index(stay.end))
        felt += (under.felt_h if stay.light == name else timeline.felt_h)[days]
    return felt


def _growth_text(other: Timeline, light: Light, name: str, under: PlaceLight) -> str:
    """ "20 of 56 days of growth" under another light; "" where the lamps do not decide how many it has."""
    was, run = other.growth_d, run_in(other, light, felt_under(other, light, name, under))
    now = None if run is None else other.growth_up_to(light.first + timedelta(days=run.induced))
    if was is None or now is None:
        return ""
    return f"all its {days_text(was)} of growth" if now == was else f"{now} of {days_text(was)} of growth"


def _place_text(season: Season, lost: Lost, today: date) -> str:
    """Another place that is dark then: for a stay still to come as it is written, with the trigger it would have.

    Plants that stand there already are carried, where they have been in pots all along.
    """
    timeline, here = lost.timeline, lost.number
    cohort, stays = timeline.cohort, timeline.stays
    dark = list(islice(_dark_places(season, lost), _MOST_PLACES))
    begins = cohort.stays[here].begins or cohort.first_stage
    arrived = max(stays[here].first, timeline.begun)
    if not dark:
        return ""
    if begins in cohort.recorded or arrived < today:
        return _carry_text(season, lost, [name for _, name in dark])
    if not always_in_pots(season, stays[:here]):
        return ""  # it is to be carried here out of the ground
    moves = [_moved(season, timeline, lost.light, here, place, name) for place, name in dark]
    now, wish = timeline.likely("trigger"), max(lost.first, arrived)
    better = [
        (abs((trigger - wish).days), trigger, moved) for moved, trigger in moves if _sooner(trigger, now)
    ]
    if not better:
        return ""
    _, trigger, moved = min(better, key=itemgetter(0))
    # With heat, plants sown in a warmer or cooler place are ready on another day.
    then = "" if season.heat is not None and not cohort.nursery else f": trigger on {day_text(trigger)}"
    return f"{_written_text(cohort, moved, here)}{then}"


def _carry_text(season: Season, lost: Lost, dark: Sequence[str]) -> str:
    """That plants in pots may be carried; "" for plants in the ground, or that have stood in it: they never are."""
    if not always_in_pots(season, lost.timeline.stays[: lost.number + 1]):
        return ""
    command = f"calendar-tui plan {lost.timeline.cohort.id} stay {dark[0]} {lost.first}"
    return f"carry it to a place that is dark then, such as {', '.join(dark)} ({command})"


def _dark_places(season: Season, lost: Lost) -> Iterator[tuple[Place, str]]:
    """Other growing places, each with the name of a light there, that are dark from the first of these nights to the last."""
    nights, here = slice(lost.nights[0], lost.nights[-1] + 1), lost.timeline.stays[lost.number].light
    for place in season.growing_places:
        for name in place.lights:
            if name != here and True not in lost.light.places[name].lit[nights]:
                yield place, name


def _sooner(trigger: date | None, now: date | None) -> TypeGuard[date]:
    return trigger is not None and (now is None or trigger < now)


def _moved(
    season: Season, timeline: Timeline, light: Light, here: int, place: Place, name: str
) -> tuple[Cohort, date | None]:
    """A cohort with another place for its stay of the number `here`, and its trigger then."""
    moved = _written_to(season, timeline.cohort, here, place, name.removeprefix(place.id).strip())
    return moved, trigger_in(timeline, light, _felt_there(season, timeline, light, moved, here))


def _written_text(cohort: Cohort, moved: Cohort, here: int) -> str:
    """'plant it in F1 instead (in its record place = "F1", no lights_off)'."""
    old, new = cohort.stays[here], moved.stays[here]
    puts = {"place": new.place, "part": new.part}
    keys = [f'{key} = "{name}"' for key, name in puts.items() if name and name != getattr(old, key)]
    drops = [stage for stage in LAMP_STAGES if cohort.fixed(stage) and not moved.fixed(stage)]
    drops = ["part"] * bool(old.part and not new.part) + drops
    which = f", stay {here + 1}:" if cohort.written_stays else ""
    does = "carry it into" if here > cohort.nursery_stays else "plant it in"
    return f"{does} {new.light} instead (in its record{which} {', '.join((*keys, *(f'no {key}' for key in drops)))})"


def _written_to(season: Season, cohort: Cohort, here: int, place: Place, part: str) -> Cohort:
    """The cohort in another place for one stay; one that grows without lamps takes no date of theirs."""
    stays = list(cohort.stays)
    stays[here] = stays[here]._replace(place=place.id, part=part)
    moved = (
        replace(cohort, written_stays=tuple(stays))
        if cohort.written_stays
        else replace(cohort, place=place.id, part=part)
    )
    if any(season.places[stay.place].lamps is not None for stay in moved.growing_stays):
        return moved
    planned, replanned = (
        {stage: day for stage, day in dates.items() if stage not in LAMP_STAGES}
        for dates in (cohort.planned, cohort.replanned)
    )
    return replace(moved, planned=planned, replanned=replanned)


def _felt_there(
    season: Season, timeline: Timeline, light: Light, moved: Cohort, here: int
) -> tuple[float, ...]:
    """The felt day (h) of a cohort with another place for the stay of the number `here`, one value a day."""
    new, stay = moved.stays[here], timeline.stays[here]
    own = askings(season, moved, early_stages(season, moved, count=0))
    all_askings = (
        *light.places[new.light].asked,
        *((moved.id, span) for name, span in own if name == new.light),
    )
    there = place_light(season, season.places[new.place], new.light, light.natural_h, all_askings)
    first, end = light.index(stay.first), light.index(stay.end)
    return timeline.felt_h[:first] + there.felt_h[first:end] + timeline.felt_h[end:]


def _screen_text(place: Place) -> str:
    if place.screened:
        return f"a part of {place.id} of its own, behind another screen"
    return f"a screen: divide {place.id} into parts, name them in its record, and put each cohort in one"
