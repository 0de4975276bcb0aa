"""Where plots lie and how they are numbered: in the order in which they are walked, back and forth (serpentine).

Row 1 is the nearest to whoever stands at the gate, column 1 the leftmost. Each block begins a new line of plots.
"""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from itertools import groupby
from operator import attrgetter

from calendar_tui.nature.layouts.plots import GUARD, Plot

FRONT_LEFT, FRONT_RIGHT, BACK_LEFT, BACK_RIGHT = CORNERS = (
    "front left",
    "front right",
    "back left",
    "back right",
)
ACROSS, AWAY = DIRECTIONS = ("across", "away")


@dataclass(frozen=True, slots=True, kw_only=True)
class Walk:
    """corner: where plot 101 lies, as seen from the gate. direction: along which the first line runs, across or away from it.

    columns: plots of a line; 0 for a block in one line. border: lines of guard plots all around.
    """

    corner: str = FRONT_LEFT
    direction: str = ACROSS
    columns: int = 0
    border: int = 0

    def __post_init__(self) -> None:
        """Raises ValueError for words that are not known and figures under 0."""
        for name, word, words in (
            ("corner", self.corner, CORNERS),
            ("direction", self.direction, DIRECTIONS),
        ):
            if word not in words:
                raise ValueError(f'{name} is "{word}"; write one of: {", ".join(words)}')
        if self.columns < 0 or self.border < 0:
            raise ValueError("columns and border must be 0 or more")


@dataclass(frozen=True, slots=True)
class Placed:
    """A plot with its number and where it lies, row and column from 1. number: 0 for a guard plot."""

    plot: Plot
    number: int
    row: int
    column: int


@dataclass(frozen=True, slots=True)
class _Spot:
    """A plot in a line, both from 0, in the order in which lines are walked."""

    plot: Plot
    line: int
    place: int

    @property
    def walked(self) -> tuple[int, int]:
        return self.line, self.place if self.line % 2 == 0 else -self.place


def placed(plots: Sequence[Plot], walk: Walk) -> list[Placed]:
    """The plots in walking order, then the guard plots, where a border is wanted or a line is not full.

    Hundreds are the block, or thousands where a block has over 99 plots. Raises ValueError where a main plot or incomplete
    block would be torn apart.
    """
    columns = walk.columns or max(plot.place for plot in plots) + 1
    spots = sorted(_spots(plots, columns), key=attrgetter("walked"))
    _refuse_torn(spots, columns)
    lines = spots[-1].line + 1
    base = 100 if max(plot.place for plot in plots) < 99 else 1000
    numbered = [
        _placed(spot, block * base + count, lines, columns, walk)
        for block, held in groupby(spots, key=lambda spot: spot.plot.block)
        for count, spot in enumerate(held, 1)
    ]
    return numbered + _guards(numbered, lines, columns, walk)


def _spots(plots: Sequence[Plot], columns: int) -> list[_Spot]:
    spots: list[_Spot] = []
    first = 0
    for _, held in groupby(plots, key=lambda plot: plot.block):
        block = [_Spot(plot, first + plot.place // columns, plot.place % columns) for plot in held]
        first = block[-1].line + 1
        spots += block
    return spots


def _refuse_torn(spots: Iterable[_Spot], columns: int) -> None:
    """A main plot lies within a line or fills whole lines; strips run through all lines of a block by themselves."""
    lines: dict[tuple[int, int], set[int]] = {}
    parts: dict[int, set[int]] = {}
    for spot in spots:
        if spot.plot.parts:
            lines.setdefault((spot.plot.block, spot.plot.parts[0]), set()).add(spot.line)
            parts.setdefault(spot.line, set()).add(spot.plot.parts[0])
    for (block, part), held in sorted(lines.items()):
        shared = [line for line in held if len(parts[line]) > 1]
        if len(held) > 1 and shared and not _is_strip(spots, block, part):
            raise ValueError(
                f"lines of {columns} plots tear main plot or incomplete block {part} of block {block} apart; "
                f"set columns so that it lies within one line or fills whole lines"
            )


def _is_strip(spots: Iterable[_Spot], block: int, part: int) -> bool:
    """Whether all of it stands in one column."""
    return (
        len({spot.place for spot in spots if (spot.plot.block, spot.plot.parts[:1]) == (block, (part,))}) == 1
    )


def _placed(spot: _Spot, number: int, lines: int, columns: int, walk: Walk) -> Placed:
    """From a line and a place in it, both in walking order, to a row and a column as seen from the gate."""
    row, column = (spot.line, spot.place) if walk.direction == ACROSS else (spot.place, spot.line)
    rows, wide = (lines, columns) if walk.direction == ACROSS else (columns, lines)
    far, side = walk.corner.split()
    row = rows - 1 - row if far == "back" else row
    column = wide - 1 - column if side == "right" else column
    return Placed(spot.plot, number, row + 1 + walk.border, column + 1 + walk.border)


def _guards(numbered: Sequence[Placed], lines: int, columns: int, walk: Walk) -> list[Placed]:
    """A guard plot on every free place of the grid, row by row; of no block."""
    rows, wide = (lines, columns) if walk.direction == ACROSS else (columns, lines)
    taken = {(one.row, one.column) for one in numbered}
    return [
        Placed(Plot(0, place, (), entry=GUARD), 0, row, column)
        for place, (row, column) in enumerate(
            (row, column)
            for row in range(1, rows + 2 * walk.border + 1)
            for column in range(1, wide + 2 * walk.border + 1)
            if (row, column) not in taken
        )
    ]
