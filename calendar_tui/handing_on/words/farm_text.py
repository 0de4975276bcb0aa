"""The farm in words: a line for each place, programme and variety, and one for each table that stands once."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from datetime import date
from typing import Any

from calendar_tui.planning.changes.field_edits import value_at
from calendar_tui.planning.occupancy import Occupancy, occupancy_of
from calendar_tui.planning.plan import Plan
from calendar_tui.season.field_names import NamedField, field_named, fields_of
from calendar_tui.season.measures import MEASURES, measured
from calendar_tui.season.records import Lamps, Place, Programme, Season, Span, Variety
from calendar_tui.season.typed_values import shown_text, typed_text
from calendar_tui.season.units_in_use import clock
from calendar_tui.season.wording import (
    dates_in_turn,
    full_day_text,
    hours_text,
    number_text,
    some_text,
)

_KIND_WIDTH, _AREA_WIDTH, _LIGHT_WIDTH = 11, 7, 11


def place_text(place: Place) -> str:
    """ "hoop house, 180 m2, lit to 16 h 00, 0.9 kW"."""
    area = measured(place.area_m2, "m2") if place.area_m2 else ""
    parts = f"parts {', '.join(place.screened)}" if place.screened else ""
    lamps = lamps_text(place.lamps) if place.lamps else "no lamps"
    return ", ".join(filter(None, (place.kind, area, parts, lamps)))


def place_columns(place: Place) -> str:
    """The kind, the area, and what its lamps do, each in its column."""
    area = measured(place.area_m2, "m2") if place.area_m2 else ""
    return f"{place.kind:<{_KIND_WIDTH}}{area:>{_AREA_WIDTH}}  {_light(place.lamps):<{_LIGHT_WIDTH}}"


def _light(lamps: Lamps | None) -> str:
    if lamps is None:
        return ""
    return f"to {hours_text(lamps.target_h)}" if lamps.target_h else "lamps"


def lamps_text(lamps: Lamps | Programme) -> str:
    """ "lit to 16 h 00, 0.9 kW", "lamps 22:00 to 02:00"."""
    power = f"{lamps.kw:g} kW" if isinstance(lamps, Lamps) and lamps.kw else ""
    if lamps.on is not None and lamps.off is not None:
        covers = "covers" if lamps.method == "blackout" else "lamps"
        does = f"{covers} {clock(lamps.on)} to {clock(lamps.off)}"
    else:
        does = f"lit to {hours_text(lamps.target_h)}" if lamps.target_h else "lamps"
    return ", ".join(filter(None, (does, power)))


def programme_text(programme: Programme) -> str:
    """ "12 Dec 2026 to 3 Jan 2027: lit to 18 h 00"."""
    first, last = (full_day_text(day).partition(" ")[2] for day in (programme.first, programme.last))
    return f"{first} to {last}: {lamps_text(programme)}"


def occupancy_text(occupancy: Occupancy, today: date) -> str:
    """ "A1, A2 now, 230 plants; A4 20 Jan 2027", "empty now"; the year where it is not today's."""
    plants = f", {occupancy.plants} plants" if occupancy.plants is not None else ""
    now = f"{some_text(occupancy.now)} now{plants}" if occupancy.now else "empty now"
    if occupancy.next is None:
        return now
    cohort, day = occupancy.next
    return f"{now}; {cohort} {dates_in_turn(today, day)[1]}"


def place_occupancy_text(plan: Plan, place: str, day: date) -> str:
    """Until when nobody enters a place, what it holds on a day, and what comes next."""
    return "; ".join(
        (*_closed_texts(plan, place, day), occupancy_text(occupancy_of(plan, place, day), plan.today))
    )


def _closed_texts(plan: Plan, place: str, day: date) -> Iterator[str]:
    """Until when a place is closed, or each part of it."""
    if not plan.season.sprays:
        return
    from calendar_tui.planning.spraying.closed_work import until_text
    from calendar_tui.planning.spraying.closures import closed_today

    for light, closure in closed_today(plan.season, day).items():
        if light in plan.season.places[place].lights:
            yield f"{light.removeprefix(place).strip()} {until_text(closure)}".strip()


def variety_line(season: Season, variety: Variety) -> str:
    """ "short-day, critical day 14 h 45; A1, A2, A3": its response and what grows of it."""
    grown = [c.id for c in season.cohorts.values() if c.variety == variety.id]
    critical = f", critical day {_length(variety.critical_day)}" if variety.response == "short-day" else ""
    kind = f", type {variety.type}" if variety.type else ""
    cohorts = f"cohort{'' if len(grown) == 1 else 's'} {some_text(grown)}" if grown else "no cohort"
    return f"{variety.response}{critical}{kind}; {cohorts}"


def _length(span: Span) -> str:
    return hours_text(span.likely)


def table_text(kind: str, record: Mapping[str, Any]) -> str:
    """The fields that a table has, in words: "dryer 300 kg, drying time 6 days"; "" where it has none."""
    return ", ".join(_value_texts(kind, record))


def _value_texts(kind: str, record: Mapping[str, Any]) -> Iterator[str]:
    for field in fields_of(kind):
        if field.takes_name:
            for name in record.get(field.key, {}):
                if (named := field_named(kind, f"{field.words} {name}")) is not None:
                    yield _value_text(named, record, name)
        elif value_at(record, field.path) is not None:
            yield _value_text(field, record, field.words)


def _value_text(field: NamedField, record: Mapping[str, Any], name: str) -> str:
    value = value_at(record, field.path)
    if isinstance(value, list) and field.unit == "dates":
        return f"{name} {len(value)}"
    if isinstance(value, bool) or not isinstance(value, float | int):
        text = shown_text(field, value) or f"{typed_text(field, value)}{_UNITS.get(field.unit, '')}"
        return f"{name} {text}"
    if field.unit in MEASURES:
        return f"{name} {measured(value, field.unit)}"
    return f"{name} {number_text(value)}{_UNITS.get(field.unit, '')}"


# What stands behind a number; none where the name has it already.
_UNITS: Mapping[str, str] = {
    "days": " d",
    "person-hours": " h",
}
