"""A variety fitted to its records, as the command `variety ID --fit` prints it, which records are to count, and the act that takes the fit over."""

from __future__ import annotations

from collections.abc import Iterable
from typing import ClassVar

from textual import work
from textual.binding import BindingType

from calendar_tui.handing_on.words.fit_text import FitLine, choice_lines, fit_lines, flags_text
from calendar_tui.handing_on.words.plain_text import wrapped
from calendar_tui.planning.changes.variety_fit import take_fit
from calendar_tui.planning.plan import Plan
from calendar_tui.planning.refit.choice import AS_IT_COMES, Choice
from calendar_tui.planning.refit.fit import Fit, fit
from calendar_tui.screens.asking.answers import Answer, OneChange, answers
from calendar_tui.screens.asking.moves_view import MovesView
from calendar_tui.screens.kit.actions import bindings
from calendar_tui.screens.kit.drawing import DIM, HEADING, PLAIN, WARNING, ListRow, row
from calendar_tui.screens.kit.host import host
from calendar_tui.screens.kit.list_view import ListView
from calendar_tui.season.refusal import Refusal

FOOT = ("fit", "fit records", "help", "view")
OTHERS = (
    "By the records of this season. With those of others: calendar-tui variety SEASON {} --fit SEASON ...{}"
)
FitOrWhy = Fit | str
# What stands before the number of a line, so that it is no id.
_LINE = "line "


def first_fit(plan: Plan, variety: str, choice: Choice = AS_IT_COMES) -> FitOrWhy:
    """The fit; where there is none, why."""
    if variety not in plan.season.varieties:
        return f"{variety} is not in this season any more."
    try:
        return fit([plan], variety, choice)
    except Refusal as refused:
        return str(refused)


class FitView(ListView[None]):
    """Every line can be stood on, so that it reads like a page; stays open when the fit is taken over, and shows it anew then."""

    HELP_FIRST = "fit"
    BINDINGS: ClassVar[list[BindingType]] = bindings("fit", "fit records")

    def __init__(self, fitted: FitOrWhy, variety: str) -> None:
        super().__init__(self._rows, FOOT, key=f"{_LINE}0")
        self._fitted, self._variety, self._choice = fitted, variety, AS_IT_COMES
        # The cohorts that lines tell of, by the keys of their rows.
        self._cohorts: dict[str, str] = {}

    def _rows(self, width: int) -> Iterable[ListRow]:
        head, *lines = self._lines(width)
        self._heading.say(row((head.text, HEADING)))
        self._cohorts = {}
        for n, (text, cohort) in enumerate(lines):
            key = f"{_LINE}{n}" if not cohort or cohort in self._cohorts else cohort
            if cohort:
                self._cohorts[key] = cohort
            yield row((text, WARNING if text.lstrip().startswith("!") else PLAIN), key=key)
        plan = host(self).plan
        flags = "" if plan is None else flags_text(plan, self._choice)
        for n, text in enumerate(wrapped(OTHERS.format(self._variety, flags), "", width), len(lines)):
            yield row((text, DIM), key=f"{_LINE}{n}")

    def _lines(self, width: int) -> Iterable[FitLine]:
        if isinstance(self._fitted, Fit):
            yield from fit_lines(self._fitted, width)
            return
        yield FitLine(f"{self._variety}: no fit")
        yield from map(FitLine, wrapped(self._fitted, "", width))
        if (plan := host(self).plan) is not None:
            yield from choice_lines(plan, self._variety, self._choice)

    def show_plan(self) -> None:
        """Fit anew: the season may have changed."""
        if (plan := host(self).plan) is not None:
            self._fit(plan, self._choice)

    @work(thread=True, exclusive=True, group="fit")
    def _fit(self, plan: Plan, choice: Choice) -> None:
        fitted = first_fit(plan, self._variety, choice)
        self.app.call_from_thread(self._take, plan, choice, fitted)

    def _take(self, plan: Plan, choice: Choice, fitted: FitOrWhy) -> None:
        if plan is host(self).plan and choice == self._choice:
            self._fitted = fitted
            self._list.redraw()

    def action_turn(self) -> None:
        """Make the next choice for the record under the cursor, and fit anew."""
        cohort = self._cohorts.get(self._list.key, "")
        if not cohort:
            self.notify("Put the cursor on the record of a cohort.")
            return
        self._list.key = cohort
        self._choice = self._choice.turned(cohort, self._may_count(cohort))
        self.show_plan()

    def _may_count(self, cohort: str) -> bool:
        """Whether a record does not count, for others contradict it, as far as the fit tells."""
        fitted = self._fitted
        return isinstance(fitted, str) or cohort in [one.name.cohort for one in fitted.contradicted]

    def action_take_over(self) -> None:
        """Show what would move with the fit; where there is none, say why."""
        if (plan := host(self).plan) is not None:
            self._work_out(plan, self._choice)

    @work(thread=True, exclusive=True, group="moves")
    def _work_out(self, plan: Plan, choice: Choice) -> None:
        name = self._variety
        act = OneChange(f"{name} fitted", lambda plan: take_fit(plan, fit([plan], name, choice)))
        try:
            choices = answers(plan, act)
        except Refusal as refused:
            self.app.call_from_thread(self.notify, str(refused))
            return
        self.app.call_from_thread(self._show_moves, act, choices)

    def _show_moves(self, act: OneChange, choices: tuple[Answer, ...]) -> None:
        self.app.push_screen(MovesView(act, choices))
