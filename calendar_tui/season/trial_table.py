"""A table of plots from anywhere: its columns by name, levels and numbers read as they are written, or refused with the line.

Tab, semicolon or comma between cells, a decimal point or comma, a byte order mark or none. Nothing is guessed: text where a number
should be, a line of another length and a mark that may be read in two ways are named.
"""

from __future__ import annotations

import re
from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from typing import NamedTuple

from calendar_tui.season.measured_texts import COMMA, POINT, is_below
from calendar_tui.season.readers import Unreadable, choices, shown
from calendar_tui.season.refusal import Refusal
from calendar_tui.season.table_lines import SEPARATORS, file_lines, line_cells, separator_of

DECIMALS: Mapping[str, str] = {"point": POINT, "comma": COMMA}
MISSING = frozenset(("", ".", "na", "n/a"))
_NUMBER = re.compile(r"[+-]?(?:\d+(?:[.,]\d*)?|[.,]\d+)(?:e[+-]?\d{1,3})?", re.ASCII | re.IGNORECASE)
_THOUSANDS = re.compile(r"[+-]?[1-9]\d{0,2}(?:,\d{3})+", re.ASCII)
_WITH_COMMA = re.compile(r"[+-]?\d+,\d+", re.ASCII)
_MOST_NAMED = 5


class Line(NamedTuple):
    """A line of a file, from 1, and its cells."""

    number: int
    cells: tuple[str, ...]


@dataclass(frozen=True, slots=True)
class TrialTable:
    """file: its name, for messages; headers as they are written; lines below them that are not blank; separator: between cells."""

    file: str
    headers: tuple[str, ...]
    lines: tuple[Line, ...]
    separator: str = ""

    def find(self, name: str, flag: str) -> str:
        """The header that a typed name means, capitals aside. Raises Refusal, with the nearest."""
        if name in self.headers:
            return name
        alike = [header for header in self.headers if header.casefold() == name.strip().casefold()]
        if len(alike) == 1:
            return alike[0]
        raise Refusal(
            f"{flag} {name}: {self.file} has no such column{choices(name, filter(None, self.headers), 'Columns')}"
        )

    def texts(self, header: str) -> tuple[str, ...]:
        at = self.headers.index(header)
        return tuple(line.cells[at] for line in self.lines)

    def at(self, rows: Sequence[int]) -> str:
        """ "FILE:12: " or "FILE:12, 40: " for a message about rows, from 0; "FILE: " about none."""
        if not rows:
            return f"{self.file}: "
        numbers = [str(self.lines[row].number) for row in sorted(rows)[:_MOST_NAMED]]
        more = f" and {len(rows) - _MOST_NAMED} more" if len(rows) > _MOST_NAMED else ""
        return f"{self.file}:{', '.join(numbers)}{more}: "


@dataclass(frozen=True, slots=True)
class Numbers:
    """A column of numbers. values: None where missing or under a limit; under: the rows of the latter."""

    values: tuple[float | None, ...]
    under: frozenset[int]


def read_trial_table(text: str, file: str) -> TrialTable:
    """Raises Refusal where the text is no table, with the line."""
    lines = [Line(n, (line,)) for n, line in enumerate(file_lines(text), start=1) if line.strip("\t ;,")]
    if len(lines) < 2:
        raise Refusal(
            f"{file} has no rows; write a header with the names of the columns, and a line a plot below it"
        )
    separator = separator_of(lines[0].cells[0])
    headers, *rows = (_apart(line, separator, file) for line in lines)
    if len(headers.cells) < 2:
        raise Refusal(
            f"{file}:{headers.number}: one column only; put a tab, semicolon or comma between the cells"
        )
    _refuse_doubled(headers, file)
    ragged = [row for row in rows if len(row.cells) != len(headers.cells)]
    if ragged:
        first = ragged[0]
        raise Refusal(
            f"{file}:{first.number}: {len(first.cells)} cells under {len(headers.cells)} columns with a "
            f"{_word(SEPARATORS, separator)} between them{_more(len(ragged))}; give each line a cell for each column"
        )
    return TrialTable(file, headers.cells, tuple(rows), separator)


def _apart(line: Line, separator: str, file: str) -> Line:
    try:
        return Line(line.number, tuple(line_cells(line.cells[0], separator)))
    except Unreadable as wrong:
        raise Refusal(f"{file}:{line.number}: {wrong}") from wrong


def _refuse_doubled(headers: Line, file: str) -> None:
    filled = [header.casefold() for header in headers.cells if header]
    doubled = next((header for header in headers.cells if filled.count(header.casefold()) > 1), "")
    if doubled:
        raise Refusal(
            f"{file}:{headers.number}: two columns are called {shown(doubled)}; give each its own name"
        )


def levels(table: TrialTable, header: str) -> tuple[str, ...]:
    """The labels in a column of levels; figures with a decimal comma as with a point. Raises Refusal for an empty one."""
    texts = table.texts(header)
    empty = [row for row, text in enumerate(texts) if not text]
    if empty:
        raise Refusal(f"{table.at(empty)}{header} is empty; write which level, block or place the plot has")
    return tuple(text.replace(",", ".") if _WITH_COMMA.fullmatch(text) else text for text in texts)


def alike_levels(labels: Sequence[str]) -> tuple[str, str] | None:
    """Two labels that differ in capitals alone, or are the same number; None where no two are."""
    seen: dict[object, str] = {}
    for label in sorted(set(labels)):
        key: object = label.casefold()
        if _NUMBER.fullmatch(label):
            key = float(label.replace(",", "."))
        if seen.setdefault(key, label) != label:
            return seen[key], label
    return None


def numbers(table: TrialTable, header: str, decimal: str = "") -> Numbers:
    """The numbers in a column. decimal: "point" or "comma", "" where the cells show which. Raises Refusal for text."""
    texts = table.texts(header)
    filled = {row: text for row, text in enumerate(texts) if text.casefold() not in MISSING}
    under = frozenset(row for row, text in filled.items() if is_below(text.replace(",", ".")))
    figures = {row: text for row, text in filled.items() if row not in under}
    words = [row for row, text in figures.items() if not _NUMBER.fullmatch(text)]
    if words:
        raise Refusal(
            f"{table.at(words)}{header} is {shown(figures[words[0]])}; write a number, or leave the cell empty or a point "
            "where there is none"
        )
    mark = DECIMALS[decimal] if decimal else _mark(table, header, figures)
    other = POINT if mark == COMMA else COMMA
    odd = [row for row, text in figures.items() if other in text]
    if odd:
        raise Refusal(
            f"{table.at(odd)}{header} is {shown(figures[odd[0]])} in a column with a decimal {_word(DECIMALS, mark)}; write all of "
            "them with one mark, and no thousands marks"
        )
    values = {row: float(text.replace(",", ".")) for row, text in figures.items()}
    return Numbers(tuple(values.get(row) for row in range(len(texts))), under)


def _mark(table: TrialTable, header: str, figures: Mapping[int, str]) -> str:
    """The decimal mark that the cells show."""
    commas = [row for row, text in figures.items() if COMMA in text]
    if not commas:
        return POINT
    if all(_THOUSANDS.fullmatch(figures[row]) for row in commas):
        raise Refusal(
            f"{table.at(commas)}{header} is {shown(figures[commas[0]])}, with a comma before thousands or decimals; add "
            "--decimal comma, or write the numbers without thousands marks"
        )
    return COMMA


def _word(signs: Mapping[str, str], sign: str) -> str:
    return next(word for word, one in signs.items() if one == sign)


def _more(count: int) -> str:
    return f", and {count - 1} more lines" if count > 1 else ""
