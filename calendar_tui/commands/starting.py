"""A new season: the text made of its answers, and its first tasks."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from dataclasses import dataclass, replace
from datetime import date, timedelta
from pathlib import Path
from typing import Any
from zoneinfo import ZoneInfo

import tomli

from calendar_tui.commands.output import note_saved
from calendar_tui.nature.sky import day_lengths_h
from calendar_tui.planning.changes.proposal import Proposal
from calendar_tui.planning.changes.replan import new_before, refresh
from calendar_tui.planning.changes.type_comparison import Comparison, compare_types
from calendar_tui.planning.lamps.broken_count import brings_flowering
from calendar_tui.planning.plan import Plan, make_plan
from calendar_tui.season.checks import LONGEST_SEASON_D
from calendar_tui.season.reading import read_season
from calendar_tui.season.records import Season
from calendar_tui.season.wording import day_text, hours_text
from calendar_tui.storage.new_season import example_season_text, new_season_text, write_new

# Of the first cohort: days in the nursery, and the days from the season's first day to its seeding and from its transplant
# to lights off that are tried, what one would rather have first: five weeks of growth, then an earlier start, then a
# later lights off, and at last less growth. Common practice, no source.
_NURSERY_D = 25
_EARLIER = tuple((seeding, 35) for seeding in (20, 10, 0))
_LATER = tuple((20, growth) for growth in range(42, 365, 7))
_SMALLER = tuple((0, growth) for growth in (28, 21, 14, 7, 0))
_TRIED = (*_EARLIER, *_LATER, *_SMALLER)
_FIRST = "A1"
# Days from lights off to the trigger within which the lamps, and not the season, decide. Common practice, no source.
_SOON_D = 7


@dataclass(frozen=True, slots=True)
class Started:
    """A new season: the proposal that adds its tasks; what it has no room for, or ""; how many tasks due before today
    are left out; its longest day, which shows a wrong sign of the latitude.
    """

    made: Proposal
    lacks: str
    past: int
    longest_day: str


def start_season(path: Path, values: Mapping[str, Any], today: date) -> Started:
    """Write the new season and work its tasks out. values: by the keys of QUESTIONS, with `records` by kind; where these
    are missing, those of the example.

    Raises SeasonFileError where the file can't be written.
    """
    dated = {**values, "since": today}
    text, lacks = (new_season_text(**dated), "") if "records" in values else text_that_fits(dated)
    write_new(path, text)
    note_saved(f"made {path}")
    plan = _plan(text, today)
    whole = refresh(replace(plan, season=replace(plan.season, since=None)))
    made = refresh(plan)
    made = replace(made, change=replace(made.change, what="tasks of the new season added"))
    return Started(made, lacks, new_before(whole.tasks, today), longest_day_text(plan.season))


def first_comparison(values: Mapping[str, Any]) -> Comparison:
    """The first cohort of an example under each type. values: by the keys of QUESTIONS; its dates are those of the default type."""
    plan = _plan(text_that_fits(values)[0], values["first_day"])
    return next(compare_types(plan, plan.season.varieties[plan.season.cohorts[_FIRST].variety], 1))


def longest_day_text(season: Season) -> str:
    """ "Longest day here: 21 Dec, 14 h 22": the natural day, in the year from the season's first day on."""
    site, first = season.site, season.first_day
    lengths = day_lengths_h(
        site.latitude, site.longitude, ZoneInfo(site.timezone), first, first + timedelta(days=365)
    )
    at = max(range(len(lengths)), key=lengths.__getitem__)
    return f"Longest day here: {day_text(first + timedelta(days=at))}, {hours_text(lengths[at])}."


def text_that_fits(values: Mapping[str, Any]) -> tuple[str, str]:
    """The text of an example whose first cohort is dried within it, if that can be; and why it cannot be, or "".

    values: by the keys of QUESTIONS. Of the dates that fit, the first ones whose lights off brings flowering and that
    call for no warning are taken.
    """
    first, last = values["first_day"], values["last_day"]
    warned = ""
    for dates in _tried(first, last):
        plan = _plan(text := example_season_text(**{**values, **dates}), first)
        dried = plan.timelines[_FIRST].likely("dried")
        if dried is not None and dried <= last:
            if brings_flowering(plan.timelines[_FIRST], _SOON_D) and not plan.clashes_of(_FIRST):
                return text, ""
            warned = warned or text
    return (warned, "") if warned else _soonest(values)


def _tried(first: date, last: date) -> Iterator[dict[str, date]]:
    for seeding, growth in _TRIED:
        off = seeding + _NURSERY_D + growth
        if off < (last - first).days:
            days = {"seeding": seeding, "transplant": seeding + _NURSERY_D, "lights_off": off}
            yield {stage: first + timedelta(days=d) for stage, d in days.items()}


def _soonest(values: Mapping[str, Any]) -> tuple[str, str]:
    """The text with the dates that bring the first cohort furthest, and when it would be dried in a longer season."""
    first, last = values["first_day"], values["last_day"]
    longer = {**values, "last_day": first + timedelta(days=LONGEST_SEASON_D)}
    ends = [
        (dried, n, dates)
        for n, dates in enumerate(_tried(first, last))
        if (
            dried := _plan(example_season_text(**{**longer, **dates}), first)
            .timelines[_FIRST]
            .likely("dried")
        )
    ]
    if not ends:
        text = example_season_text(**{**values, **next(_tried(first, last))})
        return text, f"{_FIRST} does not flower at this latitude on natural days."
    dried, _, dates = min(ends, key=lambda f: f[:2])
    return example_season_text(**{**values, **dates}), (
        f"{_FIRST} cannot be harvested and dried by the last day, {last}: at this latitude, on natural days, that is {dried} "
        f"at the earliest. Write last_day = {dried} or later, or start earlier."
    )


def _plan(text: str, today: date) -> Plan:
    reading = read_season(tomli.loads(text))
    if reading.season is None:
        raise ValueError(reading.problems[0].message)
    return make_plan(reading.season, today)
