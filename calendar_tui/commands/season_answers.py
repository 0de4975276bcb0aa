"""What a new season is asked: each answer read as people write it, and answers that do not fit one another."""

from __future__ import annotations

import re
from collections.abc import Callable, Iterator, Mapping, Sequence
from dataclasses import dataclass
from datetime import date, timedelta
from typing import Any

from calendar_tui.commands.command_input import emit
from calendar_tui.planning.changes.variety_type import find_type
from calendar_tui.season.checks import LONGEST_SEASON_D, longitude_text, noon_text
from calendar_tui.season.fields import FIELDS
from calendar_tui.season.kinds import SINGLE
from calendar_tui.season.readers import shown
from calendar_tui.season.refusal import Refusal
from calendar_tui.season.typed_dates import typed_date
from calendar_tui.season.variety_types import DEFAULT
from calendar_tui.season.wording import full_day_text

QUESTIONS: Mapping[str, str] = {
    "name": "Name of the season",
    "latitude": "Latitude, degrees, north positive (such as -34.3, or 34.3 S)",
    "longitude": "Longitude, degrees, east positive (such as -56.7, or 56.7 W)",
    "timezone": "Time zone, IANA name (such as America/Montevideo)",
    "first_day": "First day of the calendar (such as 2026-09-15, or 15 sep)",
    "last_day": "Last day of the calendar (such as 2027-05-31, or 31 may)",
}
# A shorter calendar has no room for the two cohorts that a new season starts with.
_SHORTEST_D = 120
_YEAR = timedelta(days=365)
_DEGREES = re.compile(
    r"(?P<before>[NSEW])? ?(?P<sign>[-+−]?) ?(?P<degrees>\d+(?:[.,]\d+)?) ?°? ?(?:(?P<minutes>\d+(?:[.,]\d+)?) ?['′])? ?"
    r"(?P<behind>[NSEW])?",
    re.ASCII | re.IGNORECASE,
)


