"""What a new season is asked: each answer read as people write it, and answers that do not fit one another."""

from __future__ import annotations

from collections.abc import Callable, Iterator, Mapping
from dataclasses import dataclass
from datetime import date, timedelta
from typing import Any

from calendar_tui.season.checks import LONGEST_SEASON_D, longitude_text, noon_text
from calendar_tui.season.fields import FIELDS
from calendar_tui.season.kinds import SINGLE
from calendar_tui.season.time_zones import zones_at
from calendar_tui.season.typed_dates import typed_date
from calendar_tui.season.typed_position import LATITUDE, LONGITUDE, degrees, position, position_text

POSITION = "position"
# What a season cannot be without, by its key in the season file.
QUESTIONS: Mapping[str, str] = {
    "name": "Name of the season",
    LATITUDE: "Latitude, degrees, north positive (such as -34.3, or 34.3 S)",
    LONGITUDE: "Longitude, degrees, east positive (such as -56.7, or 56.7 W)",
    "timezone": "Time zone, IANA name (such as America/Montevideo)",
    "first_day": "First day of the calendar (such as 2026-09-15, or 15 sep)",
    "last_day": "Last day of the calendar (such as 2027-05-31, or 31 may)",
}
# Latitude and longitude in one, as a GPS or a map shows them.
POSITION_QUESTION = "Position (such as 44.5 N 123.2 W, 44°30'12\"N 123°12'W, or 44.5, -123.2)"
# What an answer is called where that is not its key.
_WORDS: Mapping[str, str] = {"timezone": "time zone", "first_day": "first day", "last_day": "last day"}
# A shorter calendar has no room for a cohort from seeding to the dried crop.
_SHORTEST_D = 120
_YEAR = timedelta(days=365)
# A first day without a year may be so long past (common practice, no source).
_BEGUN = timedelta(days=60)
Misfit = tuple[tuple[str, ...], str]


@dataclass(frozen=True, slots=True)
class Reader:
    """Reads what is typed. today_at: today in a time zone; order: of day and month in dates of numbers."""

    today_at: Callable[[str], date]
    order: str

    def read(self, key: str, typed: str, known: Mapping[str, Any]) -> dict[str, Any]:
        """The values typed for a key of QUESTIONS, or for POSITION, as their fields in the season file have them.

        known: the values there are. Of a position the longitude may be missing. Raises ValueError with a sentence.
        """
        typed = typed.strip()
        if not typed:
            question = POSITION_QUESTION if key == POSITION else QUESTIONS[key]
            raise ValueError(f"{words_of(key)} is empty; write the {question[:1].lower()}{question[1:]}")
        if key != POSITION:
            return {key: _field_value(key, self._value(key, typed, known))}
        values = dict(zip((LATITUDE, LONGITUDE), position(typed), strict=True))
        return {k: _field_value(k, value) for k, value in values.items() if value is not None}

    def misfits(self, values: Mapping[str, Any]) -> Iterator[Misfit]:
        """Keys whose values do not fit one another, and why."""
        if wrong := self._far_from_clock(values):
            yield (LONGITUDE, "timezone"), wrong
        if "first_day" in values and "last_day" in values:
            days = (values["last_day"] - values["first_day"]).days
            if not _SHORTEST_D <= days <= LONGEST_SEASON_D:
                yield (
                    ("first_day", "last_day"),
                    f"last day is {days} days after first day; a new season needs {_SHORTEST_D} to {LONGEST_SEASON_D}",
                )

    def _far_from_clock(self, values: Mapping[str, Any]) -> str:
        if LONGITUDE not in values or "timezone" not in values:
            return ""
        return longitude_text(values[LONGITUDE], values["timezone"], self._day_of(values))

    def doubt(self, values: Mapping[str, Any]) -> str:
        """Why longitude and time zone hardly belong together; "" where they do."""
        return noon_text(values[LONGITUDE], values["timezone"], self._day_of(values))

    def _day_of(self, values: Mapping[str, Any]) -> date:
        day: date = values.get("first_day") or self.today_at(values["timezone"])
        return day

    def _value(self, key: str, typed: str, known: Mapping[str, Any]) -> Any:
        if key in (LATITUDE, LONGITUDE):
            try:
                return degrees(typed, key)
            except ValueError as wrong:
                raise ValueError(f"{words_of(key)} {wrong}") from None
        if key in ("first_day", "last_day"):
            return self._day(typed, key, known)
        return typed

    def _day(self, typed: str, key: str, known: Mapping[str, Any]) -> date:
        """A date; without a year the first day is the next one or one of the last weeks, for a file is often made when work has
        begun; the last day is the next that leaves a new season long enough.
        """
        today = self.today_at(known.get("timezone", "UTC"))
        first = known.get("first_day") if key == "last_day" else None
        begin = first + timedelta(days=_SHORTEST_D) if first else today - _BEGUN
        try:
            return typed_date(
                typed,
                today=begin if first else today,
                planned=first,
                first_day=begin,
                last_day=begin + _YEAR,
                past=False,
                order=self.order,
            )
        except ValueError as wrong:
            raise ValueError(f"{words_of(key)} {wrong}") from None


def words_of(key: str) -> str:
    """What an answer is called in a sentence."""
    return _WORDS.get(key, key)


def zones_of(values: Mapping[str, Any]) -> tuple[str, ...]:
    """The time zones proposed for the position in the values; () where it is not whole, or lies at sea."""
    if LATITUDE not in values or LONGITUDE not in values:
        return ()
    return zones_at(values[LATITUDE], values[LONGITUDE])


def position_read(values: Mapping[str, Any]) -> str:
    """The position as it was understood; of one at sea, where most have a wrong sign, that it is."""
    text = position_text(values[LATITUDE], values.get(LONGITUDE))
    return f"{text}, at sea: are N, S, E, W right?" if is_at_sea(values) else text


def is_at_sea(values: Mapping[str, Any]) -> bool:
    """Whether the position is whole and no time zone has it."""
    return LATITUDE in values and LONGITUDE in values and not zones_of(values)


def _field_value(key: str, value: Any) -> Any:
    """The value as the season file's reader of this key has it. Raises ValueError with a sentence."""
    field = next(f for kind in SINGLE for f in FIELDS[kind] if f.key == key)
    assert field.read is not None
    try:
        return field.read(value)
    except ValueError as wrong:
        raise ValueError(f"{words_of(key)} {wrong}") from None
