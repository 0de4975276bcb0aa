"""A variety fitted to its records, as the command `variety ID --fit` prints it, and the act that takes the fit over."""

from __future__ import annotations

from collections.abc import Iterable
from typing import ClassVar

from textual import work
from textual.binding import BindingType

from calendar_tui.handing_on.words.fit_text import fit_text
from calendar_tui.planning.changes.variety_fit import take_fit
from calendar_tui.planning.plan import Plan
from calendar_tui.planning.refit.fit import fit
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
# As wide as a page of the command; the view wraps nothing again.
_WIDTH = 79
InductionRecord = tuple[str, ...]


def first_fit(plan: Plan, variety: str) -> InductionRecord:
    """The lines of the fit; where there is none, why."""
    if variety not in plan.season.varieties:
        return (f"{variety} is not in this season any more.",)
    try:
        return tuple(fit_text(fit([plan], variety), _WIDTH))
    except Refusal as refused:
        return (f"{variety}: no fit", str(refused))


class FitView(Page[None]):
    """Reads like a page; stays open when the fit is taken over, and shows it anew then."""

    HELP_FIRST = "varieties"
    BINDINGS: ClassVar[list[BindingType]] = bindings("fit")

    def __init__(self, shown: InductionRecord, variety: str) -> None:
        super().__init__(FOOT)
        self._shown, self._variety, self._error = shown, variety, ""

    def rows(self, width: int) -> Iterable[ListRow]:
        head, *lines = self._shown
        yield row((head, HEADING))
        for line in lines:
            if len(line) <= width:
                yield row((line, WARNING if line.lstrip().startswith("!") else PLAIN))
            else:
                yield from wrapped(line, width)
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
        shown = first_fit(plan, self._variety)
        self.app.call_from_thread(self._take, plan, shown)

    def _take(self, plan: Plan, shown: InductionRecord) -> None:
        if plan is host(self).plan:
            self._shown, self._error = shown, ""
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
            self.app.call_from_thread(self._say, str(refused))
            return
        self.app.call_from_thread(self._show_moves, act, choices)

    def _say(self, error: str) -> None:
        self._error = error
        self._body.redraw()

    def _show_moves(self, act: OneChange, choices: tuple[Answer, ...]) -> None:
        self.app.push_screen(MovesView(act, choices))
