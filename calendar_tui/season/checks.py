"""What must hold in a season that reads well: a list of small functions, each from a season to its problems."""

from __future__ import annotations

from collections.abc import Callable, Iterator, Mapping
from datetime import date

from calendar_tui.season.problems import Problem
from calendar_tui.season.readers import choices
from calendar_tui.season.records import CHAINS, DECIDED, Cohort, Lamps, Season

LONGEST_SEASON_D = 800


def _season_days(season: Season) -> Iterator[Problem]:
    length = (season.last_day - season.first_day).days
    if not 1 <= length <= LONGEST_SEASON_D:
        yield Problem(
            ("season", "last_day"),
            f"last_day is {length} days after first_day; it must be 1 to {LONGEST_SEASON_D} days after it",
        )


def _references(season: Season) -> Iterator[Problem]:
    for i, cohort in enumerate(season.cohorts.values()):
        wanted: tuple[tuple[str, str | None, Mapping[str, object], str], ...] = (
            ("variety", cohort.variety, season.varieties, "variety"),
            ("place", cohort.place, season.places, "place"),
            ("nursery", cohort.nursery, season.places, "place"),
        )
        for key, value, known, kind in wanted:
            if value is not None and value not in known:
                yield Problem(("cohort", i, key), _unknown(f"cohort {cohort.id}: {key}", value, known, kind))
    for i, outage in enumerate(season.outages):
        if outage.place not in season.places:
            yield Problem(
                ("outage", i, "place"), _unknown("outage: place", outage.place, season.places, "place")
            )


def _unknown(what: str, value: str, known: Mapping[str, object], kind: str) -> str:
    there = choices(value, known) if known else f"; there is none yet: add a [[{kind}]]"
    return f'{what} "{value}" is not a {kind} of this season{there}'


def _thresholds(season: Season) -> Iterator[Problem]:
    for i, variety in enumerate(season.varieties.values()):
        if variety.response == "short-day" and variety.full_response_day >= variety.critical_day:
            yield Problem(
                ("variety", i, "full_response_day"),
                f"variety {variety.id}: full_response_day must be shorter than critical_day",
            )
        if variety.response == "short-day" and variety.inductive_days.early <= 0:
            yield Problem(
                ("variety", i, "inductive_days"), f"variety {variety.id}: inductive_days must be over 0"
            )


def stages_of(cohort: Cohort) -> tuple[str, ...]:
    """The stages this cohort can have a date for, from how it is started and where."""
    first = ("sticking", "rooted") if cohort.start == "cutting" else ("seeding", "emergence")
    moved = ("transplant",) if cohort.nursery else ()
    rest = ("lights_on", "lights_off", "trigger", "induced", "flowering", "sampling", "harvest", "dried")
    return (*first, *moved, *rest)


def stage_problem(season: Season, cohort: Cohort, table: str, stage: str) -> str:
    """Why a cohort can't have this stage under planned, replanned or recorded, or ''."""
    if stage not in stages_of(cohort):
        why = "it has no nursery" if stage == "transplant" else f"it starts from {cohort.start}"
        return f"cohort {cohort.id} has no {stage}: {why}. Its stages: {', '.join(stages_of(cohort))}"
    if table != "recorded" and stage not in DECIDED:
        return (
            f"cohort {cohort.id}: {stage} is worked out, not planned; "
            f"planned may hold {', '.join(s for s in DECIDED if s in stages_of(cohort))}; a date seen goes under recorded"
        )
    place = season.places.get(cohort.place)
    if stage in ("lights_on", "lights_off") and place is not None and place.lamps is None:
        return f"cohort {cohort.id} has {stage}, but its place {place.id} has no lamps; add lamps = {{ target_h = 16.0 }} to the place"
    return ""


def _stages(season: Season) -> Iterator[Problem]:
    for i, cohort in enumerate(season.cohorts.values()):
        for table, dates in _date_tables(cohort):
            for stage in dates:
                if message := stage_problem(season, cohort, table, stage):
                    yield Problem(("cohort", i, table, stage), message)
        if cohort.fixed(cohort.first_stage) is None:
            yield Problem(
                ("cohort", i),
                f"cohort {cohort.id} has no {cohort.first_stage} date; add planned = {{ {cohort.first_stage} = "
                f"{season.first_day.isoformat()} }}",
            )


