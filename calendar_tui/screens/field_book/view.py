"""The field book where one walks: a value typed, Enter, the next; each is saved as its cell is left, and the grid never waits."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from datetime import date
from functools import partial
from pathlib import Path
from typing import ClassVar

from textual import work
from textual.binding import BindingType
from textual.widgets import Input

from calendar_tui.handing_on.words.field_book_text import cell_texts, grid_title
from calendar_tui.planning.field_book.due import rounds_on
from calendar_tui.planning.field_book.entry import Entry
from calendar_tui.planning.field_book.findings import Offer
from calendar_tui.planning.field_book.grid import Grid
from calendar_tui.planning.plan import Plan
from calendar_tui.screens.asking.answers import Answer, OneChange, Question, answers
from calendar_tui.screens.asking.moves_view import MovesView
from calendar_tui.screens.field_book.below import Below, below_of, closed_rows, nothing_rows
from calendar_tui.screens.field_book.cell_lines import CellLines
from calendar_tui.screens.field_book.rows import heads_row
from calendar_tui.screens.field_book.sheet_form import read_sheet, taking_in
from calendar_tui.screens.field_book.typing import change_of, doubt_text, typed_entry
from calendar_tui.screens.field_book.unsaved import Cell, Unsaved, typed_text
from calendar_tui.screens.field_book.where import FILE, PROMPTS, Where
from calendar_tui.screens.forms.blank import Blank
from calendar_tui.screens.forms.form_view import FormView
from calendar_tui.screens.forms.record_forms import changing
from calendar_tui.screens.kit.actions import bindings, shown_key
from calendar_tui.screens.kit.drawing import (
    DIM,
    HEADING,
    PLAIN,
    WARNING,
    Bar,
    ListRow,
    first_rows,
    fitted,
    row,
    wrapped,
)
from calendar_tui.screens.kit.host import host
from calendar_tui.screens.kit.list_view import ListView
from calendar_tui.screens.kit.typed import TypedField
from calendar_tui.season.refusal import Refusal

FOOT = ("cells", "field book", "undo", "redo", "help", "view")
ASK_FOOT = ("typed setting",)
DETAIL_LINES, LOW_DETAIL_LINES, LEAST_HEIGHT = 4, 3, 20
# How often to look whether the file work is done, in seconds.
SETTLE_S = 0.3


class FieldBookView(ListView[None]):
    """Stays open; what it gives is None."""

    HELP_FIRST = "field book"
    CSS = f"#heading {{ height: 2; }} #detail {{ height: {DETAIL_LINES}; }}"
    BINDINGS: ClassVar[list[BindingType]] = bindings("field book", "undo", "redo")

    def __init__(self, walk: str | None = None, day: date | None = None, names: Sequence[str] = ()) -> None:
        """walk: a trial, or "" for the cohorts as a whole; None for the first; day: None for today; names: of the variables."""
        self._lines = CellLines(self._leave)
        self._detail, self._input = Bar(id="detail"), TypedField(id="setting")
        super().__init__(lambda width: (), FOOT, self._detail, self._input)
        self._list = self._lines
        self._where = Where(walk, day, tuple(names))
        self._unsaved, self._below_grid = Unsaved(), Below()
        # The cell and the text that were asked back; what is told, of a cell or of what is asked in the field below.
        self._asked: tuple[Cell, str] | None = None
        self._message, self._message_at = "", ("", "")
        self._asks = ""

    def on_mount(self) -> None:
        self._where = self._where._replace(who=host(self).who)
        self._lines.above, self._lines.below = self._above_rows, self._below_rows
        self._make()
        self._lines.redraw()
        self._stand_on_first()
        self._lines.focus()
        self._look_around()
        self.set_interval(SETTLE_S, self._settle)

    def on_resize(self) -> None:
        self._detail.styles.height = (
            DETAIL_LINES if self.app.size.height >= LEAST_HEIGHT else LOW_DETAIL_LINES
        )
        self._say()

    @property
    def day(self) -> date:
        return self._where.on(host(self).today)

    # --- what is shown

    def show_plan(self) -> None:
        """Draw what the file has now; what is being typed stays."""
        self._make()
        self._lines.redraw()
        self._say()
        self._look_around()

    def _make(self) -> None:
        """The grid as the season has it, with what is on its way into the file."""
        plan, grid = host(self).plan, None
        if plan is not None:
            self._unsaved.seen(plan.season)
            self._where, grid = self._where.there(plan)
        self._lines.grid, self._lines.marks = (None, {}) if grid is None else self._unsaved.over(grid)

    def _stand_on_first(self) -> None:
        """The first cell that is to be filled in, else the first of all."""
        if (grid := self._lines.grid) is not None:
            cells = list(grid.cells)
            empty = [cell for cell in cells if cell in grid.due and not grid.values.get(cell)]
            if cells:
                self._lines.stand_in((empty or cells)[0])

    @work(thread=True, exclusive=True, group="around")
    def _look_around(self) -> None:
        """What is due besides, what is missing from before, and how stages rise: not on the way of the next cell."""
        plan = host(self).plan
        if plan is None:
            return
        below = below_of(plan, host(self).preferences.first_weekday)
        self.app.call_from_thread(self._take_around, plan, below)

    def _take_around(self, plan: Plan, below: Below) -> None:
        if plan is host(self).plan and self.is_attached and below != self._below_grid:
            self._below_grid = below
            self._lines.redraw()

    def _above_rows(self, width: int) -> Iterable[ListRow]:
        plan, grid = host(self).plan, self._lines.grid
        return () if plan is None or grid is None else closed_rows(plan, grid, width)

    def _below_rows(self, width: int) -> Iterable[ListRow]:
        plan = host(self).plan
        if plan is None:
            return ()
        nothing = nothing_rows(plan.season, width) if self._lines.grid is None else ()
        return (*nothing, *self._below_grid.rows(plan.season, width))

    def on_picker_moved(self) -> None:
        if self._message_at != self._lines.cell and not self._asks:
            self._clear_message()
        self._say()

    def on_cell_lines_typed(self) -> None:
        self._clear_message()
        self._say()

    def _clear_message(self) -> None:
        self._asked, self._message = None, ""

    def _say(self) -> None:
        """The heading with day, person and how much is there; below, the cell: asked back or wrong, else what it is and was."""
        plan, grid = host(self).plan, self._lines.grid
        width = self.size.width or self.app.size.width
        if plan is None or grid is None:
            self._heading.say(row(("Field book", HEADING)))
            self._detail.say()
            return
        waiting, failed = self._unsaved.waiting, len(self._unsaved.failed)
        title, rest = grid_title(plan.season, grid, self._where.who, (waiting, failed), width)
        style = WARNING if failed else PLAIN
        at = self._lines.columns(max(width - 4, 1))
        self._heading.say(
            row((title, HEADING), (fitted(rest, max(width - len(title), 0)).rstrip(), style)),
            ListRow((*row("  ").segments, *heads_row(grid, at, self._lines.column).segments)),
        )
        lines = DETAIL_LINES if self.app.size.height >= LEAST_HEIGHT else LOW_DETAIL_LINES
        self._detail.say(*first_rows(self._detail_rows(plan, grid, width - 1), lines, width - 1))

    def _detail_rows(self, plan: Plan, grid: Grid, width: int) -> list[ListRow]:
        beside = "" if self._asks else self._message
        self._lines.say_beside(beside.removeprefix(" ".join(self._message_at) + ": "))
        if self._message:
            return wrapped(self._message, width, style=WARNING)
        if self._lines.at is None:
            enter = shown_key(self, "cells.enter")
            return wrapped(self._below_grid.text_at(plan.season, self._lines.key, enter), width)
        cell = self._lines.cell
        texts = [] if cell is None else cell_texts(plan.season, *cell, grid.day)
        return [line for text in texts for line in wrapped(text, width, "", "  ", DIM)]

    # --- what is typed

    def _leave(self, text: str, by_enter: bool) -> bool:
        """Hand on what was typed; what is wrong or asked back is told at its cell, which is not left before."""
        plan, cell, grid = host(self).plan, self._lines.cell, self._lines.grid
        if plan is None or cell is None or grid is None:
            return True
        if why := host(self).refusal:
            return self._stay(why)
        try:
            entry = typed_entry(plan.season, self.day, cell, text)
        except Refusal as wrong:
            return self._stay(f"{wrong}.")
        if typed_text(entry) == grid.values.get(cell, "") and entry.ident not in self._unsaved.failed:
            return True
        known = self._asked == (cell, text) and by_enter
        if not known and (doubt := doubt_text(plan.season, entry, grid.values.get(cell, ""))):
            self._asked = cell, text
            return self._stay(f"{doubt} {shown_key(self, 'cells.enter')} again if so.")
        self._hand_on(entry, self._unsaved.value_before(plan.season, entry))
        return True

    def _stay(self, message: str) -> bool:
        self._message, self._message_at = message, self._lines.cell or ("", "")
        self._say()
        return False

    def _hand_on(self, entry: Entry, was: str) -> None:
        """It stands in its cell from now on, and is saved in turn behind what was typed before it. was: what it replaces."""
        self._clear_message()
        self._unsaved.hand_on(entry)
        if (grid := self._lines.grid) is not None:
            self._lines.grid, self._lines.marks = self._unsaved.over(grid)
        host(self).save_made(partial(change_of, entry, was, self._where.who))
        self._lines.redraw()

    def _settle(self) -> None:
        """What no file work waits for any more, and is not in the file, was refused: it stays to be entered again."""
        if self._unsaved.waiting and not host(self).works_on_file and self._unsaved.settle():
            self._make()
            self._lines.redraw()
            self._say()

    # --- from cell to cell

    def action_missing(self, by: int) -> None:
        """The next cell that is to be filled in, or the one before; round at the ends."""
        grid, here = self._lines.grid, self._lines.cell
        if grid is None or not self._lines.may_go():
            return
        cells = list(grid.cells)
        at = cells.index(here) if here in cells else -1
        order = [*cells[at + 1 :], *cells[: at + 1]] if by > 0 else [*cells[:at][::-1], *cells[at:][::-1]]
        empty = [cell for cell in order if cell in grid.due and not grid.values.get(cell)]
        if empty:
            self._lines.stand_in(empty[0])
        else:
            self.notify("Nothing that is due here is missing.")

    def action_way(self) -> None:
        """Enter goes along the line, or down the column; change between them."""
        self._lines.down = not self._lines.down
        way = "down the column" if self._lines.down else "along the line, then to the next"
        self.notify(f"{shown_key(self, 'cells.enter')} goes {way}.")

    def action_take_out(self) -> None:
        """Take out what is recorded in the cell: it is missing then. Asked back."""
        cell, grid = self._lines.cell, self._lines.grid
        if cell is not None and grid is not None and grid.values.get(cell):
            self._lines.empty_cell()
            self._leave("", by_enter=False)

    def action_walk(self, by: int) -> None:
        """The next trial, or the cohorts as a whole; round at the ends."""
        plan = host(self).plan
        if plan is None or not self._lines.may_go():
            return
        self._show(self._where.beside(plan, by))

    def _show(self, where: Where) -> None:
        self._where = where
        self._clear_message()
        self._make()
        self._lines.redraw()
        self._stand_on_first()
        self._say()

    def on_cell_lines_opened(self) -> None:
        """The day of a round, or what a rise offers to be recorded."""
        plan, key = host(self).plan, self._lines.key
        if plan is None:
            return
        if (one := self._below_grid.round_at(key)) is not None:
            self._show(self._where.of_round(plan, one))
        elif (offer := self._below_grid.offer_at(plan.season, key)) is not None:
            self._record(plan, offer)

    @work(thread=True, exclusive=True, group="moves")
    def _record(self, plan: Plan, offer: Offer) -> None:
        act = Question(offer.cohort, offer.stage, offer.day, "not_yet" if offer.not_yet else "recorded")
        try:
            choices = answers(plan, act)
        except Refusal as wrong:
            self.app.call_from_thread(self._stay, f"{wrong}.")
            return
        self.app.call_from_thread(self._ask, act, choices)

    def _ask(self, act: Question | OneChange, choices: Sequence[Answer]) -> None:
        self.app.push_screen(MovesView(act, choices))

    async def action_open_task(self) -> None:
        """The week, at the task that asks for what is written down here: to tick it."""
        plan, grid = host(self).plan, self._lines.grid
        if plan is None or grid is None:
            return
        asking = [
            one
            for one in rounds_on(plan.season, grid.day)
            if self._where.of_round(plan, one).walk == grid.walk
        ]
        if asking:
            await host(self).open_view("week", asking[0].task.date, asking[0].task.id)
        else:
            self.notify("No task asks for what is written down here.")

    def action_change(self) -> None:
        """Open the fields of the plot, such as the day from which it is lost."""
        if (at := self._lines.at) is not None and at.plot is not None:
            self.app.push_screen(FormView(changing("plot", (at.plot.id,)), at="lost"))

    # --- day, person, variables, a sheet

    def action_import_file(self) -> None:
        """Ask which filled sheet."""
        self.action_ask(FILE)

    def action_ask(self, what: str) -> None:
        """Ask for the day, who looks, the variables, or a file."""
        if not self._lines.may_go():
            return
        self._asks, self._message = what, PROMPTS[what]
        folder = str(host(self).opened.path.absolute().parent)
        self._input.ask(self._where.text(what, host(self).today, folder))
        self._keys.name_keys(ASK_FOOT)
        self._say()

    def on_input_submitted(self, submitted: Input.Submitted) -> None:
        plan = host(self).plan
        if plan is None:
            return
        text = submitted.value.strip()
        if self._asks == FILE:
            self._read(host(self).opened.path.absolute().parent / Path(text).expanduser())
            return
        try:
            where = self._where.answered(plan, self._asks, text, host(self).date_order)
        except ValueError as wrong:
            self._stay(f"{wrong}.")
            return
        self._close_input()
        self._show(where)

    @work(thread=True, exclusive=True, group="file")
    def _read(self, path: Path) -> None:
        try:
            if not self._where.walk:
                raise Refusal("a sheet is of a trial: choose one first")
            table = read_sheet(path)
        except Refusal as wrong:
            self.app.call_from_thread(self._stay, f"{wrong}.")
            return
        self.app.call_from_thread(
            self._ask_sheet, taking_in(self._where.walk, table, self._where.who, self.day)
        )

    def _ask_sheet(self, blank: Blank) -> None:
        self._close_input()
        self.app.push_screen(FormView(blank))

    def _close_input(self) -> None:
        self._asks, self._message = "", ""
        self._input.close()
        self._keys.name_keys(FOOT)
        self._lines.focus()
        self._say()

    def action_back(self) -> None:
        """Out of what is asked, then out of what is typed, then out of the view."""
        if self._input.asked:
            self._close_input()
        elif self._lines.typing is not None:
            self._lines.give_up()
        else:
            super().action_back()
