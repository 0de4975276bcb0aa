"""The map of a trial in rows: each plot as it lies, the one under the cursor marked, with as many columns as there is room for."""

from __future__ import annotations

from collections.abc import Iterator, Mapping

from rich.style import Style

from calendar_tui.handing_on.words.trial_map import (
    PlaceCells,
    columns_line,
    gate_line,
    map_cells,
    number_room,
    place_line,
    sign_lines,
)
from calendar_tui.screens.kit.drawing import CURSOR, HEADING, PLAIN, ListRow, row, wrapped
from calendar_tui.screens.kit.themes import named
from calendar_tui.season.cells import cut_text, filled
from calendar_tui.season.records import Season
from calendar_tui.season.trials import Trial, TrialPlot

# Before the plot under the cursor, so that it is seen without colours too.
POINTER = ">"
_LOST, _GUARD = named("clash"), named("faint")


def map_rows(season: Season, trial: Trial, at: str, width: int) -> tuple[list[ListRow], Mapping[str, range]]:
    """The rows of the map, and by the ids of plots the rows that each takes. at: the id of the plot under the cursor."""
    places, names = map_cells(season, trial, width - 1)
    rows: list[ListRow] = []
    lines: dict[str, range] = {}
    for one in places:
        rows.append(row((place_line(trial, one.ground), HEADING)))
        room = max(one.room, len(POINTER) + number_room(one))
        shown = _columns(one, at, max(1, (width - 1) // room))
        if len(shown) < one.ground.columns:
            rows += wrapped(columns_line(one.ground, shown), width, "  ")
        for line in range(one.ground.rows, 0, -1):
            drawn = [*_row_of_plots(one, line, shown, room, at)]
            taken = range(len(rows), len(rows) + len(drawn))
            lines |= {plot.id: taken for (on, _), plot in one.ground.plots.items() if on == line}
            rows += drawn
        rows += [row(gate_line(trial)), row()]
    for text in sign_lines(trial, places, names, width):
        rows += wrapped(text, width, "", "  ", named("legend"))
    return rows, lines


def _columns(one: PlaceCells, at: str, most: int) -> range:
    """The columns that are drawn: all, or as many as there is room for, around the plot under the cursor."""
    last = one.ground.columns
    if last <= most:
        return range(1, last + 1)
    column = next((plot.column for plot in one.ground.plots.values() if plot.id == at), 1)
    first = min(max(column - most // 2, 1), last - most + 1)
    return range(first, first + most)


def _row_of_plots(one: PlaceCells, line: int, shown: range, room: int, at: str) -> Iterator[ListRow]:
    """A row of plots: their numbers, and below these what they get, where any gets something."""
    for nth in (0, 1) if any(one.cells.get((line, column), ("", ""))[1] for column in shown) else (0,):
        parts: list[tuple[str, Style]] = []
        for column in shown:
            plot = one.ground.plots.get((line, column))
            text = one.cells[line, column][nth] if plot else ""
            here = plot is not None and plot.id == at
            sign = POINTER if here and nth == 0 else " "
            cell = filled(cut_text(f"{sign}{text}", room - 1), room - 1)
            parts += [(cell, CURSOR if here else _style(plot)), (" ", PLAIN)]
        yield row(*parts)


def _style(plot: TrialPlot | None) -> Style:
    if plot is None:
        return PLAIN
    return _LOST if plot.lost is not None else _GUARD if plot.is_guard else PLAIN
