"""A weather file taken in as one change: its days joined with those that are there, what was said of it kept, what moves."""

from __future__ import annotations

import hashlib
from collections.abc import Iterator, Mapping, Sequence
from dataclasses import replace
from datetime import date, timedelta
from functools import lru_cache
from math import asin, cos, hypot, radians, sin, sqrt
from typing import NamedTuple
from zoneinfo import ZoneInfo

from calendar_tui.planning.changes.held_season import HeldSeason, edited_season
from calendar_tui.planning.changes.proposal import Proposal
from calendar_tui.planning.changes.replan import propose
from calendar_tui.planning.changes.weather_in_notes import file_notes, strange_notes
from calendar_tui.planning.weather_held import NO_HEAT
from calendar_tui.season.edits import Edit
from calendar_tui.season.measures import degrees_apart_text
from calendar_tui.season.records import Season
from calendar_tui.season.refusal import Refusal
from calendar_tui.season.station_checks import StationRow, strange_days
from calendar_tui.season.weather import Station, by_day, days_of
from calendar_tui.season.weather_files.days import WeatherFile
from calendar_tui.season.weather_files.reading import Answers, kept_answers, read_weather_file
from calendar_tui.season.wording import first_to_last_text, full_day_text

KIND = "station"
# What was said of a file, by the key of the station that keeps it.
_KEPT_UNDER: Mapping[str, str] = {"unit": "units", "station": "stations", "dates": "date_orders"}
# Further away than this, or so much warmer or colder on the days that are there already, it may be another station's file.
# Choices, no source.
FAR_KM, OTHER_C, _COMMON_D = 50.0, 3.0, 10
_EARTH_KM = 6371.0
Pair = tuple[float, float]


class WeatherIn(NamedTuple):
    """What a weather file comes to. name: of the file; fresh, other: how many of its days are new, and how many are told
    otherwise than before; strange: days left out because they fit the days around them in the other unit alone.
    """

    name: str
    file: WeatherFile
    fresh: int
    other: int
    strange: Sequence[tuple[date, str]]
    proposal: Proposal


def take_weather(held: HeldSeason, name: str, text: str, said: Answers) -> WeatherIn:
    """The change that takes a file in. name: the file's, for messages. Raises Unanswered, Refusal."""
    season = held.plan.season
    file = _read(text, said, _frozen(kept_answers(season.station)), season.site.timezone)
    before = by_day(season.weather)
    days, strange = _without_strange({**before, **file.days})
    fresh = sum(day not in before for day in file.days)
    other = sum(day in before and not _same(before[day], pair) for day, pair in file.days.items())
    content = _written(days)
    beside = f"weather-{hashlib.sha256(content).hexdigest()[:10]}.csv"
    changed = fresh or other or season.station is None
    edits = [*(_file_edits(season, beside) if changed else ()), *_kept_edits(season, file, said)]
    proposal = _proposal(held, edits, days, beside, _what(file, fresh, other))
    if changed:
        proposal = replace(proposal, change=replace(proposal.change, files={beside: content}))
    asked = tuple(_doubts(season, file, before))
    notes = (*file_notes(name, file), *_days_notes(season, file, fresh, other), *strange_notes(strange))
    told = replace(
        proposal,
        questions=(*asked, *proposal.questions),
        doubts=(*asked, *proposal.doubts),
        notes=(*notes, *proposal.notes),
    )
    return WeatherIn(name, file, fresh, other, strange, told)


def _days_notes(season: Season, file: WeatherFile, fresh: int, other: int) -> Iterator[str]:
    """What the days of a file are beside those that the season has."""
    yield f"beside the days that are there: {fresh} new, {other} otherwise than before, {len(file.days) - fresh - other} alike"
    if read_off := sum(one.date in file.days for one in season.thermometer):
        yield f"{read_off} of its days were read off the thermometer too, and stay as that has them"


_Frozen = tuple[tuple[str, tuple[str, str, str], tuple[tuple[str, str], ...]], ...]


def _frozen(kept: Mapping[str, Answers]) -> _Frozen:
    return tuple((form, one[:3], tuple(one.columns.items())) for form, one in kept.items())


def _read(text: str, said: Answers, kept: _Frozen, timezone: str) -> WeatherFile:
    return _read_once(text, said[:3], tuple(said.columns.items()), kept, timezone)


@lru_cache(maxsize=4)
def _read_once(
    text: str, said: tuple[str, str, str], columns: tuple[tuple[str, str], ...], kept: _Frozen, timezone: str
) -> WeatherFile:
    """Read once for a file, and not for every letter that is typed in its form."""
    of_forms = {form: Answers(*answers, dict(heads)) for form, answers, heads in kept}
    return read_weather_file(text, Answers(*said, dict(columns)), of_forms, ZoneInfo(timezone))


