"""A laboratory's file as rows and problems. Nothing is dropped: each line ends in rows, in a problem, or in the lines kept aside.

The text is CSV with a line an analyte (long) or a line a sample (wide). Each line is read by itself, so that a quote that is
opened and not closed takes no others with it. What may be read in two ways is refused until the columns set which.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from typing import NamedTuple

from calendar_tui.season.laboratory_columns import (
    ANALYTE,
    IGNORED,
    RESULT,
    SAMPLE,
    LaboratoryColumns,
    is_role,
    misplaced,
    role_parts,
)
from calendar_tui.season.laboratory_rows import LaboratoryRow, LineProblem, read_line
from calendar_tui.season.readers import Unreadable, choices, shown
from calendar_tui.season.sample_ids import plain_id
from calendar_tui.season.table_lines import SEPARATORS, file_lines, line_cells

_MOST_HEADERS = 100  # lines before the header, where a laboratory has its letterhead


class KeptLine(NamedTuple):
    """A line that has no results: before the header, the header itself, blank, or of an analyte that is set to be ignored."""

    line: int
    text: str


@dataclass(frozen=True, slots=True)
class LaboratoryReading:
    """Rows and problems in the order of their lines, and the lines kept aside; headers: the cells of the header, () where there is none."""

    rows: tuple[LaboratoryRow, ...]
    problems: tuple[LineProblem, ...]
    kept: tuple[KeptLine, ...]
    headers: tuple[str, ...] = ()


def read_laboratory_file(file_text: str, columns: LaboratoryColumns) -> LaboratoryReading:
    """The rows and problems of a file by its columns. Raises nothing."""
    lines = file_lines(file_text)
    at, headers = _header(lines, columns)
    if at < 0:
        return LaboratoryReading((), (LineProblem(1, _no_header(columns), len(lines)),), ())
    kept = [KeptLine(n, text) for n, text in enumerate(lines[: at + 1], start=1)]
    if wrong := _header_problem(headers, columns):
        return LaboratoryReading((), (LineProblem(at + 1, wrong, len(lines)),), tuple(kept[:-1]))
    rows: list[LaboratoryRow] = []
    problems = [LineProblem(at + 1, text, at + 1) for text in _unset(headers, columns)]
    for n, text in enumerate(lines[at + 1 :], start=at + 2):
        if not text.strip(" \t,;"):
            kept.append(KeptLine(n, text))
            continue
        read = list(read_line(n, text, headers, columns))
        if not read:
            kept.append(KeptLine(n, text))
        for one in read:
            (rows if isinstance(one, LaboratoryRow) else problems).append(one)  # type: ignore[arg-type]
    rows, again = _without_repeats(rows)
    return LaboratoryReading(tuple(rows), tuple(sorted([*problems, *again])), tuple(kept), tuple(headers))


def _header(lines: Sequence[str], columns: LaboratoryColumns) -> tuple[int, list[str]]:
    """Where the header stands, from 0, and its cells: the first line with a sample and a result. -1 where there is none."""
    for at, line in enumerate(lines[:_MOST_HEADERS]):
        try:
            cells = line_cells(line, SEPARATORS[columns.separator])
        except Unreadable:
            continue
        roles = [columns.columns.get(cell, "") for cell in cells]
        if SAMPLE in roles and any(role_parts(role)[1] == RESULT for role in roles):
            return at, cells
    return -1, []


def _no_header(columns: LaboratoryColumns) -> str:
    needed = [header for header, role in columns.columns.items() if role in (SAMPLE, ANALYTE, RESULT)]
    named = ", ".join(map(shown, needed)) or "a sample and a result"
    return (
        f"no line of the file has the columns {named} with a {columns.separator} between them; set the columns and the "
        "separator of this laboratory"
    )


def _header_problem(headers: Sequence[str], columns: LaboratoryColumns) -> str:
    """Why no line below this header can be read; "" where they can."""
    filled = [header for header in headers if header]
    twice = next((header for header in filled if filled.count(header) > 1), "")
    if twice:
        return f"column {shown(twice)} stands twice in the header; give each its own name"
    roles = [columns.columns[header] for header in headers if header in columns.columns]
    odd = next((role for role in roles if not is_role(role)), "")
    if odd:
        return f"{shown(odd)} is no role of a column{choices(odd, (SAMPLE, RESULT))}"
    single = [role for role in roles if not role_parts(role)[0] and role not in (IGNORED, RESULT)]
    again = next((role for role in single if single.count(role) > 1), "")
    if again:
        return f'two columns are set as "{again}"; set one of them as "{IGNORED}"'
    if columns.is_long and RESULT not in roles:
        return f'the file has a column "{ANALYTE}" and none that is set as "{RESULT}"; set it'
    return ""


def _unset(headers: Sequence[str], columns: LaboratoryColumns) -> Iterator[str]:
    """A sentence for each column of which nothing is read, unless it is set to be ignored."""
    for header in filter(None, headers):
        role = columns.columns.get(header, "")
        if not role:
            yield f'column {shown(header)} is not set, so nothing in it is read; set what it is, or "{IGNORED}"'
        elif why := misplaced(role, columns):
            yield f"column {shown(header)} is set as {shown(role)}, {why}"


def _is_alike(one: LaboratoryRow, other: LaboratoryRow) -> bool:
    """Whether two lines have one figure in two units, such as 0.30 mg/g and 0.03 %."""
    return one.unit != other.unit and (one.state, one.percent) == (other.state, other.percent)


def _without_repeats(rows: Sequence[LaboratoryRow]) -> tuple[list[LaboratoryRow], list[LineProblem]]:
    """The first of each sample, however it is spelt, analyte and report; the others as problems."""
    firsts: dict[tuple[str, str, str], LaboratoryRow] = {}
    problems: list[LineProblem] = []
    for row in rows:
        first = firsts.setdefault((plain_id(row.sample), row.analyte, row.report), row)
        if first is not row and row.text.strip() and not _is_alike(first, row):
            problems.append(
                LineProblem(
                    row.line,
                    f"{row.analyte} of {shown(row.sample)} is {shown(row.text)} here and {shown(first.text)} on line "
                    f"{first.line} already; keep one, or give a repeat its own report number",
                    row.line,
                )
            )
    return list(firsts.values()), problems
