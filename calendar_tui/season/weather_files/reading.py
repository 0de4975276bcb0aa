"""A weather file read: its days in degrees C, what was taken for what, and what must be asked because it is never guessed."""

from __future__ import annotations

from collections import Counter
from collections.abc import Mapping, Sequence
from datetime import date, timedelta
from typing import NamedTuple
from zoneinfo import ZoneInfo

from calendar_tui.season.field import FILE_ORDERS
from calendar_tui.season.readers import choices, shown
from calendar_tui.season.refusal import Refusal
from calendar_tui.season.weather import Station
from calendar_tui.season.weather_files.cells import (
    UNITS,
    unit_in,
)
from calendar_tui.season.weather_files.days import Dated, Known, TakenDays, WeatherFile, WrongCell
from calendar_tui.season.weather_files.forms import Layout
from calendar_tui.season.weather_files.moments import (
    Moment,
    moment,
    possible_orders,
)
from calendar_tui.season.weather_files.table import WeatherTable, read_table

UNIT, STATION, DATES = "unit", "station", "dates"
_STATIONS_SHOWN = 12


class Answers(NamedTuple):
    """What a person has said of a file, or what is kept of one like it; "" and {} for nothing. columns: roles by heading."""

    unit: str = ""
    station: str = ""
    dates: str = ""
    columns: Mapping[str, str] = {}


def kept_answers(station: Station | None) -> Mapping[str, Answers]:
    """What is kept of each form of file, by its name; what columns hold is kept for all."""
    if station is None:
        return {}
    forms = dict.fromkeys((*station.units, *station.stations, *station.date_orders, ""))
    return {
        form: Answers(
            station.units.get(form, ""),
            station.stations.get(form, ""),
            station.date_orders.get(form, ""),
            station.headings if not form else {},
        )
        for form in forms
    }


class Question(NamedTuple):
    """What is asked: UNIT, STATION or DATES; what may be answered."""

    key: str
    text: str
    answers: tuple[str, ...]


class Unanswered(Refusal):
    """What a file does not say and nobody may guess."""

    def __init__(self, questions: Sequence[Question]) -> None:
        super().__init__("; ".join(question.text for question in questions))
        self.questions = tuple(questions)


def read_weather_file(text: str, said: Answers, kept: Mapping[str, Answers], zone: ZoneInfo) -> WeatherFile:
    """The days in the text of a file. said: by a person, now; kept: what is kept of each form; zone: the site's.

    Raises Unanswered for what is to be asked, Refusal for a file that cannot be read.
    """
    roles = {heading: role for one in kept.values() for heading, role in one.columns.items()} | dict(
        said.columns
    )
    table = read_table(text, roles)
    before = kept.get(table.layout.form.name, Answers())
    asked: list[Question] = []
    station, rows = _of_station(table, said.station, before.station, asked)
    unit, unit_by = _unit(table.layout, said.unit, before.unit, asked)
    moments, unread_dates = _moments(table.layout, rows)
    order, order_by = _order([one for _, one, _ in moments], said.dates, before.dates, asked)
    if asked:
        raise Unanswered(asked)
    known = Known(station, unit, unit_by, order, order_by, _used_roles(table.layout, roles))
    return TakenDays(table, known, zone).file(moments, unread_dates)


def _used_roles(layout: Layout, roles: Mapping[str, str]) -> Mapping[str, str]:
    return {h: roles[h] for heading in layout.headings if (h := heading.strip().strip('"')) in roles}


def _of_station(
    table: WeatherTable, said: str, kept: str, asked: list[Question]
) -> tuple[str, Sequence[tuple[int, list[str]]]]:
    """The station that is meant, and its rows."""
    columns = table.layout.station
    if not columns:
        return "", table.rows
    whole = [(row, _whose(row[1], columns)) for row in table.rows if max(columns) < len(row[1])]
    there = Counter(name for _, name in whole)
    if len(columns) > 1 and len(there) == 1 and not said:
        return "", table.rows
    if said and said not in there:
        raise Refusal(f"there is no station {shown(said)} in the file{choices(said, there, 'Stations')}")
    named = said or (kept if kept in there else "") or (next(iter(there)) if len(there) == 1 else "")
    if not named:
        known = ", ".join(
            f"{name} ({count} row{'s' * (count > 1)})" for name, count in there.most_common(_STATIONS_SHOWN)
        )
        more = f" and {len(there) - _STATIONS_SHOWN} more" if len(there) > _STATIONS_SHOWN else ""
        asked.append(Question(STATION, f"which station: {known}{more}", tuple(there)))
    return named, [row for row, name in whole if name == named]


