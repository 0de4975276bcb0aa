"""The form in which it is set how a laboratory's file is written; below it stands what is taken and what is not."""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from functools import partial

from calendar_tui.nature.legal_limits import UNCERTAINTY_KINDS
from calendar_tui.nature.measured import BASES, UNITS, WATER_BASES
from calendar_tui.planning.changes.held_season import HeldSeason
from calendar_tui.planning.changes.laboratory_import import (
    SETTINGS,
    FileColumns,
    Given,
    columns_of_file,
    take_in,
)
from calendar_tui.planning.changes.proposal import Proposal
from calendar_tui.screens.forms.blank import Blank, FormField, Typed
from calendar_tui.season.analyte_names import MEASURED
from calendar_tui.season.field_errors import FieldError, FieldErrors
from calendar_tui.season.field_names import field_words, fields_of
from calendar_tui.season.finders import find_record
from calendar_tui.season.laboratory_columns import IGNORED, ROLES, read_columns
from calendar_tui.season.measured_texts import DASHES, DECIMAL_MARKS
from calendar_tui.season.table_lines import SEPARATORS
from calendar_tui.season.typed_dates import ORDERS

LABORATORY, COLUMN, ANALYTE = "laboratory", "column ", "analyte "
_NAMES: Mapping[str, tuple[str, ...]] = {
    "unit": tuple(UNITS),
    "decimal": tuple(DECIMAL_MARKS),
    "dash": tuple(DASHES),
    "date_order": tuple(ORDERS),
    "uncertainty": tuple(UNCERTAINTY_KINDS),
    "basis": tuple(BASES),
    "water_is": tuple(WATER_BASES),
    "separator": tuple(SEPARATORS),
}
_MARKS = {"point": ".", "comma": ","}
_WORDS = {key: field_words(LABORATORY, key) for key in SETTINGS}
_KEYS = {words: key for key, words in _WORDS.items()}
_MEANINGS = {field.key: field.meaning for field in fields_of(LABORATORY)}
_ROLES = (*MEASURED, *ROLES, IGNORED)


def taking_in(name: str, text: str, laboratory: str) -> Blank:
    """A form for a file of this name and text. laboratory: whose it is, "" where that is to be typed."""
    return Blank(
        f"Take in {name}",
        "what each column holds is kept by laboratory",
        partial(_fields, laboratory, text),
        _read,
        partial(_propose, laboratory, name, text),
        whole=True,
    )


def _fields(laboratory: str, text: str, held: HeldSeason, typed: Typed) -> Sequence[FormField]:
    names = tuple(held.plan.season.laboratories)
    first = FormField(LABORATORY, laboratory, "", "whose file it is", names)
    sound = {words: value for words, value in typed.items() if _reads(held, words, value)}
    try:
        columns, questions, headers = _columns(laboratory, text, held, sound)
    except ValueError:
        return [first, *_typed_fields(typed)]
    return [
        first,
        *_column_fields(columns.columns, headers),
        *_analyte_fields(columns.analytes, questions),
        *(
            FormField(words, str(getattr(columns, key)), "", _MEANINGS[key], _NAMES[key], "How it is written")
            for key, words in _WORDS.items()
        ),
    ]


def _reads(held: HeldSeason, words: str, text: str) -> bool:
    """Whether what is typed there makes sense by itself; the lines of the form are those without what does not."""
    try:
        _read(held, words, text)
    except ValueError:
        return False
    return True


def _typed_fields(typed: Typed) -> Iterator[FormField]:
    """What was typed, so that it can be put right."""
    return (FormField(words) for words in typed if words != LABORATORY)


def _column_fields(roles: Mapping[str, str], headers: Sequence[str]) -> Iterator[FormField]:
    for header in dict.fromkeys((*headers, *roles)):
        yield FormField(f"{COLUMN}{header}", roles.get(header, ""), "", "what it holds", _ROLES, "Columns")


def _analyte_fields(known: Mapping[str, str], questions: Sequence[tuple[str, str]]) -> Iterator[FormField]:
    open_ones = [key.removeprefix(ANALYTE) for key, _ in questions if key.startswith(ANALYTE)]
    for name in (*known, *open_ones):
        yield FormField(
            f"{ANALYTE}{name}", known.get(name, ""), "", "what it is", (*MEASURED, IGNORED), "Analytes"
        )


def _columns(laboratory: str, text: str, held: HeldSeason, typed: Typed) -> FileColumns:
    whose = typed.get(LABORATORY, laboratory).strip()
    if whose:
        whose = find_record("laboratory", held.plan.season, whose)
    return columns_of_file(held.plan.season, whose, text, _given(typed))


def _given(typed: Typed) -> Given:
    settings, columns, analytes = dict[str, str](), dict[str, str](), dict[str, str]()
    for words, text in typed.items():
        value = text.strip()
        if words in _KEYS and value:
            settings[_KEYS[words]] = _MARKS.get(value, value) if words == _WORDS["decimal"] else value
        elif words.startswith(COLUMN) and value:
            columns[words.removeprefix(COLUMN)] = value
        elif words.startswith(ANALYTE) and value:
            analytes[words.removeprefix(ANALYTE)] = value
    return Given(settings, columns, analytes)


def _read(held: HeldSeason, words: str, text: str) -> str:
    if words == LABORATORY:
        name = find_record("laboratory", held.plan.season, text)
        return "" if name == text.strip() else name
    settings, columns, analytes = _given({words: text})
    tables = {key: dict(table) for key, table in (("columns", columns), ("analytes", analytes)) if table}
    read_columns({**settings, **tables})
    return ""


def _propose(laboratory: str, name: str, text: str, held: HeldSeason, typed: Typed) -> Proposal:
    whose = typed.get(LABORATORY, laboratory).strip()
    if not whose:
        none = "" if held.plan.season.laboratories else "; there is none yet: add one on the farm first"
        raise FieldErrors([FieldError(LABORATORY, "", f"it is needed: whose file it is{none}")])
    columns, questions, _ = _columns(laboratory, text, held, typed)
    if questions:
        lines = {_line_of(key): question for key, question in questions}
        whole = FieldError("", "", f"still to be set: {', '.join(lines)}")
        raise FieldErrors([whole, *(FieldError(words, "", question) for words, question in lines.items())])
    whose = find_record("laboratory", held.plan.season, whose)
    taken = take_in(held, whose, name, text, columns)
    if taken.proposal is None:
        raise ValueError("; ".join((*taken.report, "nothing is added")))
    return taken.proposal


def _line_of(key: str) -> str:
    """The line of the form where a question is answered."""
    return _WORDS.get(key) or (key if key.startswith(ANALYTE) else f"{COLUMN}{key}")
