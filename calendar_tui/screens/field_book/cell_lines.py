"""Lines of cells with a cursor in two directions: typed in where they stand, and left by Enter or an arrow."""

from __future__ import annotations

from collections.abc import Callable, Iterable, Mapping
from typing import ClassVar

from rich.segment import Segment
from textual import events
from textual.binding import BindingType
from textual.message import Message

from calendar_tui.planning.field_book.grid import Grid, GridRow
from calendar_tui.screens.field_book.rows import (
    NOT_SAVED,
    Columns,
    Longest,
    Typing,
    columns_of,
    grid_rows,
    line_parts,
    longest_of,
)
from calendar_tui.screens.forms.line import EDITING, Line, proposed, typed
from calendar_tui.screens.kit.actions import bindings
from calendar_tui.screens.kit.drawing import BOLD, WARNING, ListRow, Picker, fitted, row
from calendar_tui.season.observing import MARK, Variable
from calendar_tui.season.readers import plain

# Cells that a note beside a cell has at least.
LEAST_NOTE = 16
# Letters with which a value begins, so that all others stay keys.
BEGINS = frozenset("0123456789.<>-")


def _nothing(width: int) -> Iterable[ListRow]:
    return ()


class CellLines(Picker):
    """grid: what is drawn; above, below: lines over and under it, on some of which the cursor stands too.

    leave: whether what was typed in a cell may be left, and handed on; by_enter: whether Enter was pressed.
    """

    BINDINGS: ClassVar[list[BindingType]] = bindings("cells")

    class Typed(Message):
        """What is typed is another, or is given up."""

    class Opened(Message):
        """Enter was pressed on a line below the grid."""

    def __init__(self, leave: Callable[[str, bool], bool]) -> None:
        super().__init__(self._rows)
        self._leave = leave
        self.grid: Grid | None = None
        self.marks: Mapping[tuple[str, str], str] = {}
        self.above = self.below = _nothing
        # Beside the cell under the cursor: what is wrong with it, or asked back.
        self.note = ""
        self.down = False
        self._column = 0
        self._line: Line | None = None
        # A letter typed draws one line, and measures none of the others again.
        self._measured: tuple[Grid, Longest] | None = None

    # --- what it stands on

    @property
    def at(self) -> GridRow | None:
        """The line under the cursor; None where it is below the grid."""
        rows = () if self.grid is None else self.grid.rows
        return next((one for one in rows if one.at == self.key), None)

    @property
    def variable(self) -> Variable | None:
        if self.grid is None or not self.grid.variables:
            return None
        return self.grid.variables[min(self._column, len(self.grid.variables) - 1)]

    @property
    def cell(self) -> tuple[str, str] | None:
        """The place and the variable under the cursor, where a value can stand."""
        at, variable = self.at, self.variable
        if self.grid is None or at is None or variable is None or not self.grid.takes(at, variable):
            return None
        return at.at, variable.id

    @property
    def typing(self) -> str | None:
        """What is typed in the cell, None while nothing is."""
        return None if self._line is None else self._line.text

    @property
    def column(self) -> int:
        return self._column

    def stand_in(self, cell: tuple[str, str]) -> None:
        """Put the cursor into a cell, and give up what is typed."""
        self._line = None
        names = [] if self.grid is None else [one.id for one in self.grid.variables]
        if cell[1] in names:
            self._column = names.index(cell[1])
        self.redraw()
        self.stand_on(cell[0])
        self.post_message(self.Moved())

    # --- what is drawn

    def _rows(self, width: int) -> Iterable[ListRow]:
        yield from self.above(width)
        if self.grid is not None:
            yield from grid_rows(self.grid, self.marks, self.columns(width), width)
        yield from self.below(width)

    def columns(self, width: int) -> Columns:
        assert self.grid is not None
        if self._measured is None or self._measured[0] is not self.grid:
            self._measured = self.grid, longest_of(self.grid)
        return columns_of(self.grid, self._measured[1], width, self._column)

    def _segments(self, at: ListRow) -> Iterable[Segment]:
        one = self.at
        if not at.key or at.key != self.key or one is None or self.grid is None:
            return super()._segments(at)
        here = Typing(one.at, self._column, self.typing)
        at_columns = self.columns(self._room())
        parts = line_parts(self.grid, one, self.marks, at_columns, here)
        room = self._room() - at_columns.width - 1
        note = [(f" {fitted(self.note, room)}", WARNING)] if self.note and room >= LEAST_NOTE else []
        return (Segment("> ", BOLD), *row(*parts, *note).segments)

    def say_beside(self, note: str) -> None:
        """Beside the cell under the cursor, where there is room."""
        if note != self.note:
            self.note = note
            self._redraw_line()

    def _redraw_line(self) -> None:
        if self._stops:
            self.refresh_line(self._stops[self._stop])

    # --- what is typed

    def check_consume_key(self, key: str, character: str | None) -> bool:
        """A letter is typed where something is being typed, else only what a value begins with."""
        return character is not None and character.isprintable() and self._takes(character)

    def _takes(self, letter: str) -> bool:
        return self._line is not None or (letter in BEGINS and self.cell is not None)

    def on_key(self, event: events.Key) -> None:
        letter = event.character
        if event.is_printable and letter is not None and self._takes(letter):
            event.stop()
            event.prevent_default()
            self._take(typed(self._line or Line(), letter))

    def on_paste(self, event: events.Paste) -> None:
        """Type what is pasted, its first line."""
        event.stop()
        event.prevent_default()
        if self.cell is not None and (lines := event.text.splitlines()):
            self._take(typed(self._line or Line(), plain(lines[0]).strip()))

    def _take(self, line: Line | None) -> None:
        self._line = line
        self._redraw_line()
        self.post_message(self.Typed())

    def open_cell(self, text: str) -> None:
        """Type in the cell, which begins with this."""
        self._take(Line(text, len(text)))

    def empty_cell(self) -> None:
        """As if all that stands in the cell had been taken out by hand."""
        self._line = Line()
        self._redraw_line()

    def give_up(self) -> None:
        """Type no more; what stood in the cell stands."""
        self._take(None)

    def action_edit(self, act: str) -> None:
        """Take letters out of what is typed, or of what stands there."""
        if self.cell is None or self.grid is None:
            return
        line = self._line if self._line is not None else proposed(self.grid.values.get(self.cell, ""))
        self._take(EDITING[act](line._replace(fresh=False)))

    # --- from cell to cell

    def may_go(self, by_enter: bool = False) -> bool:
        """Whether the cell may be left: what was typed there is handed on first."""
        if self._line is None:
            return True
        if not self._leave(self._line.text, by_enter):
            return False
        self._line = None
        return True

    def action_enter(self) -> None:
        """Hand on what is typed, and on to the next cell; words of a mark are begun; a line below is opened."""
        if self.at is None:
            self.post_message(self.Opened())
            return
        variable = self.variable
        if self._line is None and self.cell is not None and self.marks.get(self.cell) == NOT_SAVED:
            self._leave(self.grid.values.get(self.cell, "") if self.grid else "", True)
        elif self._line is None and variable is not None and variable.scale == MARK and self.cell is not None:
            self.open_cell("")
        elif self.may_go(by_enter=True):
            self._next()

    def action_column(self, by: int) -> None:
        """The cell beside; in the words of a mark, the letter."""
        if self.may_go():
            self._go_column(self._column + by)

    def _next(self) -> None:
        """Along the line and on to the next, or down the column and to the top of the next."""
        if self.grid is None or self.cell is None:
            self.action_step(1)
            return
        cells = list(self.grid.cells)
        if self.down:
            names = [one.id for one in self.grid.variables]
            cells.sort(key=lambda cell: names.index(cell[1]))
        after = cells[cells.index(self.cell) + 1 :]
        if after:
            self.stand_in(after[0])
        else:
            self._redraw_line()
            self.post_message(self.Moved())

    def _go_column(self, column: int) -> None:
        if self.grid is None:
            return
        column = min(max(column, 0), max(len(self.grid.variables) - 1, 0))
        if column != self._column:
            self._column = column
            self.redraw()
        else:
            self._redraw_line()
            self.post_message(self.Moved())

    def _go(self, stop: int) -> None:
        if self.may_go():
            super()._go(stop)
            self._redraw_line()
