"""A new season: what is given by flags or asked, the text made from it, and its first tasks."""

from __future__ import annotations

import tomllib
from collections.abc import Callable, Mapping
from datetime import date, timedelta
from pathlib import Path
from typing import Any

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
_TRANSPLANT_D = 45
# Lights-off dates tried for the first cohort, in days from the season's first day: five weeks of growth or more.
_LIGHTS_OFF_D = range(_TRANSPLANT_D + 35, 400, 7)


# A shorter calendar has no room for the two cohorts that a new season starts with.
_SHORTEST_D = 120


def start_season(path: Path, given: Mapping[str, str | None], ask: Callable[[str], str]) -> Proposal:
    """Write the new season, and give the proposal that adds its tasks.

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
    first, last = values["first_day"], values["last_day"]
    for days in (d for d in _LIGHTS_OFF_D if d < (last - first).days):
        text = new_season_text(**values, lights_off=first + timedelta(days=days))
        plan = _plan(text, first)
        if _flowers(plan):
            break
    write_new(path, text)
    return refresh(plan)


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


def _flowers(plan: Plan) -> bool:
    harvest = next(iter(plan.timelines.values())).likely("harvest")
    return harvest is not None and harvest <= plan.season.last_day


def _plan(text: str, today: date) -> Plan:
    reading = read_season(tomllib.loads(text))
    if reading.season is None:
        raise ValueError(reading.problems[0].message)
    return make_plan(reading.season, today)
