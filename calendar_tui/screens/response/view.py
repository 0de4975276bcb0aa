"""The response of the date: what planting on each date of a year comes to, as a plot with a cursor that reads it out."""

from __future__ import annotations

from collections.abc import Callable
from datetime import date, timedelta
from functools import partial
from typing import ClassVar

from textual import work
from textual.app import ComposeResult
from textual.binding import BindingType
from textual.screen import Screen

from calendar_tui.handing_on.words.first_steps import next_step
from calendar_tui.handing_on.words.plain_text import hanging
from calendar_tui.planning.plan import Plan
from calendar_tui.planning.response.outcomes import (
    Curve,
    Outcome,
    Planting,
    planting_text,
)
from calendar_tui.planning.response.wished import Wished, wished
from calendar_tui.planning.staggering.scheme import Scheme
from calendar_tui.planning.staggering.taking import taken_outcome, taken_scheme, wish_of
from calendar_tui.planning.staggering.wish import Wish
from calendar_tui.screens.kit.actions import bindings, footer_runs, keys_on, shown_key
from calendar_tui.screens.kit.canvas import Runs, fitted, joined, words_alone
from calendar_tui.screens.kit.foot import STYLE_NAMES, foot_runs
from calendar_tui.screens.kit.host import host
from calendar_tui.screens.kit.notices import WORKING
from calendar_tui.screens.kit.sheet import Sheet
from calendar_tui.screens.kit.spans import SpanCompositor
from calendar_tui.screens.kit.words import TypedWords
from calendar_tui.screens.response.opening import curve_of, first_planting, growth_of, planting_dates
from calendar_tui.screens.response.plot import Cursor, legend_row, plot_rows
from calendar_tui.screens.response.read_out import read_out, whole_read_out
from calendar_tui.screens.response.switching import NEXT, NO_OTHER, fitting_place, stands
from calendar_tui.season.readers import plain
from calendar_tui.season.refusal import Refusal
from calendar_tui.season.typed_dates import typed_in_season

TITLE = "Planting dates"
FOOT = ("response", "help", "view")
TYPED_FOOT = ("typed harvest",)
# Cells that the plot needs; with fewer the date is read out alone.
SMALLEST = (60, 16)
# Rows that stand beside the plot: title, legend, what is read out, and the keys.
_READ_ROWS = 4
_BESIDE = 2 + _READ_ROWS + 1


class TypedHarvest(TypedWords):
    """A date that is typed in the view's last line."""

    def __init__(self, changed: Callable[[str], None], ended: Callable[[str], None]) -> None:
        """changed: takes the words after each letter; ended: takes them where Enter ends them."""
        super().__init__(changed)
        self._ended = ended

    def action_end_words(self) -> None:
        self._ended(self.value)


