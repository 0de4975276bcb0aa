"""The answers for a new season all at once, as they stand in a form: what each is read as, and what is wrong with it."""

from __future__ import annotations

import re
from collections.abc import Iterator, Mapping
from dataclasses import dataclass, field
from datetime import date, timedelta
from functools import cache, lru_cache
from typing import Any, NamedTuple
from zoneinfo import ZoneInfo, available_timezones

from calendar_tui.nature.sky import day_lengths_h
from calendar_tui.planning.starting.answers import POSITION, Reader, is_at_sea, position_read, zones_of
from calendar_tui.planning.starting.typed_lines import COHORT, KINDS, PLACE, VARIETY, Lines, record_text
from calendar_tui.season.typed_position import LATITUDE, LONGITUDE
from calendar_tui.season.variety_types import variety_types
from calendar_tui.season.wording import day_text, full_day_text, hours_text
from calendar_tui.season.work import PLACE_KINDS

NAME, ZONE, FILE = "name", "time zone", "file"
# The rows that a form always has, but for its file, and the answers in them.
ANSWERS: Mapping[str, str] = {
    NAME: "name", POSITION: POSITION, ZONE: "timezone", "first day": "first_day", "last day": "last_day",
}  # fmt: skip
_ROWS: Mapping[str, str] = {answer: row for row, answer in ANSWERS.items()}
# What to know while typing a row; of records, by their kind.
MEANINGS: Mapping[str, str] = {
    NAME: "What the season is called, such as Hill Farm 2027.",
    POSITION: "As a GPS or a map shows it: 44.5 N 123.2 W, 44°30'12\"N 123°12'W, or 44.5, -123.2.",
    ZONE: "The farm's clock. It is proposed from the position; Enter takes it, or type another.",
    "first day": "Of the calendar, before the first seeding or sticking: 2027-03-01, or 1 mar.",
    "last day": "Of the calendar, after the last crop is dried: 2027-12-15, or 15 dec.",
    PLACE: "Name, kind (field, hoop house, greenhouse, nursery), area, lamps: H1 hoop house 180 m2 lamps 16 h.",
    VARIETY: "Name and type: amber oil-unknown. Types: oil-unknown where nothing is known, oil-fitted, oil-zhang, "
    "fibre-subtropical, fibre-northern, day-neutral.",
    COHORT: "May be left out. Name, variety, nursery if any, place, plants, dates; lights off where there are lamps: "
    "{}.",
    FILE: "Where the season is kept; Enter makes it.",
}


class Note(NamedTuple):
    """What stands beside a row: what its answer is read as, or what is wrong with it."""

    text: str
    wrong: bool = False


@dataclass(frozen=True, slots=True)
class Filled:
    """A form as far as it is filled. notes: by row, where there is something to tell; values: the answers by the keys of the season file, with `records`."""

    values: dict[str, Any] = field(default_factory=dict)
    notes: dict[str, Note] = field(default_factory=dict)

    @property
    def wrong(self) -> str:
        """The first row with something wrong; "" where the season can be made."""
        return next((row for row, note in self.notes.items() if note.wrong), "")


def kind_of(row: str) -> str:
    """The kind of record in a row: "place" of "place 2"; of an answer its row."""
    return row.rstrip("0123456789 ")


def filled(typed: Mapping[str, str], reader: Reader) -> Filled:
    """Read a form. typed: what stands in each row, by ANSWERS, then by kind and number, such as "place 1"."""
    form = Filled()
    for row in ANSWERS:
        _read_answer(form, row, typed.get(row, ""), reader)
    for keys, wrong in reader.misfits(form.values):
        form.notes[_ROWS[keys[-1]]] = Note(wrong, wrong=True)
    _read_records(form, typed, reader)
    return form


def _read_answer(form: Filled, row: str, typed: str, reader: Reader) -> None:
    try:
        values = reader.read(ANSWERS[row], typed, form.values)
        if row == POSITION and LONGITUDE not in values:
            raise ValueError("position has no longitude yet; write both, such as 44.5 N 123.2 W")
    except ValueError as wrong:
        form.notes[row] = Note(str(wrong), wrong=True)
        return
    form.values.update(values)
    form.notes[row] = Note(_read_back(row, form.values, reader))


def _read_back(row: str, values: Mapping[str, Any], reader: Reader) -> str:
    if row == POSITION:
        sky = "" if is_at_sea(values) else f", {_sky_text(values, reader.today_at('UTC').year)}"
        return f"{position_read(values)}{sky}"
    if row == ZONE:
        return _zone_text(values, reader)
    value = values[ANSWERS[row]]
    if not isinstance(value, date):
        return ""
    first = values.get("first_day", value)  # a year too many shows in their number
    return (
        f"{full_day_text(value)}, {(value - first).days} days later"
        if value > first
        else full_day_text(value)
    )


