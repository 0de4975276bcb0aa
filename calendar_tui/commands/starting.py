"""A new season: what is given by flags or asked, the text made from it, and its first tasks."""

from __future__ import annotations

import tomllib
from collections.abc import Callable, Iterator, Mapping
from datetime import date, timedelta
from pathlib import Path
from typing import Any

from calendar_tui.commands.output import note_saved
from calendar_tui.planning.plan import Plan, make_plan
from calendar_tui.planning.replan import Proposal, refresh
from calendar_tui.season.checks import LONGEST_SEASON_D
from calendar_tui.season.fields import FIELDS, SINGLE
from calendar_tui.season.readers import plain, shown
from calendar_tui.season.reading import read_season
from calendar_tui.storage.new_season import new_season_text, write_new

QUESTIONS: Mapping[str, str] = {
    "name": "Name of the season",
    "latitude": "Latitude, degrees, north positive (such as -34.3)",
    "longitude": "Longitude, degrees, east positive (such as -56.7)",
    "timezone": "Time zone, IANA name (such as America/Montevideo)",
    "first_day": "First day of the calendar (such as 2026-09-15)",
    "last_day": "Last day of the calendar (such as 2027-05-31)",
}
# Of the first cohort: days in the nursery, and the days from the season's first day to its seeding and from its transplant
# to lights off that are tried, what one would rather have first: five weeks of growth, then an earlier start, then a
# later lights off, and at last less growth. Common practice, no source.
_NURSERY_D = 25
_EARLIER = tuple((seeding, 35) for seeding in (20, 10, 0))
_LATER = tuple((20, growth) for growth in range(42, 365, 7))
_SMALLER = tuple((0, growth) for growth in (28, 21, 14, 7, 0))
_TRIED = (*_EARLIER, *_LATER, *_SMALLER)
_FIRST = "A1"
# A shorter calendar has no room for the two cohorts that a new season starts with.
_SHORTEST_D = 120


def start_season(
    path: Path, given: Mapping[str, str | None], ask: Callable[[str], str]
) -> tuple[Proposal, str]:
    """Write the new season, and give the proposal that adds its tasks, and what the season has no room for, or "".

    given: what the flags said, by key; what is missing is asked, and asked again after a wrong answer. Raises
    ValueError with a sentence for a wrong flag, SeasonFileError where the file can't be written.
    """
    values: dict[str, Any] = {}
    for key in QUESTIONS:
        if typed := given.get(key):
            values[key] = _read(key, typed, values)
    for key in QUESTIONS:
        if key not in values:
            values[key] = _asked(key, values, ask)
    text, lacks = text_that_fits(values)
    write_new(path, text)
    note_saved(f"made {path}")
    return refresh(_plan(text, values["first_day"])), lacks


def text_that_fits(values: Mapping[str, Any]) -> tuple[str, str]:
    """The text of a new season whose first cohort is dried within it, if that can be; and why it cannot be, or "".

    values: by the keys of QUESTIONS. Of the dates that fit, the first ones that call for no warning are taken.
    """
    first, last = values["first_day"], values["last_day"]
    warned = ""
    for dates in _tried(first, last):
        plan = _plan(text := new_season_text(**{**values, **dates}), first)
        dried = plan.timelines[_FIRST].likely("dried")
        if dried is not None and dried <= last:
            if not plan.clashes_of(_FIRST):
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
    found = [
        (dried, n, dates)
        for n, dates in enumerate(_tried(first, last))
        if (dried := _plan(new_season_text(**{**longer, **dates}), first).timelines[_FIRST].likely("dried"))
    ]
    if not found:
        text = new_season_text(**{**values, **next(_tried(first, last))})
        return text, f"{_FIRST} does not flower at this latitude on natural days."
    dried, _, dates = min(found, key=lambda f: f[:2])
    return new_season_text(**{**values, **dates}), (
        f"{_FIRST} cannot be harvested and dried by the last day, {last}: at this latitude, on natural days, that is {dried} "
        f"at the earliest. Write last_day = {dried} or later, or start earlier."
    )


def _asked(key: str, known: Mapping[str, Any], ask: Callable[[str], str]) -> Any:
    while True:
        try:
            return _read(key, ask(f"{QUESTIONS[key]}: "), known)
        except ValueError as wrong:
            print(plain(str(wrong)))


_FROM_TEXT: Mapping[str, tuple[Callable[[str], Any], str]] = {
    "latitude": (float, "a number; write degrees, north positive, such as -34.3"),
    "longitude": (float, "a number; write degrees, east positive, such as -56.7"),
    "first_day": (date.fromisoformat, "a date; write it as 2026-09-15"),
    "last_day": (date.fromisoformat, "a date; write it as 2027-05-31"),
}


def _read(key: str, typed: str, known: Mapping[str, Any]) -> Any:
    """The value typed for a key, as its field in the season file has it. Raises ValueError with a sentence."""
    typed = typed.strip()
    if not typed:
        raise ValueError(f"{key} is empty; write the {QUESTIONS[key][:1].lower()}{QUESTIONS[key][1:]}")
    convert, right = _FROM_TEXT.get(key, (str, ""))
    try:
        value = convert(typed)
    except ValueError:
        raise ValueError(f"{key} {shown(typed)} is not {right}") from None
    field = next(f for kind in SINGLE for f in FIELDS[kind] if f.key == key)
    assert field.read is not None
    try:
        value = field.read(value)
    except ValueError as wrong:
        raise ValueError(f"{key} {wrong}") from None
    _check_length({**known, key: value})
    return value


def _check_length(values: Mapping[str, Any]) -> None:
    if "first_day" in values and "last_day" in values:
        days = (values["last_day"] - values["first_day"]).days
        if not _SHORTEST_D <= days <= LONGEST_SEASON_D:
            raise ValueError(
                f"last_day is {days} days after first_day; a new season needs {_SHORTEST_D} to {LONGEST_SEASON_D}"
            )


def _plan(text: str, today: date) -> Plan:
    reading = read_season(tomllib.loads(text))
    if reading.season is None:
        raise ValueError(reading.problems[0].message)
    return make_plan(reading.season, today)