class ResponseView(Screen[None]):
    """One variety in one place at a time."""

    AUTO_FOCUS = ""
    HELP_FIRST = "response"
    BINDINGS: ClassVar[list[BindingType]] = bindings("response", "view")

    def __init__(self, curve: Curve | None, cursor: date, like: str = "") -> None:
        """curve: what is shown first; cursor: the planting date read out first, held within the curve.

        like: the cohort that it is about, whose plants and spacing a new one has; "" for none.
        """
        super().__init__()
        self._like = like
        # The harvest that is wished for, whose planting the cursor stands on; None where it stands on a planting date.
        self._wanted: date | None = None
        self._typed, self._typing = TypedHarvest(self._type, self._read_harvest), False
        # What is wrong with the date that is typed.
        self._wrong = ""
        self._curve, self._cursor = curve, cursor
        self._planting = None if curve is None else curve.planting
        # The cursor changes one line of the plot: tiles would cost more than they save, but for the title.
        self._sheet = Sheet(self._rows)
        self._compositor = SpanCompositor()

    def compose(self) -> ComposeResult:
        yield self._sheet
        yield self._typed

    @property
    def text(self) -> str:
        """What is drawn, line by line, without styles."""
        return "\n".join("".join(text for text, _ in row) for row in self._sheet.rows)

    @property
    def outcome(self) -> Outcome | None:
        """What is read out."""
        if self._curve is None:
            return None
        outcomes = self._curve.outcomes
        n = (self._cursor - outcomes[0].planted).days
        return outcomes[min(max(n, 0), len(outcomes) - 1)]

    # --- what is drawn

    def _rows(self, width: int, height: int) -> list[Runs]:
        glyphs = host(self).glyphs
        plan, curve, outcome = host(self).plan, self._curve, self.outcome
        if plan is None or curve is None or outcome is None:
            text = "" if plan is None else next_step(plan.season, partial(shown_key, self))
            return words_alone(text, width, height, glyphs.ellipsis)
        if width < SMALLEST[0] or height < SMALLEST[1]:
            return self._rows_without_plot(plan, curve, outcome, width, height)
        variety = curve.planting.variety
        marks = planting_dates(plan, variety)
        rows = [
            _title(plan, self._planting or curve.planting, self._planting != curve.planting),
            *plot_rows(curve, width, height - _BESIDE, glyphs, self._cursors(outcome), marks),
            legend_row(glyphs),
        ]
        taken = taken_outcome(plan, curve, outcome)
        for n, line in enumerate(read_out(outcome, taken, plan, variety, width, self._wish(plan))):
            rows.append(
                ((plain(line), "at" if n == 0 else "clash" if n > 1 and outcome.never else "detail"),)
            )
        rows.append(self._footer(width))
        return [fitted(row, width, glyphs.ellipsis) for row in rows]

    def _rows_without_plot(
        self, plan: Plan, curve: Curve, outcome: Outcome, width: int, height: int
    ) -> list[Runs]:
        planting = self._planting or curve.planting
        variety, taken = curve.planting.variety, taken_outcome(plan, curve, outcome)
        read = [
            *hanging(planting_text(planting, plan.season.varieties[planting.variety]), width),
            *whole_read_out(outcome, taken, plan, variety, width, self._wish(plan)),
        ]
        title = (WORKING, "notice") if planting != curve.planting else (TITLE, "title")
        room = height - 2
        # What has no line of its own goes on behind the last one, which is cut there and marked.
        read = [*read[: room - 1], " ".join(read[room - 1 :]), *[""] * (room - len(read))][:room]
        lines: list[Runs] = [(title,), *(((plain(line), ""),) for line in read), self._footer(width)]
        return [fitted(row, width, host(self).glyphs.ellipsis) for row in lines]

    def _footer(self, width: int) -> Runs:
        glyphs = host(self).glyphs
        if self._typing:
            typed = (f"harvest on: {self._typed.value}", "key"), ("_  ", "key")
            if self._wrong:
                return joined((*typed, (plain(self._wrong), STYLE_NAMES["error"])))
            return joined((*typed, *footer_runs(keys_on(self, *TYPED_FOOT), width, glyphs.arrows)))
        return foot_runs(keys_on(self, *FOOT), width, glyphs, host(self).notices.message)

    def _cursors(self, outcome: Outcome) -> Cursor:
        harvest = None if outcome.harvest is None else outcome.harvest.likely
        return Cursor(outcome.planted, self._wanted or harvest)

    def _wish(self, plan: Plan) -> Wished | None:
        """What can be planted for the harvest that is wished for; None where none is."""
        if self._wanted is None or self._curve is None:
            return None
        growth_d = growth_of(plan, self._like)
        return wished(self._curve.outcomes, self._wanted, host(self).today, growth_d, plan.season.crew)

    # --- moving

    def action_day(self, by: int) -> None:
        outcome = self.outcome
        if outcome is None or self._curve is None:
            return
        self._wanted = None
        first, last = (self._curve.outcomes[n].planted for n in (0, -1))
        self._cursor = min(max(outcome.planted + timedelta(days=by), first), last)
        self._sheet.redraw()

    def on_mouse_scroll_down(self) -> None:
        self.action_day(1)

    def on_mouse_scroll_up(self) -> None:
        self.action_day(-1)

    def action_next(self, what: str) -> None:
        """The next variety, place, nursery, start, or days under lamps."""
        plan = host(self).plan
        if plan is None or self._planting is None:
            return
        following = fitting_place(plan.season, NEXT[what](plan.season, self._planting))
        if following == self._planting:
            self.notify(NO_OTHER[what].format(place=following.place))
            return
        self._planting = following
        self._work_out(plan, self._planting)
        self._sheet.redraw()

    # --- a harvest that is wished for

    def action_harvest(self, by: int) -> None:
        """Wish for a harvest a day later or sooner."""
        outcome = self.outcome
        if outcome is None:
            return
        harvest = self._wanted or (outcome.harvest and outcome.harvest.likely)
        if harvest is None:
            self.notify(
                f"Planted then it is not harvested; press {shown_key(self, 'response.h')} to type a harvest date.",
                markup=False,
            )
            return
        self._wish_for(harvest + timedelta(days=by))

    def action_type_harvest(self) -> None:
        if self._curve is not None:
            self._typing = True
            self._typed.ask("")
            self._sheet.redraw()

    def _type(self, text: str) -> None:
        """Draw what is typed."""
        self._wrong = ""
        self._sheet.redraw()

    def _read_harvest(self, text: str) -> None:
        """Wish for the harvest that is typed; what is no date stays, with what is wrong beside it."""
        plan = host(self).plan
        if plan is None or not text.strip():
            self._stop_typing()
            return
        today, order = host(self).today, host(self).date_order
        try:
            day = typed_in_season(text, plan.season, today=today, planned=None, past=False, order=order)
        except ValueError as wrong:
            self._wrong = str(wrong)
            self._sheet.redraw()
        else:
            self._stop_typing()
            self._wish_for(day)

    def _stop_typing(self) -> None:
        self._typing, self._wrong = False, ""
        self.set_focus(None)
        self._sheet.redraw()

    def _wish_for(self, day: date) -> None:
        plan, before = host(self).plan, self._wanted
        if plan is None:
            return
        self._wanted = day
        wish = self._wish(plan)
        if wish is None or wish.best is None:
            self._wanted = before
            self.notify("Nothing that can still be started is harvested here.", severity="error")
            return
        self._cursor = wish.best.planted
        self._sheet.redraw()

    # --- the date that is taken

    def action_take_date(self) -> None:
        """Show what a cohort that is planted on this date adds, or why it cannot be planted and what can."""
        plan, outcome = host(self).plan, self.outcome
        if plan is not None and outcome is not None and self._curve is not None:
            self._take_up(plan, self._curve, outcome)

    @work(thread=True, exclusive=True, group="take")
    def _take_up(self, plan: Plan, curve: Curve, outcome: Outcome) -> None:
        cohort = plan.season.cohorts.get(self._like)
        like = self._like if cohort is not None and cohort.variety == curve.planting.variety else ""
        try:
            scheme = taken_scheme(plan, curve, outcome, like)
        except Refusal as wrong:
            self.app.call_from_thread(self.notify, str(wrong), severity="error", markup=False)
            return
        wish = wish_of(scheme)
        self.app.call_from_thread(self.app.call_later, self._open, scheme, wish)

    async def _open(self, scheme: Scheme, wish: Wish | None) -> None:
        if scheme.hard_texts:
            await host(self).open_view("blocked", scheme.hard_texts, wish, scheme)
        else:
            await host(self).open_view("added", scheme)

    def show_plan(self) -> None:
        """Work the curve out anew: the season may have changed."""
        plan = host(self).plan
        if plan is None:
            return
        if self._planting is None or not stands(plan.season, self._planting):
            self._planting = first_planting(plan, "")
        if self._planting is None:
            self._take(plan, None)
        else:
            self._work_out(plan, self._planting)

    @work(thread=True, exclusive=True)
    def _work_out(self, plan: Plan, planting: Planting) -> None:
        curve = curve_of(plan.season, planting)
        self.app.call_from_thread(self._take, plan, curve)

    def _take(self, plan: Plan, curve: Curve | None) -> None:
        """Show a curve, unless another has been asked for meanwhile."""
        if plan is host(self).plan and self._planting == (curve and curve.planting):
            self._curve = curve
            if curve is not None and self._wanted is not None:
                self._wish_for(self._wanted)
            self._sheet.redraw()

    def action_back(self) -> None:
        if self._typing:
            self._stop_typing()
        else:
            self.dismiss()


def _title(plan: Plan, planting: Planting, waits: bool) -> Runs:
    text = plain(planting_text(planting, plan.season.varieties[planting.variety]))
    return ((WORKING, "notice") if waits else (TITLE, "title"), (f"  {text}", ""))
