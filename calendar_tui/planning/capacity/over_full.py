"""What is said of the weeks' uses: over-full ones as clashes, and what could not be counted or compared."""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterator, Mapping, Sequence
from datetime import date

from calendar_tui.planning.capacity.by_week import WeekUse, cohort_uses, over_by_week
from calendar_tui.planning.capacity.hours import figure_text
from calendar_tui.planning.capacity.space import Crowding, crowdings
from calendar_tui.planning.capacity.uses import WEEK, WHAT, Use, fresh_kg_each, sample_uses
from calendar_tui.planning.laying_out.stays import growing
from calendar_tui.planning.laying_out.timeline import Timeline
from calendar_tui.planning.tasks.samplings import bags_by_day
from calendar_tui.season.capacity import Capacity
from calendar_tui.season.measures import figure, unit_shown
from calendar_tui.season.records import Season
from calendar_tui.season.weeks import iso_week, monday_of
from calendar_tui.season.wording import MOST_COHORTS, day_text

_WAYS_OUT: Mapping[str, str] = {
    "dryer": "move a harvest, plant fewer, or get more room to dry",
    "trays": "start one at another time, or use another nursery",
    "samples": "agree it with the laboratory, or plan the cohorts' flowering apart",
}


def over_full_uses(season: Season, timelines: Mapping[str, Timeline], today: date) -> Iterator[WeekUse]:
    """The weeks that are not over with more for the dryer, the benches or the laboratory than these hold.

    Looked at only where a capacity is given; told once while the same cohorts are the cause.
    """
    capacity, first = season.capacity or Capacity(), monday_of(today)
    given = {
        "dryer": capacity.dryer_holds_kg is not None,
        "trays": any(place.trays is not None for place in season.places.values()),
        "samples": capacity.samples_per_week is not None,
    }
    for kind in (kind for kind, is_given in given.items() if is_given):
        before: tuple[str, tuple[str, ...], date] | None = None
        uses = (
            _samples_over(season, timelines, capacity.samples_per_week or 0, first)
            if kind == "samples"
            else cohort_uses(season, timelines.values(), kind, today)
        )
        guessed = _weighed_by_guess(timelines) if kind == "dryer" else ()
        for week in over_by_week(season, uses, first, guessed):
            this = week.of, week.cohorts, week.monday
            if kind == "samples" or before != (*this[:2], week.monday - WEEK):
                yield week
            before = this


def _weighed_by_guess(timelines: Mapping[str, Timeline]) -> frozenset[str]:
    """The cohorts of which the fresh weight is marked as a guess."""
    marks = ((name, t.variety.marks.get("fresh_kg_per_plant")) for name, t in timelines.items())
    return frozenset(name for name, mark in marks if mark == "placeholder")


def _samples_over(season: Season, timelines: Mapping[str, Timeline], most: int, first: date) -> list[Use]:
    """The samples of the weeks that have more than the most. There are hundreds: weeks are counted before uses are made."""
    sampled = [t for t in timelines.values() if "sampling" in t.stages]
    weeks: Counter[date] = Counter()
    for timeline in sampled:
        for day, bags in bags_by_day(season, timeline).items():
            if day >= first:
                weeks[monday_of(day)] += bags
    full = {monday for monday, bags in weeks.items() if bags > most}
    return [use for t in sampled for use in sample_uses(season, t, full)] if full else []


def over_full_kind(week: WeekUse) -> str:
    """ "dryer 2027-W09", "trays N1 2026-W50"."""
    return " ".join(part for part in (week.kind, week.of, iso_week(week.monday)) if part)


def over_full_use_text(week: WeekUse, season: Season) -> str:
    """That there is more than fits, by how much and of which cohorts, in a sentence; of many by variety."""
    unit, kind = week.unit, week.kind
    weekly = kind == "samples"
    when = f"in the week of Mon {day_text(week.monday)}" if weekly else f"on {day_text(week.day)}"
    guess = "~" if week.guessed else ""
    shares = [(s.cohort, s.amount) for s in week.shares]
    if len(shares) > MOST_COHORTS:
        shares = _by_variety(shares, season)
    parts = " + ".join(f"{name} {guess}{figure(amount, unit, figure_text)}" for name, amount in shares)
    sums = f" = {guess}{figure(week.amount, unit, figure_text)}" if len(week.shares) > 1 else ""
    return (
        f"{WHAT[kind].format(week.of)}, too much {when}: {parts}{sums} of {figure(week.has or 0.0, unit, figure_text)} "
        f"{unit_shown(unit)}, {figure(week.over, unit, figure_text)} too many; {_WAYS_OUT[kind]}"
    )


def _by_variety(shares: Sequence[tuple[str, float]], season: Season) -> list[tuple[str, float]]:
    """What the cohorts of each variety take together, the most first: "amber, 9 cohorts," and the sum."""
    sums: dict[str, list[float]] = {}
    for name, amount in shares:
        sums.setdefault(season.cohorts[name].variety, []).append(amount)
    names = {v: v if len(of) == 1 else f"{v}, {len(of)} cohorts," for v, of in sums.items()}
    return sorted(((names[v], sum(of)) for v, of in sums.items()), key=lambda share: -share[1])


