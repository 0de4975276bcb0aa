"""A new season: what is given by flags or asked, the text made from it, and its first tasks."""

from __future__ import annotations

import tomllib
from collections.abc import Callable, Mapping
from datetime import date, timedelta
from pathlib import Path

from calendar_tui.planning.plan import Plan, make_plan
from calendar_tui.planning.replan import Proposal, refresh
from calendar_tui.season.fields import FIELDS
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


def start_season(path: Path, given: Mapping[str, str | None], ask: Callable[[str], str]) -> Proposal:
    """Write the new season, and give the proposal that adds its tasks.

    given: what the flags said, by key; what is missing is asked. Raises ValueError with a sentence for a wrong value,
    SeasonFileError where the file can't be written.
    """
    values = {key: given.get(key) or ask(f"{question}: ") for key, question in QUESTIONS.items()}
    latitude, longitude = (_number(key, values[key]) for key in ("latitude", "longitude"))
    first, last = (_day(key, values[key]) for key in ("first_day", "last_day"))
    latest = max(_LIGHTS_OFF_D[0], (last - first).days - 1)
    for days in (d for d in _LIGHTS_OFF_D if d <= latest):
        text = new_season_text(
            name=values["name"],
            latitude=latitude,
            longitude=longitude,
            timezone=values["timezone"],
            first_day=first,
            last_day=last,
            lights_off=first + timedelta(days=days),
        )
        plan = _plan(text, first)
        if _flowers(plan):
            break
    write_new(path, text)
    return refresh(plan)


def _flowers(plan: Plan) -> bool:
    harvest = next(iter(plan.timelines.values())).likely("harvest")
    return harvest is not None and harvest <= plan.season.last_day


def _plan(text: str, today: date) -> Plan:
    reading = read_season(tomllib.loads(text))
    if reading.season is None:
        raise ValueError(reading.problems[0].message)
    return make_plan(reading.season, today)


def _number(key: str, typed: str) -> float:
    field = next(f for f in FIELDS["site"] if f.key == key)
    assert field.read is not None
    try:
        value = float(typed)
    except ValueError:
        raise ValueError(f'{key} "{typed}" is not a number; write {field.unit}, such as -34.3') from None
    try:
        return float(field.read(value))
    except ValueError as wrong:
        raise ValueError(f"{key} {wrong}") from None


def _day(key: str, typed: str) -> date:
    try:
        return date.fromisoformat(typed.strip())
    except ValueError:
        raise ValueError(f'{key.replace("_", " ")} "{typed}" is not a date; write it as 2026-09-15') from None
