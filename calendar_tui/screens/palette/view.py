"""Anything by its words: actions, cohorts, places, dates and tasks in one list, and Enter goes there."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from datetime import date
from typing import ClassVar

from textual import work
from textual.app import ComposeResult
from textual.binding import BindingType
from textual.widgets import Input

from calendar_tui.language.speaking import marked, tr
from calendar_tui.screens.kit.actions import bindings
from calendar_tui.screens.kit.crew_words import crew_words
from calendar_tui.screens.kit.drawing import BOLD, DIM, ListRow, fitted, row
from calendar_tui.screens.kit.host import host
from calendar_tui.screens.kit.list_view import ListView
from calendar_tui.screens.palette.entries import ACTION, Entry, Matches, matches_of

FOOT = ("palette", "view")
# Columns for the key or the kind before the text.
BEGIN = 9
PLANNED_WORDS = marked("go to: words of an action, cohort, place or task, or a date such as 12 dec")
ACTION_WORDS = marked("go to: words of an action")


class PaletteView(ListView[Entry]):
    """Gives what was chosen."""

    HELP_FIRST = "palette"
    CREW: ClassVar[bool | None] = None
    BINDINGS: ClassVar[list[BindingType]] = bindings("palette")
    CSS = "Input { border: none; height: 1; padding: 0 2; }"

    def __init__(self, entries: Sequence[Entry]) -> None:
        super().__init__(self._rows, FOOT)
        self._typed = Input(id="typed")
        self._entries = entries
        # What is listed, the text that it was found for, and whether to go to its first as soon as it is.
        self._matches, self._matched_for, self._goes = matches_of(entries, "", None), "", False

    def compose(self) -> ComposeResult:
        yield self._typed
        yield self._list
        yield self._keys

    def on_mount(self) -> None:
        planned = any(entry.kind != ACTION for entry in self._entries)
        with crew_words(self):
            self._typed.placeholder = tr(PLANNED_WORDS if planned else ACTION_WORDS)
        self._typed.focus()

    def _rows(self, width: int) -> Iterable[ListRow]:
        for n, entry in enumerate(self._matches.rows):
            begin = (fitted(entry.begin, BEGIN), BOLD if entry.kind == ACTION else DIM)
            yield row(begin, fitted(entry.text, width - BEGIN), key=str(n))
        if self._matches.more:
            more = tr("and {more} more: type another word", more=self._matches.more)
            yield row((f"{'':{BEGIN}}{more}", DIM))
        if not self._matches.rows:
            yield row(f"{'':{BEGIN}}{tr('Nothing has these words.')}")

    # --- looking

    def on_input_changed(self) -> None:
        self._look(self._typed.value)

    @work(thread=True, exclusive=True, group="palette")
    def _look(self, typed: str) -> None:
        with crew_words(self):
            now = matches_of(self._entries, typed, self._day(typed))
        self.app.call_from_thread(self._take, typed, now)

    def _day(self, typed: str) -> date | None:
        """The date that is typed; None where it is none."""
        from calendar_tui.season.typed_dates import typed_in_season

        app = host(self)
        if app.plan is None or not typed.strip():
            return None
        season, order = app.plan.season, app.date_order
        try:
            return typed_in_season(typed, season, today=app.today, planned=None, past=False, order=order)
        except ValueError:  # words of something else
            return None

    def _take(self, typed: str, now: Matches) -> None:
        if typed != self._typed.value:
            return
        self._matches, self._matched_for = now, typed
        self._list.key = "0"
        self._list.redraw()
        if self._goes:
            self._go()

    # --- going

    def on_input_submitted(self) -> None:
        """Go there; where what was typed last is still being looked for, to the first that is found."""
        self._goes = self._matched_for != self._typed.value
        if not self._goes:
            self._go()

    def _go(self) -> None:
        self._goes = False
        if self._list.key and self._matches.rows:
            self.dismiss(self._matches.rows[int(self._list.key)])

    def action_step(self, by: int) -> None:
        self._list.action_step(by)

    def action_page(self, by: int) -> None:
        self._list.action_page(by)