def _date_tables(cohort: Cohort) -> tuple[tuple[str, Mapping[str, date]], ...]:
    return ("planned", cohort.planned), ("replanned", cohort.replanned), ("recorded", cohort.recorded)


def order_problem(cohort: Cohort, dates: Mapping[str, date], stage: str) -> str:
    """Why `stage` stands in the wrong order among these dates of a cohort, or ''."""
    for chain in CHAINS:
        if stage not in chain:
            continue
        for earlier in chain[: chain.index(stage)]:
            if earlier in dates and dates[earlier] > dates[stage]:
                return (
                    f"cohort {cohort.id}: {stage} on {dates[stage]} is before {earlier} on {dates[earlier]}; "
                    f"it must be on {dates[earlier]} or later"
                )
    return ""


def _order(season: Season) -> Iterator[Problem]:
    for i, cohort in enumerate(season.cohorts.values()):
        intended = {**cohort.planned, **cohort.replanned}
        for table, dates in (
            ("planned", cohort.planned),
            ("replanned", intended),
            ("recorded", cohort.recorded),
        ):
            for stage in getattr(cohort, table):
                if message := order_problem(cohort, dates, stage):
                    yield Problem(("cohort", i, table, stage), f"{table}: {message}")


def _inside_season(season: Season) -> Iterator[Problem]:
    for i, cohort in enumerate(season.cohorts.values()):
        for table, dates in _date_tables(cohort):
            for stage, day in dates.items():
                if not season.first_day <= day <= season.last_day:
                    yield Problem(
                        ("cohort", i, table, stage),
                        f"cohort {cohort.id}: {stage} on {day} is outside the season, "
                        f"{season.first_day} to {season.last_day}",
                    )


def _outages(season: Season) -> Iterator[Problem]:
    for i, outage in enumerate(season.outages):
        if outage.last < outage.first:
            yield Problem(
                ("outage", i, "to"),
                f"outage: to {outage.last} is before from {outage.first}; give the first night under from",
            )
        place = season.places.get(outage.place)
        if place is not None and place.lamps is None:
            yield Problem(
                ("outage", i, "place"), f"outage: place {place.id} has no lamps to fail; name another"
            )


def _lamps(season: Season) -> Iterator[Problem]:
    for i, place in enumerate(season.places.values()):
        if place.lamps is not None:
            for key, message in _lamp_problems(place.lamps):
                path = ("place", i, "lamps", key) if key else ("place", i, "lamps")
                yield Problem(path, f"place {place.id}: {message}")


def _lamp_problems(lamps: Lamps) -> Iterator[tuple[str, str]]:
    """The key at fault, or '' where one is missing, and what would be right."""
    if lamps.method == "extend":
        if lamps.target_h is None:
            yield "", "the lamps extend the day but have no target_h; add target_h = 16.0 (h a day)"
        for key, given in (("from", lamps.break_from), ("to", lamps.break_to)):
            if given is not None:
                yield key, f'{key} is for a night break; add method = "night-break", or leave {key} out'
        return
    if lamps.break_from is None or lamps.break_to is None:
        yield "", 'a night break needs both its times; add from = "22:00", to = "02:00" (local clock)'
    elif lamps.break_from == lamps.break_to:
        yield "to", "a night break's from and to are the same time; put to after from"


def _chores(season: Season) -> Iterator[Problem]:
    for i, chore in enumerate(season.chores.values()):
        if bool(chore.repeat) != bool(chore.until):
            yield Problem(
                ("chore", i, "repeat" if chore.repeat else "until"),
                f"chore {chore.id}: repeat and until go together; a repeat ends at the stage in until",
            )


CHECKS: tuple[Callable[[Season], Iterator[Problem]], ...] = (
    _season_days,
    _references,
    _thresholds,
    _stages,
    _order,
    _inside_season,
    _outages,
    _lamps,
    _chores,
)