def crowded_to_come(season: Season, timelines: Mapping[str, Timeline], today: date) -> Iterator[Crowding]:
    """Of each run of days on which a light is too small, one after the other, the worst part; none that is over."""
    worst: Crowding | None = None
    last: Crowding | None = None
    for crowding in crowdings(season, timelines):
        if crowding.last < today:
            continue
        joined = last is not None and last.light == crowding.light and (crowding.first - last.last).days == 1
        if worst is not None and not joined:
            yield worst
        if worst is None or not joined or crowding.needed_m2 > worst.needed_m2:
            worst = crowding
        last = crowding
    if worst is not None:
        yield worst


def not_counted(season: Season, timelines: Mapping[str, Timeline], kind: str) -> Iterator[str]:
    """What a kind leaves out, and which capacities are not set, in sentences."""
    yield from _MISSING[kind](season, timelines)


def _of_hours(season: Season, timelines: Mapping[str, Timeline]) -> Iterator[str]:
    if season.crew is None or not season.crew.hours_per_week:
        yield 'No hours per role are set. Set "hours of" each role of the crew.'


def _of_dryer(season: Season, timelines: Mapping[str, Timeline]) -> Iterator[str]:
    crops = [t for t in timelines.values() if "harvest" in t.stages]
    unweighed = dict.fromkeys(t.variety.id for t in crops if fresh_kg_each(season, t.variety) is None)
    if unweighed:
        yield (
            f"The fresh weight of a plant is not set for {', '.join(unweighed)}: their crop is not counted, and no yield is "
            "assumed."
        )
    yield from _without_plants([t for t in crops if t.variety.id not in unweighed])
    if season.capacity is None or season.capacity.dryer_holds_kg is None:
        yield (
            f'The dryer\'s capacity is not set. Set "dryer" ({unit_shown("kg")}) of the capacity, or "dryer area" and "dryer load", '
            'or "dryer trays" and "dryer load of a tray".'
        )


def _without_plants(timelines: list[Timeline]) -> Iterator[str]:
    names = [t.cohort.id for t in timelines if t.cohort.plants is None]
    if names:
        yield f"The number of plants of {', '.join(names)} is not set: not counted."


def _of_trays(season: Season, timelines: Mapping[str, Timeline]) -> Iterator[str]:
    own = [t for t in timelines.values() if t.cohort.nursery]
    yield from _without_plants(own)
    names = dict.fromkeys(stay.place for t in own for stay in t.stays if stay.in_nursery)
    nurseries = [season.places[name] for name in names]
    if season.supplies is None and (cells := [p.id for p in nurseries if p.tray_cells is None]):
        yield f"The tray cells of {', '.join(cells)} are not set: their trays are not counted."
    if unset := [p.id for p in nurseries if p.trays is None]:
        yield f'The trays that the benches of {", ".join(unset)} hold are not set. Set "trays" of the place.'


def _of_room(season: Season, timelines: Mapping[str, Timeline]) -> Iterator[str]:
    own = list(timelines.values())
    yield from _without_plants(own)
    if spaced := [t.cohort.id for t in own if t.cohort.plants is not None and t.cohort.spacing_m is None]:
        yield f"The spacing of {', '.join(spaced)} is not set: not counted."
    places = dict.fromkeys(stay.place for t in own for stay in growing(t.stays))
    if unset := [name for name in places if season.places[name].area_m2 is None]:
        yield f'The area of {", ".join(unset)} is not set. Set "area" ({unit_shown("m2")}) of the place.'


def _of_lamps(season: Season, timelines: Mapping[str, Timeline]) -> Iterator[str]:
    if unset := [p.id for p in season.places.values() if p.lamps is not None and p.lamps.kw is None]:
        yield f"The lamp power of {', '.join(unset)} is not set: hours in place of kWh."


def _of_circuits(season: Season, timelines: Mapping[str, Timeline]) -> Iterator[str]:
    lit = [(p.id, p.lamps) for p in season.places.values() if p.lamps is not None]
    if unset := [name for name, lamps in lit if None in (lamps.kw, lamps.circuit_v, lamps.circuit_a)]:
        names = ", ".join(unset)
        yield f"Lamp power, circuit volts and circuit amps are not all set for {names}: their circuits are left out."


def _of_samples(season: Season, timelines: Mapping[str, Timeline]) -> Iterator[str]:
    if season.capacity is None or season.capacity.samples_per_week is None:
        yield 'The laboratory\'s capacity is not set. Set "samples per week" of the capacity.'


_MISSING = {
    "hours": _of_hours,
    "dryer": _of_dryer,
    "trays": _of_trays,
    "room": _of_room,
    "lamps": _of_lamps,
    "circuits": _of_circuits,
    "samples": _of_samples,
}
