"""A variety fitted to its records, as the command `variety ID --fit` prints it, and the act that takes the fit over."""

from __future__ import annotations

from collections.abc import Iterable
from typing import ClassVar

from textual import work
from textual.binding import BindingType

from calendar_tui.handing_on.words.fit_text import fit_text
from calendar_tui.planning.changes.variety_fit import take_fit
from calendar_tui.planning.plan import Plan
from calendar_tui.planning.refit.fit import Fit, fit
from calendar_tui.screens.asking.answers import Answer, OneChange, answers
from calendar_tui.screens.asking.moves_view import MovesView
from calendar_tui.screens.kit.actions import bindings
from calendar_tui.screens.kit.drawing import DIM, HEADING, PLAIN, WARNING, ListRow, row, wrapped
from calendar_tui.screens.kit.host import host
from calendar_tui.screens.kit.page import Page
from calendar_tui.season.refusal import Refusal

FOOT = ("fit", "page", "help", "view")
OTHERS = (
    "By the records of this season. With those of others: calendar-tui variety SEASON {} --fit SEASON ..."
)
FitOrWhy = Fit | str


def first_fit(plan: Plan, variety: str) -> FitOrWhy:
    """The fit; where there is none, why."""
    if variety not in plan.season.varieties:
        return f"{variety} is not in this season any more."
    try:
        return fit([plan], variety)
    except Refusal as refused:
        return str(refused)


class FitView(Page[None]):
    """Reads like a page; stays open when the fit is taken over, and shows it anew then."""

    HELP_FIRST = "review"
    BINDINGS: ClassVar[list[BindingType]] = bindings("fit")

    def __init__(self, fitted: FitOrWhy, variety: str) -> None:
        super().__init__(FOOT)
        self._fitted, self._variety, self._error = fitted, variety, ""

    def rows(self, width: int) -> Iterable[ListRow]:
        if isinstance(self._fitted, str):
            yield row((f"{self._variety}: no fit", HEADING))
            yield from wrapped(self._fitted, width)
        else:
            head, *lines = fit_text(self._fitted, width)
            yield row((head, HEADING))
            for line in lines:
                yield row((line, WARNING if line.lstrip().startswith("!") else PLAIN))
        yield row()
        yield from wrapped(OTHERS.format(self._variety), width, style=DIM)
        if self._error:
            yield from wrapped(self._error, width, style=WARNING)

    def show_plan(self) -> None:
        """Fit anew: the season may have changed."""
        if (plan := host(self).plan) is not None:
            self._fit(plan)

    @work(thread=True, exclusive=True, group="fit")
    def _fit(self, plan: Plan) -> None:
        fitted = first_fit(plan, self._variety)
        self.app.call_from_thread(self._take, plan, fitted)

    def _take(self, plan: Plan, fitted: FitOrWhy) -> None:
        if plan is host(self).plan:
            self._fitted, self._error = fitted, ""
            self._body.redraw()

    def action_take_over(self) -> None:
        """Show what would move with the fit; where there is none, say why."""
        if (plan := host(self).plan) is not None:
            self._work_out(plan)

    @work(thread=True, exclusive=True, group="moves")
    def _work_out(self, plan: Plan) -> None:
        name = self._variety
        act = OneChange(f"{name} fitted", lambda plan: take_fit(plan, fit([plan], name)))
        try:
            choices = answers(plan, act)
        except Refusal as refused:
            self.app.call_from_thread(self._warn, str(refused))
            return
        self.app.call_from_thread(self._show_moves, act, choices)

    def _warn(self, error: str) -> None:
        self._error = error
        self._body.redraw()

    def _show_moves(self, act: OneChange, choices: tuple[Answer, ...]) -> None:
        self.app.push_screen(MovesView(act, choices))