def _without_strange(days: Mapping[date, Pair]) -> tuple[dict[date, Pair], list[tuple[date, str]]]:
    """The days without those that a season would not be read with. Raises Refusal where two follow one another."""
    ordered = dict(sorted(days.items()))
    strange: list[tuple[date, str]] = []
    while left_out := _strange(ordered):
        strange += left_out
        gone = {day for day, _ in strange}
        if any(day + timedelta(days=1) in gone for day in gone):
            raise Refusal(
                f"from {full_day_text(min(strange)[0])} on days are such as would be in the other unit; put all into one, or take in "
                "the file of one station"
            )
        for day, _ in left_out:
            del ordered[day]
    return ordered, sorted(strange)


def _strange(days: Mapping[date, Pair]) -> list[tuple[date, str]]:
    """The days that come out of the others as in the other unit; of two in turn the first, which is seen from a day before it."""
    rows = [StationRow(n, day, *pair) for n, (day, pair) in enumerate(days.items())]
    found = strange_days(rows, Station(file="", unit="C"))
    behind = {day + timedelta(days=1) for day, _ in found}
    return [one for one in found if one[0] not in behind]


def _same(one: Pair, other: Pair) -> bool:
    """Whether two days are alike to the hundredth that is written."""
    return all(abs(a - b) < 0.006 for a, b in zip(one, other, strict=True))


def _written(days: Mapping[date, Pair]) -> bytes:
    rows = (f"{day},{low:.2f},{high:.2f}\n" for day, (low, high) in days.items())
    return ("date,low,high\n" + "".join(rows)).encode()


def _file_edits(season: Season, beside: str) -> Iterator[Edit]:
    yield Edit("set", KIND, (), ("file",), beside)
    yield Edit("set", KIND, (), ("unit",), "C")
    if (station := season.station) is None:
        return
    plain = Station(file="", unit="C")
    yield from (
        Edit("unset", KIND, (), ("columns", side))
        for side in ("date", "low", "high")
        if getattr(station.columns, side) != getattr(plain.columns, side)
    )
    if station.date_form != plain.date_form:
        yield Edit("unset", KIND, (), ("date_form",))


def _kept_edits(season: Season, file: WeatherFile, said: Answers) -> Iterator[Edit]:
    """What a person has said and is not kept yet."""
    station = season.station or Station(file="", unit="C")
    for answer, key in _KEPT_UNDER.items():
        value = getattr(said, answer)
        if value and getattr(station, key).get(file.form) != value:
            yield Edit("set", KIND, (), (key, file.form), value)
    for heading, role in file.columns.items():
        if station.headings.get(heading) != role:
            yield Edit("set", KIND, (), ("headings", heading), role)


def _proposal(
    held: HeldSeason, edits: Sequence[Edit], days: Mapping[date, Pair], beside: str, what: str
) -> Proposal:
    season = edited_season(held, edits, {KIND: [()]}) if edits else held.plan.season
    if any(edit.field == ("file",) for edit in edits):
        season = replace(season, weather=days_of(days, beside))
    return propose(held.plan, season, what, edits)


def _what(file: WeatherFile, fresh: int, other: int) -> str:
    of = f" of {file.station}" if file.station else ""
    changed = f", {other} changed" if other else ""
    return (
        f"temperatures{of} taken in, {first_to_last_text(file.first, file.last)}: {fresh} new days{changed}"
    )


def _doubts(season: Season, file: WeatherFile, before: Mapping[date, Pair]) -> Iterator[str]:
    """Why it may be another station's file, or of no use."""
    if season.heat is None:
        yield f"heat {NO_HEAT}"
    if file.position is not None:
        km = distance_km(file.position, (season.site.latitude, season.site.longitude))
        if km > FAR_KM:
            yield f"the file's place is {km:.0f} km from the site"
    common = [(before[day], pair) for day, pair in file.days.items() if day in before]
    if len(common) >= _COMMON_D:
        apart = sum(abs(sum(a) - sum(b)) / 2 for a, b in common) / len(common)
        if apart > OTHER_C:
            differs = f"the file differs by {degrees_apart_text(apart, '{:.1f}'.format)} a day"
            yield f"on {len(common)} days that are there already {differs}; is it of the same station?"
    newest = max(file.days)
    if newest < season.first_day and not any(day >= season.first_day for day in before):
        yield f"its days end on {full_day_text(newest)}, before the season"


def distance_km(one: Pair, other: Pair) -> float:
    """The way between two positions, in degrees north and east, on a sphere of the Earth's mean radius."""
    (lat, lon), (lat2, lon2) = (tuple(map(radians, position)) for position in (one, other))
    half = hypot(sin((lat2 - lat) / 2), sqrt(cos(lat) * cos(lat2)) * sin((lon2 - lon) / 2))
    return 2 * _EARTH_KM * asin(min(half, 1.0))
