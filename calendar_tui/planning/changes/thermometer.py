"""A day's lowest and highest temperature read off by a person: one small record, and what it moves."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import replace
from datetime import date, timedelta

from calendar_tui.planning.changes.held_season import HeldSeason, edited_season
from calendar_tui.planning.changes.proposal import Proposal
from calendar_tui.planning.changes.replan import propose
from calendar_tui.planning.weather_held import NO_HEAT
from calendar_tui.season.edits import Edit
from calendar_tui.season.measures import (
    as_written,
    degrees_apart_text,
    degrees_range_text,
    measured,
    unit_shown,
)
from calendar_tui.season.refusal import Refusal
from calendar_tui.season.units_in_use import is_us
from calendar_tui.season.weather import by_day
from calendar_tui.season.weather_files.cells import LEAST_C, MOST_C, TO_CELSIUS, degrees_of
from calendar_tui.season.wording import year_day_text

KIND = "thermometer"
# A day this much colder or warmer than the day before it is asked about. A choice, no source.
_JUMP_C = 20.0
# How a temperature is typed, by the unit of bare figures.
_RIGHT = {"C": "12.1, or as 53.8F", "F": "53.8, or as 12.1C"}


def day_before(today: date) -> date:
    """The day whose temperatures a thermometer shows in the morning: yesterday, whose afternoon it holds. A choice."""
    return today - timedelta(days=1)


def typed_degrees(text: str, unit: str) -> float:
    """A temperature as it is typed, in C to the hundredth: 12.1, 12,1, 54F. unit: where none is typed. Raises Refusal."""
    bare = text.strip().upper().replace("°", "")
    own = bare[-1:] if bare[-1:] in TO_CELSIUS else unit
    try:
        value = degrees_of(bare.removesuffix(own))
    except ValueError:
        value = float("nan")
    celsius = TO_CELSIUS[own](value)
    if not LEAST_C <= celsius <= MOST_C:
        raise Refusal(f'"{text}" is no temperature of air in {own}; write it as {_RIGHT[unit]}')
    return round(celsius, 2)


def read_off(held: HeldSeason, day: date, low_c: float, high_c: float) -> Proposal:
    """The proposal that keeps a day's temperatures. Raises Refusal for a day to come, and for a low over the high."""
    plan = held.plan
    if day > plan.today:
        raise Refusal(f"{year_day_text(day)} is to come; its temperatures are read when it is over")
    if low_c > high_c:
        raise Refusal(
            f"the low, {_degrees_text(low_c)}, is over the high, {_degrees_text(high_c)}; give the low first"
        )
    before = {one.date: (one.low_c, one.high_c) for one in plan.season.thermometer}
    what = f"thermometer of {year_day_text(day)}: {low_c:g} to {high_c:g} C"
    if before.get(day) == (low_c, high_c):
        return Proposal(propose(plan, plan.season, what, ()).change, plan, (), ())
    edits = _edits(day, low_c, high_c, day in before)
    season = edited_season(held, edits, {KIND: [(day,)]})
    proposal = propose(plan, season, what, edits)
    asked = tuple(_questions(held, day, low_c, high_c))
    return replace(
        proposal,
        notes=(*_converted(low_c, high_c), *proposal.notes),
        questions=(*asked, *proposal.questions),
        doubts=(*asked, *proposal.doubts),
    )


def _converted(low_c: float, high_c: float) -> Iterator[str]:
    """What was typed in other units than the file's, beside what the file gets."""
    if is_us():
        yield f"{degrees_range_text(low_c, high_c)} is {low_c:g} to {high_c:g} C"


def _degrees_text(degrees_c: float) -> str:
    return measured(degrees_c, "C", as_written)


def _edits(day: date, low_c: float, high_c: float, there: bool) -> list[Edit]:
    values = {"low_c": low_c, "high_c": high_c}
    if there:
        return [Edit("set", KIND, (day,), (key,), value) for key, value in values.items()]
    return [Edit("add", KIND, (day,), (), {"date": day, **values})]


def _questions(held: HeldSeason, day: date, low_c: float, high_c: float) -> Iterator[str]:
    season = held.plan.season
    for one in season.thermometer:
        if one.date == day:
            yield f"{year_day_text(day)} was read as {degrees_range_text(one.low_c, one.high_c)}; this takes its place"
    of_station = by_day(season.weather)
    if day in of_station:
        yield f"the station has {degrees_range_text(*of_station[day])} on {year_day_text(day)}; what you read stands above it"
    known = {**of_station, **{one.date: (one.low_c, one.high_c) for one in season.thermometer}}
    if (yesterday := known.get(day - timedelta(days=1))) is not None:
        jump = (low_c + high_c - sum(yesterday)) / 2
        if abs(jump) > _JUMP_C:
            more = degrees_apart_text(abs(jump), "{:.0f}".format)
            than = f"{'warmer' if jump > 0 else 'colder'} than the day before"
            yield f"that is {more} {than}; are both in {unit_shown('C')}?"
    if season.heat is None:
        yield f"heat {NO_HEAT}"
