"""The results of bags: due and overdue, in, kept aside; entered by hand, or from a laboratory's file."""

from __future__ import annotations

from collections.abc import Iterable
from pathlib import Path
from typing import ClassVar

from textual import work
from textual.binding import BindingType
from textual.widgets import Input

from calendar_tui.handing_on.words.results_text import CAUTION, rules_texts
from calendar_tui.planning.changes.laboratory_import import Given, columns_of_file
from calendar_tui.screens.forms.form_view import FormView
from calendar_tui.screens.forms.records_view import Chosen, RecordsView
from calendar_tui.screens.forms.result_form import recording_result
from calendar_tui.screens.kit.actions import bindings
from calendar_tui.screens.kit.drawing import (
    DIM,
    HEADING,
    WARNING,
    Bar,
    ListRow,
    first_rows,
    fitted,
    row,
    wrapped,
)
from calendar_tui.screens.kit.glyphs import ASCII
from calendar_tui.screens.kit.host import host
from calendar_tui.screens.kit.typed import TypedField
from calendar_tui.screens.results.import_form import taking_in
from calendar_tui.screens.results.rows import RESULT, SAMPLE, detail_text, result_rows
from calendar_tui.season.refusal import Refusal
from calendar_tui.storage.table_file import laboratory_text

TITLE = "Results"
FOOT = ("results", "records", "undo", "redo", "help", "view")
PATH_FOOT = ("typed file",)
DETAIL_LINES, NOTE_LINES, NOTE_LINES_LOW = 4, 4, 3
# Lines of a terminal from which on the note may have its four.
LEAST_HEIGHT = 20


class ResultsView(RecordsView):
    """Stays open when a change is saved."""

    HELP_FIRST = "results"
    CSS = f"#detail {{ height: {DETAIL_LINES}; }} #note {{ height: {NOTE_LINES}; }}"
    BINDINGS: ClassVar[list[BindingType]] = bindings("results")

    def __init__(self) -> None:
        self._detail, self._note = Bar(id="detail"), Bar(id="note")
        self._input = TypedField(id="file")
        super().__init__(RESULT, self._rows, FOOT, self._detail, self._note, self._input)

    def _rows(self, width: int) -> Iterable[ListRow]:
        plan = host(self).plan
        if plan is None:
            return ()
        note = " ".join([*rules_texts(plan), CAUTION])
        lines = NOTE_LINES if self.app.size.height >= LEAST_HEIGHT else NOTE_LINES_LOW
        self._note.styles.height = lines
        self._note.say(*first_rows(wrapped(note, width, style=DIM), lines, width))
        counts = f"  {len(plan.results.used)} count, {len(plan.results.aside)} kept aside"
        self._heading.say(row((TITLE, HEADING), fitted(counts, max(width - len(TITLE), 0)).rstrip()))
        return result_rows(plan, width, host(self).glyphs is ASCII)

    def on_picker_moved(self) -> None:
        """What is under the cursor, in full."""
        plan = host(self).plan
        text = "" if plan is None else detail_text(plan, self._list.key, host(self).glyphs is ASCII)
        width = self.size.width - 1
        self._detail.say(*first_rows(wrapped(text, width), DETAIL_LINES, width))

    @property
    def chosen(self) -> Chosen | None:
        """The result under the cursor, or the bag of which it is due."""
        kind, _, name = self._list.key.partition(" ")
        return Chosen(kind, (name,)) if name else None

    def action_change(self) -> None:
        """Open the fields of the result; of a bag that is out, a form for its result."""
        at = self.chosen
        if at is not None and at.kind == SAMPLE:
            self._enter(str(at.ident[0]))
        else:
            super().action_change()

    def action_add(self) -> None:
        """A result is added by its own form, of the bag under the cursor where one is out there."""
        at = self.chosen
        self._enter(str(at.ident[0]) if at is not None and at.kind == SAMPLE else "")

    def action_copy_record(self) -> None:
        """A report is never one like another: enter it."""
        self.action_add()

    def _enter(self, bag: str) -> None:
        self.app.push_screen(FormView(recording_result(bag)))

    # --- a laboratory's file

    def action_import_file(self) -> None:
        """Ask which file."""
        self._input.ask(f"{host(self).opened.path.absolute().parent}/")
        self._keys.name_keys(PATH_FOOT)

    def on_input_submitted(self, submitted: Input.Submitted) -> None:
        folder = host(self).opened.path.absolute().parent
        self._read(folder / Path(submitted.value.strip()).expanduser())

    @work(thread=True, exclusive=True, group="file")
    def _read(self, path: Path) -> None:
        plan = host(self).plan
        if plan is None:
            return
        laboratory = next(iter(plan.season.laboratories), "") if len(plan.season.laboratories) == 1 else ""
        try:
            text = laboratory_text(path)
            columns_of_file(plan.season, laboratory, text, Given())
        except Refusal as wrong:
            self.app.call_from_thread(self._refuse_file, str(wrong))
            return
        self.app.call_from_thread(self._ask_columns, path.name, text, laboratory)

    def _refuse_file(self, why: str) -> None:
        """Tell what is wrong with the file, whose name stays to be put right."""
        width = self.size.width - 1
        self._detail.say(*first_rows(wrapped(why, width, style=WARNING), DETAIL_LINES, width))

    def _ask_columns(self, name: str, text: str, laboratory: str) -> None:
        self._close_input()
        self.app.push_screen(FormView(taking_in(name, text, laboratory)))

    def _close_input(self) -> None:
        self._input.close()
        self._list.focus()
        self._keys.name_keys(FOOT)
        self.on_picker_moved()

    def action_back(self) -> None:
        if self._input.asked:
            self._close_input()
        else:
            super().action_back()
