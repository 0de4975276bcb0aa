"""A new season as a form: every answer in sight, what it is read as beside it, and a wrong one told at once."""

from __future__ import annotations

from pathlib import Path
from typing import ClassVar

from textual import events, work
from textual.app import ComposeResult
from textual.binding import BindingType
from textual.containers import Horizontal, VerticalScroll
from textual.screen import Screen
from textual.widgets import Input

from calendar_tui.planning.starting.answers import POSITION
from calendar_tui.planning.starting.form import (
    FILE,
    LABELS,
    NAME,
    ZONE,
    Filled,
    filled,
    hint,
    proposed_file,
    proposed_zone,
    rows_of,
)
from calendar_tui.screens.kit.actions import bindings
from calendar_tui.screens.kit.drawing import BOLD, DIM, HEADING, WARNING, Bar, fitted, row, wrapped
from calendar_tui.screens.kit.keys import Keys
from calendar_tui.screens.starting.choice import Start

FOOT = ("new season",)
LABEL_WIDTH, FIELD_WIDTH = 12, 34
ABOUT_LINES = 3
# Columns under which nothing stands beside a field.
WIDE = 72
# The rows whose answer is proposed from that of another, and from which.
PROPOSED = {POSITION: ZONE, NAME: FILE}


class FormRow(Horizontal):
    """A field behind its name, and a note beside it."""

    def __init__(self, key: str, value: str) -> None:
        self.key = key
        self.label, self.note = Bar(), Bar()
        self.label.add_class("label")
        self.note.add_class("note")
        self.field = Input(value, select_on_focus=False)
        super().__init__(self.label, self.field, self.note)

    def show(self, note: str, wrong: bool, here: bool) -> None:
        name, _, n = self.key.partition(" ")
        text = f"{'!' if wrong else ' '} {LABELS[name][0]} {n}"
        self.label.say(row((text, WARNING if wrong else BOLD if here else DIM)))
        width = max(self.app.size.width - LABEL_WIDTH - FIELD_WIDTH - 1, 1)
        self.note.say(row((fitted(note, width), WARNING if wrong else DIM)))