@dataclass(frozen=True, slots=True)
class Questions:
    """today_at: today in a time zone; order: of day and month in dates of numbers; ask: gives what is typed."""

    today_at: Callable[[str], date]
    order: str
    ask: Callable[[str], str]

    def answers(self, given: Mapping[str, str | None]) -> dict[str, Any]:
        """The values of all keys of QUESTIONS. given: what the flags have, by key; the rest is asked.

        A wrong answer, or one that does not fit another, is asked again with what would be right. Raises ValueError
        with a sentence for a wrong flag, EOFError where nobody answers.
        """
        values: dict[str, Any] = {}
        for key in QUESTIONS:
            if typed := given.get(key):
                values[key] = self.read(key, typed, values)
        for key in QUESTIONS:
            if key not in values:
                values[key] = self._asked(key, values)
            askable = [k for k in QUESTIONS if not given.get(k)]
            self._fit(values, askable)
            if key == "timezone":
                self._confirm_longitude(values, askable)
        return values

    def type(self, given: Mapping[str, str | None], show: Callable[[], None]) -> str:
        """The type of the first variety: as the flags have it; asked where anything is, else the default.

        show: prints the types. Raises ValueError with a sentence for a wrong flag.
        """
        if typed := given.get("type"):
            return short_day_type(typed)
        if all(given.get(key) for key in QUESTIONS):
            return DEFAULT
        show()
        while True:
            try:
                typed = self.ask(f"Type of its first variety; Enter takes {DEFAULT}: ").strip()
                return short_day_type(typed) if typed else DEFAULT
            except EOFError:
                return DEFAULT
            except ValueError as wrong:
                emit([str(wrong)])

    def _confirm_longitude(self, values: dict[str, Any], askable: Sequence[str]) -> None:
        """Ask again for a longitude and a time zone that hardly belong together; the same answers again are taken."""
        shown_for = None
        while shown_for != (pair := (values["longitude"], values["timezone"])):
            shown_for = pair
            day = values.get("first_day") or self.today_at(pair[1])
            if not (unlikely := noon_text(*pair, day)):
                return
            emit([f"longitude {pair[0]:g}: {unlikely}"])
            for key in ("longitude", "timezone"):
                if key in askable:
                    values[key] = self._asked(key, values)
            self._fit(values, [*askable])

    def _fit(self, values: dict[str, Any], askable: list[str]) -> None:
        """Ask again for what does not fit one another."""
        while misfit := next(self._misfits(values), None):
            keys, wrong = misfit
            again = [key for key in keys if key in askable]
            if not again:
                raise ValueError(wrong)
            emit([wrong])
            for key in again:
                values[key] = self._asked(key, values)

    def _misfits(self, values: Mapping[str, Any]) -> Iterator[tuple[tuple[str, str], str]]:
        """Keys whose values do not fit one another, and why."""
        if "longitude" in values and "timezone" in values:
            day = values.get("first_day") or self.today_at(values["timezone"])
            if wrong := longitude_text(values["longitude"], values["timezone"], day):
                yield ("longitude", "timezone"), wrong
        if "first_day" in values and "last_day" in values:
            days = (values["last_day"] - values["first_day"]).days
            if not _SHORTEST_D <= days <= LONGEST_SEASON_D:
                yield (
                    ("first_day", "last_day"),
                    f"last_day is {days} days after first_day; a new season needs {_SHORTEST_D} to {LONGEST_SEASON_D}",
                )

    def _asked(self, key: str, known: Mapping[str, Any]) -> Any:
        kept = f"; Enter keeps {known[key]}" if key in known else ""
        while True:
            typed = self.ask(f"{QUESTIONS[key]}{kept}: ").strip()
            if not typed and kept:
                return known[key]
            try:
                value = self.read(key, typed, known)
            except ValueError as wrong:
                emit([str(wrong)])
                continue
            if isinstance(value, date) and typed != value.isoformat():
                emit([f"{key} is {full_day_text(value)}"])
            return value

    def read(self, key: str, typed: str, known: Mapping[str, Any]) -> Any:
        """The value typed for a key, as its field in the season file has it. Raises ValueError with a sentence."""
        typed = typed.strip()
        if not typed:
            raise ValueError(f"{key} is empty; write the {QUESTIONS[key][:1].lower()}{QUESTIONS[key][1:]}")
        field = next(f for kind in SINGLE for f in FIELDS[kind] if f.key == key)
        assert field.read is not None
        try:
            return field.read(self._value(key, typed, known))
        except ValueError as wrong:
            raise ValueError(f"{key} {wrong}") from None

    def _value(self, key: str, typed: str, known: Mapping[str, Any]) -> Any:
        if key in _HEMISPHERES:
            return degrees(typed, key)
        if key in ("first_day", "last_day"):
            return self._day(typed, key, known)
        return typed

    def _day(self, typed: str, key: str, known: Mapping[str, Any]) -> date:
        """A date; without a year the next one, of the last day the next that leaves a new season long enough."""
        today = self.today_at(known.get("timezone", "UTC"))
        first = known.get("first_day") if key == "last_day" else None
        begin = first + timedelta(days=_SHORTEST_D) if first else today
        return typed_date(
            typed,
            today=begin if first else today,
            planned=first,
            first_day=begin,
            last_day=begin + _YEAR,
            past=False,
            order=self.order,
        )


def short_day_type(typed: str) -> str:
    """The id of a type that a new season's first variety can have. Raises ValueError with a sentence."""
    try:
        kind = find_type(typed)
    except Refusal as wrong:
        raise ValueError(str(wrong)) from None
    if kind.response != "short-day":
        raise ValueError(f"{kind.id} is the type of its second variety; give one that is short-day")
    return kind.id


# By key: the letters of its hemispheres, positive and negative, and what would be right.
_HEMISPHERES: Mapping[str, tuple[str, str, str]] = {
    "latitude": ("N", "S", "write degrees, north positive, such as -34.3 or 34.3 S"),
    "longitude": ("E", "W", "write degrees, east positive, such as -56.7 or 56.7 W"),
}


def degrees(typed: str, key: str) -> float:
    """Degrees as people write them: -34.3, 44.5 N, 123W, 123° W, 44° 30' N. Raises ValueError.

    key: latitude or longitude.
    """
    positive, negative, right = _HEMISPHERES[key]
    match = _DEGREES.fullmatch(typed)
    if match is None:
        return _number(typed, right)
    letters = [letter.upper() for letter in (match["before"], match["behind"]) if letter]
    if len(letters) > 1 or (letters and (letters[0] not in (positive, negative) or match["sign"])):
        raise ValueError(f"{shown(typed)} is not {key}: {right}")
    size = float(match["degrees"].replace(",", ".")) + float((match["minutes"] or "0").replace(",", ".")) / 60
    return -size if match["sign"] in ("-", "−") or letters == [negative] else size


def _number(typed: str, right: str) -> float:
    try:
        return float(typed)
    except ValueError:
        raise ValueError(f"{shown(typed)} is not a number; {right}") from None