def _whose(cells: Sequence[str], columns: Sequence[int]) -> str:
    """The station of a row, or its place, as "44.5 -123.2"."""
    return " ".join(cells[at].strip() for at in columns)


def _unit(layout: Layout, said: str, kept: str, asked: list[Question]) -> tuple[str, str]:
    """The unit, and how it is known. Raises Refusal where what is said is not what the file says."""
    columns = [at for at in (layout.low, layout.high, layout.temperature) if at is not None]
    headed = {unit_in(layout.headings[at]) for at in columns}
    if {"C", "F"} <= headed:
        raise Refusal("its headings name C for one temperature and F for the other; put both into one unit")
    heading = next(iter(headed - {""}), "")
    own, by = (
        (heading, "by its heading")
        if heading
        else (layout.form.unit, "as files of this form have it" if layout.form.unit else "")
    )
    if said and own and said != own:
        raise Refusal(f"its temperatures are in {own}, {by}, and not in {said}; leave the unit away")
    if own or said:
        return own or said, by or "as you say"
    if kept:
        return kept, "as you said of such a file before"
    asked.append(
        Question(
            UNIT,
            "which unit its temperatures have, which neither its headings nor its form say",
            tuple(UNITS),
        )
    )
    return "", ""


def _moments(layout: Layout, rows: Sequence[tuple[int, list[str]]]) -> tuple[list[Dated], list[WrongCell]]:
    """The rows with their dates as written, and those whose date cannot be read."""
    good: list[Dated] = []
    bad: list[WrongCell] = []
    of_year = len(layout.date) > 1 and "year" in layout.headings[layout.date[0]].casefold()
    named = len(layout.headings)
    for line, cells in rows:
        if any(cell.strip() for cell in cells[named:]):
            bad.append(
                WrongCell(
                    line, f"has {len(cells)} cells where {named} are named; put decimal commas into quotes"
                )
            )
            continue
        texts = [cells[at].strip() if at < len(cells) else "" for at in layout.date]
        try:
            good.append((line, _in_parts(texts) if of_year else moment(" ".join(texts)), cells))
        except (ValueError, OverflowError):
            bad.append(WrongCell(line, f"{shown(' '.join(texts))} is no date; write it as 2026-01-31"))
    if rows and len(bad) * 2 > len(rows):
        raise Refusal(f"line {bad[0].line}: {bad[0].text}; {len(bad)} of {len(rows)} rows are so")
    return good, bad


def _in_parts(texts: Sequence[str]) -> Moment:
    """A date of a year and its day from 1, or of a year, a month and a day."""
    year, *rest = (int(float(text)) for text in texts)
    if len(rest) == 2:
        return Moment(day=date(year, *rest))
    day = date(year, 1, 1) + timedelta(days=rest[0] - 1)
    if day.year != year:
        raise ValueError(texts)
    return Moment(day=day)


def _order(moments: Sequence[Moment], said: str, kept: str, asked: list[Question]) -> tuple[str, str]:
    """Which comes first in dates of numbers, and how that is known; "" where none is open."""
    if all(one.day is not None for one in moments):
        return FILE_ORDERS[0], ""
    fits = possible_orders(moments)
    if said:
        if said not in (*fits, *FILE_ORDERS):
            raise Refusal(f'"{said}" is no order of dates; say {", ".join(FILE_ORDERS)}')
        return said, "as you say"
    if len(fits) == 1:
        return fits[0], "for no other order makes dates of all of them"
    if kept in fits:
        return kept, "as you said of such a file before"
    if not fits:
        raise Refusal("its dates fit no order of day, month and year; write them as 2026-01-31")
    one, other = (next(m for m in moments if m.day is None).date_in(order) for order in fits[:2])
    asked.append(
        Question(
            DATES, f"which comes first in its dates: the first may be {one} or {other}", tuple(FILE_ORDERS)
        )
    )
    return "", ""
