"""Record nights on which lamps failed: a place where the cohort stands, the first and last night, then what moves."""

from __future__ import annotations

from collections.abc import Iterable
from datetime import date
from typing import ClassVar

from textual import work
from textual.app import ComposeResult
from textual.binding import Binding, BindingType
from textual.screen import Screen
from textual.widgets import Input

from calendar_tui.planning.outages import lamp_places, nights_text
from calendar_tui.planning.plan import Plan
from calendar_tui.planning.stages import standing
from calendar_tui.screens.actions import bindings
from calendar_tui.screens.answers import Answer, Nights, answers
from calendar_tui.screens.drawing import BOLD, DIM, HEADING, WARNING, Bar, Picker, Row, keys_row, row, wrapped
from calendar_tui.screens.host import host
from calendar_tui.screens.moves_view import MovesView
from calendar_tui.season.records import Cohort, Place, Season
from calendar_tui.season.typed_dates import typed_date

KEYS = "up/down place  tab first or last night  enter see what moves  esc back"
FORMS = 'Dates: 2026-11-08, "8 nov", a weekday, or today; the last also +2 (nights on)'
ERROR_LINES = 3


def place_row(season: Season, cohort: Cohort, place: Place) -> Row:
    """A place with lamps, what it is to the cohort, and its outages so far."""
    stands = "nursery" if place.id == cohort.nursery else "growing place"
    what = ", ".join(dict.fromkeys((stands, place.kind)))
    saved = [nights_text(o) for o in season.outages if o.place == place.id]
    known = f"; outages so far: {', '.join(saved)}" if saved else ""
    return row((f"{place.id}  ", BOLD), f"{what}{known}", key=place.id)


class OutageView(Screen[bool]):
    """Asks for the nights without lamps; gives True once the change is handed on to be saved."""

    CSS = "OutageView Input { border: none; height: 1; padding: 0 2; } OutageView #error { height: 3; }"
    BINDINGS: ClassVar[list[BindingType]] = [
        *bindings("view"),
        Binding("up", "place(-1)", show=False),
        Binding("down", "place(1)", show=False),
    ]

    def __init__(self, cohort_id: str) -> None:
        super().__init__()
        self._cohort_id = cohort_id
        self._heading, self._error = Bar(), Bar(id="error")
        self._list = Picker(self._rows)
        self._first, self._last = Input(id="first"), Input(id="last")

    def compose(self) -> ComposeResult:
        self._list.key = self._standing()
        yield self._heading
        yield self._list
        yield Bar(row((FORMS, DIM)))
        yield Bar(row(("First night without lamps, named by its evening:", BOLD)))
        yield self._first
        yield Bar(row(("Last night; may be left empty where it was one:", BOLD)))
        yield self._last
        yield self._error
        yield Bar(keys_row(KEYS))

    def on_mount(self) -> None:
        self._first.value = host(self).today.isoformat()
        self._first.focus()

    def show_plan(self) -> None:
        """Draw the places as the season has them now."""
        self._list.redraw()

    @property
    def text(self) -> str:
        """All that the view shows, as plain text."""
        return "\n".join(part.text for part in (self._heading, self._list, self._error))

    def _standing(self) -> str:
        """The place of the cohort today: its nursery before the transplant, then its growing place."""
        plan = host(self).plan
        if plan is None or self._cohort_id not in plan.timelines:
            return ""
        timeline = plan.timelines[self._cohort_id]
        return standing(timeline.cohort, timeline.stages, plan.today)

    def _rows(self, width: int) -> Iterable[Row]:
        plan = host(self).plan
        cohort = None if plan is None else plan.season.cohorts.get(self._cohort_id)
        if plan is None or cohort is None:
            return wrapped(f"{self._cohort_id} is not in this season any more.", width)
        self._heading.say(row(("Record an outage", HEADING), f"  where {cohort.id} stands"))
        places = lamp_places(plan.season, cohort)
        if not places:
            return wrapped(f"{cohort.id} stands in no place with lamps: none can fail. Esc goes back.", width)
        return [place_row(plan.season, cohort, place) for place in places]

    def action_place(self, by: int) -> None:
        self._list.action_step(by)

    def on_input_submitted(self) -> None:
        plan = host(self).plan
        if plan is None or not self._list.key:
            return
        self._error.say()
        self._work_out(plan, self._list.key, self._first.value, self._last.value)

    @work(thread=True, exclusive=True)
    def _work_out(self, plan: Plan, place: str, first: str, last: str) -> None:
        try:
            asked = self._nights(plan, place, first, last)
            found = answers(plan, asked)
        except ValueError as error:
            self.app.call_from_thread(self._say_error, str(error))
            return
        self.app.call_from_thread(self._show_moves, asked, found)

    def _nights(self, plan: Plan, place: str, first: str, last: str) -> Nights:
        begin = self._typed(plan, first, None)
        return Nights(
            self._cohort_id, place, begin, self._typed(plan, last, begin) if last.strip() else begin
        )

    def _typed(self, plan: Plan, text: str, since: date | None) -> date:
        first_day, last_day = plan.season.first_day, plan.season.last_day
        return typed_date(text, today=plan.today, planned=since, first_day=first_day, last_day=last_day)

    def _say_error(self, message: str) -> None:
        self._error.say(*wrapped(message, self.size.width - 1, style=WARNING)[:ERROR_LINES])

    def _show_moves(self, asked: Nights, found: tuple[Answer, ...]) -> None:
        self.app.push_screen(MovesView(asked, found), self._after_moves)

    def _after_moves(self, saved: bool | None) -> None:
        if saved:
            self.dismiss(True)

    def action_back(self) -> None:
        self.dismiss(False)
