"""What the columns of a laboratory's file may be, proposed from its headers and cells, with what a person has to set."""

from __future__ import annotations

import re
from collections.abc import Callable, Iterator, Mapping, Sequence
from dataclasses import replace
from typing import NamedTuple

from calendar_tui.season.analyte_names import WATER, unit_named, without_unit
from calendar_tui.season.laboratory_columns import (
    ANALYTE,
    DAYS,
    LOD,
    LOQ,
    RESULT,
    SAMPLE,
    UNCERTAINTY,
    UNIT,
    LaboratoryColumns,
    misplaced,
    role_of,
    role_parts,
)
from calendar_tui.season.measured_texts import COMMA, POINT, read_file_date, read_uncertainty
from calendar_tui.season.readers import Unreadable, shown
from calendar_tui.season.table_lines import SEPARATORS, file_lines, line_cells

_MOST_LINES = 100
_FIGURE = re.compile(r"\d*[.,]\d+", re.ASCII)


class Proposal(NamedTuple):
    """columns: as far as they can be told; questions: (a field of them, or a header; what is to be set), in turn.

    headers: of all columns; where no header is known, the cells of the line that may be one.
    """

    columns: LaboratoryColumns
    questions: tuple[tuple[str, str], ...]
    headers: tuple[str, ...]


class _Table(NamedTuple):
    """headers, cells below them line by line, and the separator's word."""

    headers: Sequence[str]
    lines: Sequence[Sequence[str]]
    separator: str

    def cells_of(self, columns: LaboratoryColumns, *whats: str) -> Iterator[str]:
        """The texts in columns of these roles, or of limits and results of analytes."""
        at = [
            n
            for n, header in enumerate(self.headers)
            if role_parts(columns.columns.get(header, ""))[1] in whats
        ]
        return (line[n] for line in self.lines for n in at if n < len(line) and line[n])


def proposed_columns(
    file_text: str,
    laboratory: str = "",
    analytes: Mapping[str, str] = {},
    named: Mapping[str, str] = {},
) -> Proposal:
    """The columns of a file. analytes: what the laboratory calls by names of its own; named: what columns hold that a person has set.

    Nothing that may be meant in two ways is set: it is a question.
    """
    lines = file_lines(file_text)
    table = _table(lines, named)
    if table is None:
        word, headers = _widest(lines)
        columns = LaboratoryColumns(laboratory=laboratory, separator=word)
        cells = ", ".join(map(shown, headers))
        return Proposal(
            columns,
            ((SAMPLE, f"no header is known in this file; set the columns, which may be {cells}"),),
            tuple(headers),
        )
    roles = _roles(table.headers, named)
    columns = LaboratoryColumns(
        laboratory=laboratory, columns=roles, analytes=analytes, separator=table.separator
    )
    mark, doubt = _decimal(table, columns)
    columns = replace(columns, decimal=mark)
    unknown = [
        (header, f"column {shown(header)} is not known; set what it is, or ignored")
        for header in table.headers
        if header and header not in roles
    ]
    questions = [*unknown, *doubt, *(question for ask in _QUESTIONS for question in ask(table, columns))]
    return Proposal(columns, tuple(questions), tuple(filter(None, table.headers)))


def _table(lines: Sequence[str], named: Mapping[str, str]) -> _Table | None:
    """Header and cells, by the line and separator that give the most columns a role; None where there is no sample."""
    best, most = None, 0
    for at, line in enumerate(lines[:_MOST_LINES]):
        for word, sign in SEPARATORS.items():
            headers = _cells(line, sign)
            roles = [named.get(header) or role_of(header) for header in headers]
            known = sum(map(bool, roles))
            if known > most and SAMPLE in roles and any(role_parts(role)[1] == RESULT for role in roles):
                best, most = (at, word, headers), known
    if best is None:
        return None
    at, word, headers = best
    return _Table(headers, [_cells(line, SEPARATORS[word]) for line in lines[at + 1 :]], word)


def _widest(lines: Sequence[str]) -> tuple[str, list[str]]:
    """The separator and the cells of the first line that has the most of them filled: of a file whose headers nobody knows."""
    rows = [
        (word, list(filter(None, _cells(line, sign))))
        for line in lines[:_MOST_LINES]
        for word, sign in SEPARATORS.items()
    ]
    return max(rows, key=lambda row: len(row[1]))


