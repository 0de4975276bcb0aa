"""The lines of a field book's grid: a place, what it gets, and a cell for each variable that there is room for."""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from typing import NamedTuple

from rich.style import Style

from calendar_tui.planning.field_book.grid import Grid, GridRow
from calendar_tui.planning.trials.ground_map import treatment_name
from calendar_tui.screens.kit.drawing import BOLD, CURSOR, DIM, HEADING, PLAIN, WARNING, ListRow, fitted, row
from calendar_tui.season.cells import cell_len
from calendar_tui.season.observing import Variable

# What is to be filled in, and behind a value: that it is not in the file yet, or could not be brought there.
TO_FILL, WAITS, NOT_SAVED = "____", "~", "!"
LOST = "x"
# Cells of a variable at least and at most; of what a plot gets at most; from how many columns on that is shown.
LEAST_CELL, MOST_CELL, MOST_TREATMENT, WIDE = 8, 18, 24, 60
_GAP = 2


class Longest(NamedTuple):
    """Cells of the longest name of a place, and of the longest text of what one gets."""

    name: int
    treatment: int


class Columns(NamedTuple):
    """Cells of a place's name, of what it gets (0: not shown) and of each variable; which variables are shown."""

    name: int
    treatment: int
    cell: int
    shown: range

    @property
    def width(self) -> int:
        return self.name + self.treatment + self.cell * len(self.shown)


class Typing(NamedTuple):
    """The cell under the cursor. variable: its place among all; text: as it is typed, None while it is not."""

    at: str
    variable: int
    text: str | None = None


def head_text(variable: Variable) -> str:
    """ "height cm", "stand"."""
    return f"{variable.id} {variable.unit_text}".rstrip()


def longest_of(grid: Grid) -> Longest:
    """Of all lines of a grid, of which there are hundreds."""
    return Longest(
        max(cell_len(text) for text in (*(one.at for one in grid.rows), _unit(grid))),
        max((cell_len(_treatment(one)) for one in grid.rows), default=0),
    )


def columns_of(grid: Grid, longest: Longest, width: int, at: int) -> Columns:
    """at: the variable under the cursor, which is always shown."""
    name = longest.name + _GAP
    treatment = min(longest.treatment, MOST_TREATMENT) + _GAP if longest.treatment and width >= WIDE else 0
    heads = max((cell_len(head_text(one)) for one in grid.variables), default=0)
    cell = min(max(heads, LEAST_CELL), MOST_CELL) + _GAP
    room = max((width - name - treatment) // cell, 1)
    first = min(max(at - room + 1, 0), max(len(grid.variables) - room, 0))
    return Columns(name, treatment, cell, range(first, min(first + room, len(grid.variables))))


def _unit(grid: Grid) -> str:
    return "plot" if grid.walk else "cohort"


def _treatment(one: GridRow) -> str:
    return "" if one.plot is None else treatment_name(one.plot)


def heads_row(grid: Grid, at: Columns, current: int) -> ListRow:
    """The names of the variables above their cells; what is out of sight is told at the ends."""
    parts: list[tuple[str, Style]] = [(fitted(_unit(grid), at.name), DIM)]
    parts += [(fitted("gets", at.treatment), DIM)] if at.treatment else []
    for n in at.shown:
        head = fitted(
            head_text(grid.variables[n]), min(cell_len(head_text(grid.variables[n])), at.cell - _GAP)
        )
        parts.append((f" {head.rjust(at.cell - _GAP)} ", HEADING if n == current else PLAIN))
    hidden = len(grid.variables) - len(at.shown)
    parts += [(f"{hidden} more", DIM)] if hidden else []
    return row(*parts)


def grid_rows(grid: Grid, marks: Mapping[tuple[str, str], str], at: Columns, width: int) -> Iterator[ListRow]:
    """marks: of the values that are not in the file, by place and variable."""
    for one in grid.rows:
        if one.lost:
            text = f"{LOST} {one.lost}"
            parts = [(fitted(one.at, at.name), DIM), (fitted(_treatment(one), at.treatment), DIM)]
            yield row(*parts, (fitted(text, max(width - at.name - at.treatment, 1)), WARNING))
        else:
            yield row(*line_parts(grid, one, marks, at, None), key=one.at)


def line_parts(
    grid: Grid, one: GridRow, marks: Mapping[tuple[str, str], str], at: Columns, here: Typing | None
) -> Sequence[tuple[str, Style]]:
    """The cells of a line. here: the one under the cursor, in brackets so that it is seen without colours too."""
    style = BOLD if here is not None else PLAIN
    parts = [(fitted(one.at, at.name), style)]
    parts += [(fitted(_treatment(one), at.treatment), DIM)] if at.treatment else []
    for n in at.shown:
        variable = grid.variables[n]
        text = _cell_text(grid, one, variable)
        mark = marks.get((one.at, variable.id), " ")
        if here is not None and here.variable == n:
            typed = here.text
            inside = text if typed is None else f"{typed}_"
            parts += [
                ("[", BOLD),
                (_right(inside, at.cell - _GAP), CURSOR if typed is None else BOLD),
                ("]", BOLD),
            ]
        else:
            parts.append((f" {_right(text, at.cell - _GAP)}{mark}", WARNING if mark == NOT_SAVED else PLAIN))
    return parts


def _cell_text(grid: Grid, one: GridRow, variable: Variable) -> str:
    if not grid.takes(one, variable):
        return ""
    value = grid.values.get((one.at, variable.id), "")
    return value or (TO_FILL if (one.at, variable.id) in grid.due else "")


def _right(text: str, width: int) -> str:
    """Flush right; of what is too long the end is shown where it is typed."""
    while cell_len(text) > width:
        text = text[1:]
    return " " * (width - cell_len(text)) + text