class NewSeasonView(Screen[Path | None]):
    """Gives the file of the season that was made; None where it is left, and then `start.typed` has what was typed."""

    CSS = f"""
    FormRow {{ height: 1; }}
    FormRow .label {{ width: {LABEL_WIDTH}; }}
    FormRow .note {{ width: 1fr; }}
    FormRow Input, FormRow Input:focus {{ border: none; height: 1; width: {FIELD_WIDTH}; padding: 0 1; }}
    #form.-narrow FormRow Input, #form.-narrow FormRow Input:focus {{ width: 1fr; }}
    #form.-narrow FormRow .note {{ display: none; }}
    #form {{ height: 1fr; scrollbar-size: 0 0; }}
    #heading {{ height: 2; }}
    #about {{ height: {ABOUT_LINES}; }}
    """
    BINDINGS: ClassVar[list[BindingType]] = bindings("new season")

    def __init__(self, start: Start) -> None:
        super().__init__()
        self._start, self._typed = start, start.typed
        self._form = Filled()
        # Rows that were left, where what is wrong is told; and what was proposed for a row.
        self._left: set[str] = {key for key, value in start.typed.items() if value}
        self._proposals: dict[str, str] = {}
        self._trouble = ""
        self._rows: dict[str, FormRow] = {}
        self._box, self._about = VerticalScroll(id="form", can_focus=False), Bar(id="about")

    @property
    def text(self) -> str:
        """All that the view shows but its keys, as plain text."""
        lines = (
            f"{r.label.text:<{LABEL_WIDTH}} {r.field.value}  {r.note.text}".rstrip()
            for r in self._rows.values()
        )
        return "\n".join((*lines, self._about.text))

    @property
    def here(self) -> str:
        """The row that is typed in."""
        return next((key for key, r in self._rows.items() if r.field.has_focus), NAME)

    def compose(self) -> ComposeResult:
        yield Bar(
            row(("A season of your own", HEADING), ("  nothing is saved before the last Enter", DIM)),
            id="heading",
        )
        for key in rows_of(self._typed):
            self._rows[key] = FormRow(key, self._typed.get(key, ""))
        with self._box:
            yield from self._rows.values()
        yield self._about
        yield Keys(FOOT)

    def on_mount(self) -> None:
        first = next((key for key in self._rows if not self._typed.get(key)), NAME)
        self._rows[first].field.focus()
        self._read()

    def on_resize(self) -> None:
        self._box.set_class(self.app.size.width < WIDE, "-narrow")
        self._show()

    # --- typing

    def on_input_changed(self, event: Input.Changed) -> None:
        event.stop()
        key = next(key for key, r in self._rows.items() if r.field is event.input)
        if self._typed.get(key, "") == event.value:
            return
        self._typed[key], self._trouble = event.value, ""
        self._read()
        self._add_rows()

    def on_descendant_focus(self, event: events.DescendantFocus) -> None:
        self._show()
        # Once a row that was added meanwhile has its place.
        self.call_after_refresh(event.widget.scroll_visible, animate=False)

    def on_descendant_blur(self, event: events.DescendantBlur) -> None:
        key = next((key for key, r in self._rows.items() if r.field is event.widget), "")
        if key:
            self._leave(key)

    def on_input_submitted(self, event: Input.Submitted) -> None:
        event.stop()
        here = self.here
        self._leave(here)
        note = self._form.notes.get(here)
        if here == FILE:
            self._finish()
        elif note is None or not note.wrong:
            self._go(1)

    def action_row(self, by: int) -> None:
        self._go(by)

    def action_back(self) -> None:
        self.dismiss(None)

    def _go(self, by: int) -> None:
        keys = list(self._rows)
        at = keys.index(self.here) + by
        self._rows[keys[min(max(at, 0), len(keys) - 1)]].field.focus()

    def _leave(self, key: str) -> None:
        """Tell from now on what is wrong in a row, and propose what follows from it."""
        if key not in PROPOSED or self._typed.get(key, ""):
            self._left.add(key)
        if (target := PROPOSED.get(key)) is not None:
            self._propose(target)
        self._show()

    def _propose(self, key: str) -> None:
        """Write a proposal into its row, but for what was typed there by hand."""
        proposal = proposed_zone(self._form) if key == ZONE else proposed_file(self._typed.get(NAME, ""))
        by_hand = self._typed.get(key, "") not in ("", self._proposals.get(key, ""))
        if not proposal or by_hand or self._typed.get(key) == proposal:
            return
        self._proposals[key] = proposal
        self._left.discard(key)
        self._typed[key] = self._rows[key].field.value = proposal
        self._rows[key].field.cursor_position = len(proposal)
        self._read()

    def _add_rows(self) -> None:
        """A further empty row of a kind whose last one is filled now."""
        keys = list(rows_of(self._typed))
        for n, key in enumerate(keys):
            if key not in self._rows:
                new = FormRow(key, self._typed.get(key, ""))
                self._box.mount(new, after=self._rows[keys[n - 1]])
                ordered = {**self._rows, key: new}
                self._rows = {k: ordered[k] for k in sorted(ordered, key=_order)}
                self.call_after_refresh(self._show)

    # --- what is read of it

    def _read(self) -> None:
        typed = {key: value for key, value in self._typed.items() if key != FILE}
        self._form = filled(typed, self._start.reader)
        self._show()

    def _show(self) -> None:
        if not self.is_mounted:
            return
        here = self.here
        for key, form_row in self._rows.items():
            text, wrong = self._note(key)
            form_row.show(text, wrong, key == here)
        text, wrong = self._note(here)
        about = text if wrong else f"{hint(here, self._form, self._start.reader)}"
        width = max(self.app.size.width - 2, 20)
        self._about.say(*wrapped(about, width, " ", style=WARNING if wrong else DIM)[:ABOUT_LINES])

    def _note(self, key: str) -> tuple[str, bool]:
        """What stands beside a row, and whether it is wrong; what is wrong is not told before the row was left."""
        if key == FILE:
            return self._trouble, bool(self._trouble)
        note = self._form.notes.get(key)
        if note is None or (note.wrong and key not in self._left):
            return "", False
        if key == ZONE and key not in self._left and note.text:
            return f"proposed: {note.text}", False
        return note

    # --- making it

    def _finish(self) -> None:
        """Make the season; where something is wrong or was not looked at, go there."""
        self._left |= self._rows.keys() - {ZONE}
        if wrong := self._form.wrong or ("" if ZONE in self._left else ZONE):
            self._left.add(wrong)
            self._rows[wrong].field.focus()
            self._show()
            return
        self._about.say(row((" Making it ...", DIM)))
        self._make(self._typed.get(FILE, "").strip(), self._form)

    @work(thread=True, exclusive=True)
    def _make(self, file: str, form: Filled) -> None:
        try:
            path = self._start.make(file, form.values)
        except ValueError as wrong:
            self.app.call_from_thread(self._refuse, str(wrong))
        else:
            self.app.call_from_thread(self.dismiss, path)

    def _refuse(self, why: str) -> None:
        self._trouble = why
        self._rows[FILE].field.focus()
        self._show()


def _order(key: str) -> tuple[int, int]:
    kind, _, n = key.partition(" ")
    return list(LABELS).index(kind), int(n or 0)