def _cells(line: str, separator: str) -> list[str]:
    try:
        return line_cells(line, separator)
    except Unreadable:
        return []


def _roles(headers: Sequence[str], named: Mapping[str, str]) -> dict[str, str]:
    """The role of each header that has one. A role of the line goes to the first column that may have it, and is not named."""
    set_so = {named[header] for header in headers if header in named}
    roles: dict[str, str] = {}
    for header in headers:
        role = named.get(header) or role_of(header)
        of_line = role_parts(role)[1] != RESULT and not role_parts(role)[0]
        if role and (header in named or not of_line or role not in (*set_so, *roles.values())):
            roles.setdefault(header, role)
    return roles


_Question = tuple[str, str]


def _decimal(table: _Table, columns: LaboratoryColumns) -> tuple[str, list[_Question]]:
    marks = {
        mark
        for text in table.cells_of(columns, RESULT, LOD, LOQ, UNCERTAINTY)
        for mark in (POINT, COMMA)
        if _FIGURE.search(text) and mark in text
    }
    if len(marks) < 2:
        return next(iter(marks), POINT), []
    return "", [("decimal", "figures have points and commas; set which of them is the decimal mark")]


def _unit(table: _Table, columns: LaboratoryColumns) -> Iterator[_Question]:
    if UNIT in columns.columns.values():
        return
    results = [header for header, role in columns.columns.items() if role_parts(role)[1] == RESULT]
    bare = [header for header in results if not without_unit(header)[1]]
    if bare and not all(map(_has_unit, table.cells_of(columns, RESULT))):
        yield (
            "unit",
            f"the results of {', '.join(map(shown, bare))} have no unit; set it: %, mg/g, g/kg or ppm",
        )


def _has_unit(text: str) -> bool:
    return not text[:1].isdigit() or bool(unit_named(text.lstrip("0123456789., ")))


def _refused_cells(
    field: str, what: str, read: Callable[[str], object], *roles: str
) -> Callable[..., Iterator[_Question]]:
    """A question wherever a cell of these roles is refused as it stands."""

    def ask(table: _Table, columns: LaboratoryColumns) -> Iterator[_Question]:
        for text in table.cells_of(columns, *roles):
            try:
                read(text)
            except Unreadable as wrong:
                if "which may be" in str(wrong):
                    yield field, f"{what} {wrong}"
                    return

    return ask


def _misplaced(_table: _Table, columns: LaboratoryColumns) -> Iterator[_Question]:
    for header, role in columns.columns.items():
        if why := misplaced(role, columns):
            yield header, f"column {shown(header)} may be {shown(role)}, {why}"


def _dash(table: _Table, columns: LaboratoryColumns) -> Iterator[_Question]:
    if "-" in table.cells_of(columns, RESULT):
        yield "dash", 'some results are "-"; set whether that is not tested or not detected'


def _analytes(table: _Table, columns: LaboratoryColumns) -> Iterator[_Question]:
    names = dict.fromkeys(table.cells_of(columns, ANALYTE)) if columns.is_long else {}
    for name in names:
        if not columns.analyte(name):
            yield f"analyte {name}", f"{shown(name)} is not known; set what it is, such as THCA"


def _water(table: _Table, columns: LaboratoryColumns) -> Iterator[_Question]:
    """Of a file with water: its figures may be of the sample as it came, which are lower than those of its dry matter."""
    of_lines = map(columns.analyte, table.cells_of(columns, ANALYTE)) if columns.is_long else ()
    if WATER in (*columns.columns.values(), *of_lines):
        yield "basis", "it has water; set of what its figures are a share, the basis: dry or as received"
        yield "water_is", "it has water; set of what its water is a share: of total or of dry matter"


_QUESTIONS: tuple[Callable[[_Table, LaboratoryColumns], Iterator[_Question]], ...] = (
    _unit,
    _refused_cells("date_order", "a date", read_file_date, *DAYS),
    _refused_cells(
        "uncertainty", "an uncertainty", lambda text: read_uncertainty(text, "%", POINT), UNCERTAINTY
    ),
    _misplaced,
    _dash,
    _analytes,
    _water,
)
