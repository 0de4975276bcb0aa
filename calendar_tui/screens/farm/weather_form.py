"""The form in which a weather file is named and what it does not say is answered; below it stands what it brings and moves."""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from functools import partial
from pathlib import Path

from calendar_tui.planning.changes.held_season import HeldSeason
from calendar_tui.planning.changes.proposal import Proposal
from calendar_tui.planning.changes.weather_in import take_weather
from calendar_tui.screens.forms.blank import Blank, FormField, Typed
from calendar_tui.season.field import FILE_ORDERS, HEADING_ROLES
from calendar_tui.season.field_errors import FieldError, FieldErrors
from calendar_tui.season.readers import choices
from calendar_tui.season.weather_files.cells import UNITS
from calendar_tui.season.weather_files.reading import DATES, STATION, UNIT, Answers, Unanswered
from calendar_tui.season.weather_files.table import NoForm, read_table
from calendar_tui.storage.laboratory_text import weather_file_text

FILE, ORDER, COLUMN = "file", "date order", "column "
_LINES: Mapping[str, str] = {UNIT: "unit", STATION: "station", DATES: ORDER}
_ALLOWED: Mapping[str, tuple[str, ...]] = {"unit": tuple(UNITS), ORDER: FILE_ORDERS}


def taking_weather_in(folder: Path) -> Blank:
    """A form for a weather file. folder: where it is looked for."""
    return Blank(
        "Take in a weather file",
        "as it was downloaded; answers are kept",
        partial(_fields, folder),
        _read,
        partial(_propose, folder),
    )


def _fields(folder: Path, held: HeldSeason, typed: Typed) -> Sequence[FormField]:
    return [
        FormField(FILE, "", "", f"its name in {folder.name or folder}, or its path"),
        FormField("unit", "", "", "where neither file nor form says it", _ALLOWED["unit"]),
        FormField("station", "", "", "of a file with several"),
        FormField(ORDER, "", "", "of dates of numbers alone", FILE_ORDERS),
        *_column_fields(folder, typed),
    ]


def _column_fields(folder: Path, typed: Typed) -> Iterator[FormField]:
    """A line for each column of a file of no known form, and for those that are set."""
    headings = [words.removeprefix(COLUMN) for words in typed if words.startswith(COLUMN)]
    if typed.get(FILE, "").strip():
        try:
            read_table(_text(folder, typed), {})
        except NoForm as wrong:
            headings = [*dict.fromkeys((*wrong.headings, *headings))]
        except ValueError:  # told where it is proposed
            pass
    for heading in headings:
        yield FormField(f"{COLUMN}{heading}", "", "", "what it holds", HEADING_ROLES, "Columns")


def _read(_held: HeldSeason, words: str, text: str) -> str:
    allowed = HEADING_ROLES if words.startswith(COLUMN) else _ALLOWED.get(words, ())
    if text.strip() and allowed and text.strip() not in allowed:
        raise ValueError(f'"{text}" is none of these{choices(text, allowed)}')
    return ""


def _text(folder: Path, typed: Typed) -> str:
    return weather_file_text(folder / Path(typed.get(FILE, "").strip()).expanduser())


def _propose(folder: Path, held: HeldSeason, typed: Typed) -> Proposal:
    if not (name := typed.get(FILE, "").strip()):
        raise FieldErrors([FieldError(FILE, "", "it is needed: the file as it was downloaded")])
    columns = {
        words.removeprefix(COLUMN): text.strip()
        for words, text in typed.items()
        if words.startswith(COLUMN) and text.strip()
    }
    unit, station, order = (typed.get(_LINES[key], "").strip() for key in (UNIT, STATION, DATES))
    said = Answers(unit, station, order, columns)
    try:
        return take_weather(held, Path(name).name, _text(folder, typed), said).proposal
    except Unanswered as asked:
        raise FieldErrors(
            [FieldError(_LINES[question.key], "", question.text) for question in asked.questions]
        ) from asked