def _sky_text(values: Mapping[str, Any], year: int) -> str:
    """The day about the solstice of June, by which a wrong sign of the latitude shows."""
    day = date(year, 6, 21)
    length = day_lengths_h(values[LATITUDE], values[LONGITUDE], ZoneInfo("UTC"), day, day)[0]
    return f"{day_text(day)} {hours_text(length)}"


def _zone_text(values: Mapping[str, Any], reader: Reader) -> str:
    zones = zones_of(values)
    if values["timezone"] in zones:
        others = [zone for zone in zones if zone != values["timezone"]]
        return "of the position" + (f"; {' or '.join(others)} too" if others else "")
    unlikely = reader.doubt(values) if LONGITUDE in values else ""
    return unlikely or (f"the position is in {zones[0]}" if zones else "")


def _read_records(form: Filled, typed: Mapping[str, str], reader: Reader) -> None:
    rows = [row for row in typed if kind_of(row) in KINDS and typed[row].strip()]
    if not {"first_day", "last_day"} <= form.values.keys():
        form.notes.update((row, Note("read once the dates above are right", wrong=True)) for row in rows)
        return
    lines = Lines(form.values, reader.today_at(form.values.get("timezone", "UTC")), reader.order)
    for row in rows:
        try:
            record = lines.add(kind_of(row), typed[row])
            text = record_text(kind_of(row), record).partition(": ")[2]
            form.notes[row] = Note("; ".join(filter(None, (lines.unlit_text(kind_of(row), record), text))))
        except ValueError as wrong:
            named = f"{kind_of(row)} {typed[row].split()[0].rstrip(',;:')}: "
            form.notes[row] = Note(str(wrong).removeprefix(named), wrong=True)
    form.values["records"] = lines.records


def meaning(row: str, form: Filled, reader: Reader) -> str:
    """What to know while typing a row."""
    kind = kind_of(row)
    if row == ZONE and is_at_sea(form.values):
        return "None is proposed, as the position lies at sea: look at its signs, or type a zone, such as America/Montevideo."
    if kind != COHORT:
        return MEANINGS[kind]
    lines = Lines(form.values, reader.today_at("UTC"), reader.order, form.values.get("records", {}))
    named = (
        lines.example(COHORT)
        if "first_day" in form.values and lines.records
        else "A1 amber H1 100 plants, seed 20 mar"
    )
    return MEANINGS[kind].format(named)


def read_form(typed: Mapping[str, str], reader: Reader) -> tuple[Filled, dict[str, str]]:
    """A form with what is proposed in the rows where nothing is typed; and these proposals, by row."""
    proposals = {FILE: proposed_file(typed.get(NAME, ""))}
    if zones := zones_of(filled({POSITION: typed.get(POSITION, "")}, reader).values):
        proposals[ZONE] = zones[0]
    texts = {**proposals, **typed}
    return filled({row: texts.get(row, "") for row in rows_of(texts)}, reader), proposals


def proposed_file(name: str) -> str:
    """A name of a file for a season's name: "hill-farm-2027.toml"."""
    words = re.findall(r"\w+", name.casefold())
    return f"{'-'.join(words)[:60] or 'season'}.toml"


def sky_of(form: Filled, today: date) -> tuple[date, tuple[float, ...]] | None:
    """The first day and the natural day lengths, h, of the season, or of a year from today where its dates are not known
    yet; None without a position.
    """
    values = form.values
    if not {LATITUDE, LONGITUDE} <= values.keys():
        return None
    dated = {"first_day", "last_day"} <= values.keys() and not form.notes[_ROWS["last_day"]].wrong
    first = values["first_day"] if dated else today
    last = values["last_day"] if dated else today + timedelta(days=364)
    return first, _lengths_h(values[LATITUDE], values[LONGITUDE], first, last)


@lru_cache(maxsize=4)
def _lengths_h(latitude: float, longitude: float, first: date, last: date) -> tuple[float, ...]:
    return tuple(day_lengths_h(latitude, longitude, ZoneInfo("UTC"), first, last))


def names_of(row: str, typed: str, form: Filled) -> tuple[str, ...]:
    """What a row may be completed to, once its first word stands."""
    kind, (name, blank, _) = kind_of(row), typed.partition(" ")
    if row == ZONE:
        return (*zones_of(form.values), *_zones())
    return tuple(f"{name} {word}" for word in _WORDS.get(kind, ())) if blank else ()


_WORDS: Mapping[str, tuple[str, ...]] = {PLACE: PLACE_KINDS, VARIETY: tuple(variety_types())}


@cache
def _zones() -> tuple[str, ...]:
    return tuple(sorted(available_timezones()))


def rows_of(typed: Mapping[str, str]) -> Iterator[str]:
    """The rows that a form has: one more of each kind of record than is filled."""
    yield from ANSWERS
    for kind in KINDS:
        full = [row for row in typed if kind_of(row) == kind and typed[row].strip()]
        last = max((int(row.rpartition(" ")[2]) for row in full), default=0)
        yield from (f"{kind} {n}" for n in range(1, last + 2))
    yield FILE
