"""A staggering asked for step by step, then searched for with a bar that shows how far it is, and a way to stop."""

from __future__ import annotations

from collections.abc import Iterable
from threading import Event
from typing import ClassVar

from textual import work
from textual.app import ComposeResult
from textual.binding import BindingType
from textual.widgets import Input

from calendar_tui.planning.plan import Plan
from calendar_tui.planning.staggering.asking import STEPS, WishSetting, wish_of
from calendar_tui.planning.staggering.proposing import Stopped, Watch, stagger
from calendar_tui.planning.staggering.scheme import Scheme
from calendar_tui.planning.staggering.wish import Wish
from calendar_tui.screens.asking.form import Form
from calendar_tui.screens.kit.actions import bindings
from calendar_tui.screens.kit.drawing import BOLD, DIM, HEADING, Bar, ListRow, row, wrapped
from calendar_tui.screens.kit.host import host
from calendar_tui.screens.staggering.scheme_view import MessageView, SchemeView
from calendar_tui.season.records import Place, Season

FOOT = ("stagger",)
BAR_CELLS = 24
_LABELS = {
    "variety": "variety",
    "lights": "places",
    "start": "from",
    "nursery": "nursery",
    "plants": "plants a cohort",
    "count": "cohorts",
    "first": "first harvest",
    "until": "last, or every",
}
_EMPTY = {
    "plants": "the whole place",
    "count": "as many as fit",
    "first": "as early as can be",
    "until": "open",
}


def bar_text(step: str, part: float, cells: int = BAR_CELLS) -> str:
    """ "[######------]  50 %  search". part: how much is done, 0 to 1."""
    full = round(cells * part)
    return f"[{'#' * full}{'-' * (cells - full)}] {part:4.0%}  {step}"


def place_text(place: Place) -> str:
    """ "H2  hoop house, 180 m2, lamps to 16 h"."""
    parts = [place.kind]
    if place.area_m2 is not None:
        parts.append(f"{place.area_m2:g} m2")
    if place.screened:
        parts.append(f"parts {', '.join(place.screened)}")
    parts.append("with lamps" if place.lamps is not None else "no lamps")
    return f"{place.id}  {', '.join(parts)}"


class StaggerForm(Form):
    """Asks for a wish and searches for it."""

    CSS = f"{Form.CSS} #prompt {{ height: 2; }}"
    HELP_FIRST = "stagger"
    BINDINGS: ClassVar[list[BindingType]] = bindings("stagger")

    def __init__(self) -> None:
        self._at, self._answers = 0, dict[str, str]()
        self._stop: Event | None = None
        self._prompt, self._input = Bar(id="prompt"), Input(id="answer", select_on_focus=False)
        super().__init__(self._rows, (self._prompt, self._input), FOOT)

    def compose(self) -> ComposeResult:
        # The first step stands there before the first paint, so that no empty page is sent ahead of it.
        self._ask()
        yield from super().compose()

    def on_mount(self) -> None:
        self._input.focus()

    def _season(self) -> Season | None:
        plan = host(self).plan
        return None if plan is None else plan.season

    # --- the steps

    def _go(self, at: int) -> None:
        self._at = at
        self._ask()
        self._error.say()
        self._list.redraw()

    def _ask(self) -> None:
        """Put the step's question, and what was answered before, or stands there at first."""
        season, step = self._season(), STEPS[self._at]
        if season is None:
            return
        choices = step.choices(season)
        answer = self._answers.get(step.key, choices[0] if choices else step.first(season))
        self._list.key = answer if answer in choices else ""
        self._input.value = answer
        self._input.cursor_position = len(answer)
        self._prompt.say(row((f"Step {self._at + 1} of {len(STEPS)}", DIM)), row((step.question, BOLD)))

    def _rows(self, width: int) -> Iterable[ListRow]:
        season = self._season()
        if season is None:
            return []
        self._heading.say(row(("Stagger cohorts", HEADING), "  planned backwards from their harvests"))
        step = STEPS[self._at]
        answered = [
            row(f"{_LABELS[s.key]:<16}", self._answers[s.key] or _EMPTY.get(s.key, "none"))
            for s in STEPS[: self._at]
            if s.key in self._answers
        ]
        choices = [row(choice, key=choice) for choice in step.choices(season)]
        places = (
            [row((place_text(p), DIM)) for p in season.places.values() if p.kind != "nursery"]
            if step.key == "lights"
            else []
        )
        return [*answered, row(), *choices, *places]

    def on_picker_moved(self) -> None:
        if self._list.key:
            self._input.value = self._list.key

    def action_choice(self, by: int) -> None:
        self._list.action_step(by)

    def on_input_submitted(self) -> None:
        plan = host(self).plan
        if plan is None or self._stop is not None:
            return
        step, answer = STEPS[self._at], self._input.value.strip()
        setting = WishSetting(plan.season, plan.today, host(self).date_order)
        try:
            step.read(setting, answer)
            self._answers[step.key] = answer
            if self._at + 1 < len(STEPS):
                self._go(self._at + 1)
                return
            wish = wish_of(setting, self._answers)
        except ValueError as wrong:
            self._say_error(str(wrong))
            return
        self._stop = Event()
        self._search(plan, wish, self._stop)

    # --- the search

    @work(thread=True, exclusive=True)
    def _search(self, plan: Plan, wish: Wish, stop: Event) -> None:
        def show_step(step: str, part: float) -> None:
            self.app.call_from_thread(self._tell, step, part)

        try:
            scheme = stagger(plan, wish, watch=Watch(show_step, stop.is_set))
        except Stopped:
            self.app.call_from_thread(self._ended, "Stopped before there was anything to show.")
        except ValueError as refused:
            self.app.call_from_thread(self._ended, str(refused))
        else:
            self.app.call_from_thread(self._show, scheme)

    def _tell(self, step: str, part: float) -> None:
        if self._stop is not None:
            self._error.say(row((bar_text(step, part), BOLD)), row(("Esc stops", DIM)))

    def _ended(self, message: str) -> None:
        self._stop = None
        self._say_error(message)

    def _say_error(self, message: str) -> None:
        """What is wrong stands in the list's place where it is longer than the lines below it."""
        rows = wrapped(message, self.size.width - 1)
        self._error.say(*rows[:3])
        if len(rows) > 3:
            self.app.push_screen(MessageView(message))

    def _show(self, scheme: Scheme) -> None:
        self._stop = None
        self._error.say()
        self.app.push_screen(SchemeView(scheme), self._after)

    def _after(self, saved: bool | None) -> None:
        if saved:
            self.dismiss(True)

    def show_plan(self) -> None:
        """The season may have changed: the step is asked anew, what is typed stays."""
        self._list.redraw()

    def action_back(self) -> None:
        if self._stop is not None:
            self._stop.set()
        elif self._at:
            self._go(self._at - 1)
        else:
            self.dismiss(False)
