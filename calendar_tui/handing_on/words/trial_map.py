"""The map of a trial in text: as its plots are walked, the furthest row first, with north and the gate."""

from __future__ import annotations

from collections.abc import Callable, Iterator, Mapping, Sequence
from typing import NamedTuple

from calendar_tui.handing_on.words.plain_text import WIDTH, hanging
from calendar_tui.planning.trials.ground_map import (
    GroundMap,
    codes_of,
    level_name,
    levels_of,
    maps_of,
    treatment_name,
)
from calendar_tui.season.cells import cell_len, cut_text, filled
from calendar_tui.season.records import Season
from calendar_tui.season.refusal import Refusal
from calendar_tui.season.trials import LIGHT, Trial, TrialPlot

GUARD_SIGN, LOST_SIGN = "::", "x"
_GAP = 2
# Columns of a page of text, which a wide printer or an editor has room for.
_PAGE = 400
_ARROWS: Mapping[str, str] = {"back": "^ north", "front": "v north", "left": "< north", "right": "north >"}
_Label = Callable[[TrialPlot], str]


class PlaceCells(NamedTuple):
    """A place of a trial as it is written. cells: by row and column a plot's number and what it gets; room: columns of text a cell."""

    ground: GroundMap
    cells: Mapping[tuple[int, int], tuple[str, str]]
    room: int


def map_cells(season: Season, trial: Trial, width: int) -> tuple[list[PlaceCells], bool]:
    """Each place of a trial, and whether treatments go by their names there, and not by signs."""
    maps = maps_of(season, trial)
    names = all(_wide(one, treatment_name) <= width for one in maps)
    codes = codes_of(levels_of(trial, _plots(maps)))
    label: _Label = treatment_name if names else lambda plot: _code(plot, codes)
    return [
        PlaceCells(one, _cells(one, label), max(3, min(_wide(one, label), width) // one.columns))
        for one in maps
    ], names


def trial_map_text(season: Season, trial: Trial) -> bytes:
    """The map as a page of text, as wide as the names of its treatments need. Raises Refusal where nothing is drawn yet."""
    lines = list(map_lines(season, trial, _PAGE))
    if not lines:
        raise Refusal(
            f"trial {trial.id} has no plots yet; draw it first: calendar-tui trial {trial.id} --draw"
        )
    return ("\n".join([trial.name or trial.id, *lines]) + "\n").encode()


def map_lines(season: Season, trial: Trial, width: int = WIDTH) -> Iterator[str]:
    """Each place of a trial; with signs for treatments, and what they are, where their names do not fit."""
    places, names = map_cells(season, trial, width)
    for one in places:
        yield ""
        yield from _place_lines(trial, one, width)
    yield from sign_lines(trial, places, names, width)


def sign_lines(trial: Trial, places: list[PlaceCells], names: bool, width: int) -> Iterator[str]:
    """What the signs of a map stand for. names: whether treatments go by their names."""
    plots = _plots([one.ground for one in places])
    if not names:
        yield from _key_lines(trial, levels_of(trial, plots), width)
    if any(plot.lost is not None for plot in plots):
        yield f"{LOST_SIGN} lost, nothing of it counts"
    if any(plot.is_guard for plot in plots):
        yield f"{GUARD_SIGN} guard, never measured"


def _plots(maps: Sequence[GroundMap]) -> list[TrialPlot]:
    return [plot for one in maps for plot in one.plots.values()]


def _code(plot: TrialPlot, codes: Mapping[tuple[str, str], str]) -> str:
    return "".join(codes.get(pair, pair[1]) for pair in plot.treatment.items() if pair[0] != LIGHT)


def _key_lines(trial: Trial, levels: Mapping[str, Sequence[str]], width: int) -> Iterator[str]:
    codes = codes_of(levels)
    for factor, names in levels.items():
        named = ", ".join(
            f"{codes.get((factor, level), level)} {level_name(factor, level)}{_old(trial, factor, level)}"
            for level in names
        )
        yield from hanging(f"{factor}: {named}", width)


def _old(trial: Trial, factor: str, level: str) -> str:
    return "" if level in trial.factors.get(factor, ()) else " (of its plots alone, no level of the trial)"


def _cells(one: GroundMap, label: _Label) -> dict[tuple[int, int], tuple[str, str]]:
    """Two lines for each plot: its number, and what it gets."""
    return {spot: (_number(plot), "" if plot.is_guard else label(plot)) for spot, plot in one.plots.items()}


def _number(plot: TrialPlot) -> str:
    if plot.is_guard:
        return GUARD_SIGN
    return f"{plot.number}{LOST_SIGN if plot.lost is not None else ''}"


def _wide(one: GroundMap, label: _Label) -> int:
    cells = _cells(one, label).values()
    return one.columns * (_GAP + max(cell_len(text) for cell in cells for text in cell))


def place_line(trial: Trial, ground: GroundMap) -> str:
    """The place, its light, and where north lies: the line above its map."""
    level = f", {LIGHT} {ground.level}" if ground.level else ""
    return f"{ground.place}{level}   {_ARROWS[trial.north]}"


def gate_line(trial: Trial) -> str:
    """The line below a map: the side from which it is seen."""
    return f"gate; walked from the {trial.corner}, first {trial.direction}"


def _place_lines(trial: Trial, one: PlaceCells, width: int) -> Iterator[str]:
    """The map of a place; one that is too wide in strips of columns below each other, from the left."""
    yield place_line(trial, one.ground)
    room = max(one.room, number_room(one))
    strips = column_strips(one.ground.columns, max(1, width // room))
    for columns in strips:
        if len(strips) > 1:
            yield columns_line(one.ground, columns)
        for row in range(one.ground.rows, 0, -1):
            in_row = [one.cells.get((row, column), ("", "")) for column in columns]
            for texts in zip(*in_row, strict=True):
                if line := "".join(filled(cut_text(text, room - 1), room) for text in texts).rstrip():
                    yield line
    yield gate_line(trial)


def number_room(one: PlaceCells) -> int:
    """The columns of text that the longest number takes with a blank behind it."""
    return 1 + max(cell_len(number) for number, _ in one.cells.values())


def column_strips(last: int, most: int) -> list[range]:
    """Columns from 1 to the last in strips of so many at most, as even as they go."""
    count = -(-last // most)
    each = -(-last // count)
    return [range(first, min(first + each, last + 1)) for first in range(1, last + 1, each)]


def columns_line(ground: GroundMap, columns: range) -> str:
    """ "columns 1 to 9 of 26": above a part of a map."""
    return f"columns {columns.start} to {columns.stop - 1} of {ground.columns}"
