"""What the season taught, as the command `review` prints it; a figure under the cursor is carried forward from here."""

from __future__ import annotations

from collections.abc import Iterable
from typing import ClassVar

from textual import work
from textual.binding import BindingType

from calendar_tui.handing_on.words.review_text import head_text, parts
from calendar_tui.planning.changes.held_season import HeldSeason
from calendar_tui.planning.plan import Plan
from calendar_tui.planning.review.carried import take
from calendar_tui.planning.review.review import Review, review_of
from calendar_tui.screens.asking.answers import Answer, OneChange, answers
from calendar_tui.screens.asking.moves_view import MovesView
from calendar_tui.screens.kit.actions import bindings
from calendar_tui.screens.kit.drawing import BOLD, HEADING, PLAIN, ListRow, row
from calendar_tui.screens.kit.host import host
from calendar_tui.screens.kit.list_view import ListView
from calendar_tui.season.refusal import Refusal

FOOT = ("fit", "undo", "redo", "help", "view")
# What stands before the number of a line that proposes nothing, so that it is no id.
_LINE = "line "


class ReviewView(ListView[None]):
    """Every line can be stood on, so that it reads like a page; stays open when a figure is taken, and shows it anew then."""

    HELP_FIRST = "review"
    BINDINGS: ClassVar[list[BindingType]] = bindings("fit", "undo", "redo")

    def __init__(self, review: Review) -> None:
        super().__init__(self._rows, FOOT, key=f"{_LINE}0")
        self._review = review

    def _rows(self, width: int) -> Iterable[ListRow]:
        self._heading.say(row((head_text(self._review), HEADING)))
        n = 0
        for heading, lines in parts(self._review, width):
            yield row((heading, HEADING), key=f"{_LINE}{n}")
            n += 1
            for text, proposes in lines:
                style = BOLD if proposes else PLAIN
                yield row((text, style), key=proposes or f"{_LINE}{n}")
                n += 1

    def show_plan(self) -> None:
        """Review anew: the season may have changed."""
        if (plan := host(self).plan) is not None:
            self._work_out(plan)

    @work(thread=True, exclusive=True, group="review")
    def _work_out(self, plan: Plan) -> None:
        review = review_of(plan)
        self.app.call_from_thread(self._take, plan, review)

    def _take(self, plan: Plan, review: Review) -> None:
        if plan is host(self).plan:
            self._review = review
            self._list.redraw()

    def action_take_over(self) -> None:
        """Show what would move with the figure under the cursor."""
        plan, wanted = host(self).plan, self._list.key
        if wanted.startswith(_LINE):
            self.notify("Put the cursor on a figure to carry forward, at the end of the review.")
        elif plan is not None:
            opened = host(self).opened
            held = HeldSeason(plan, opened.data, host(self).date_order, opened.reading)
            self._propose(held, wanted)

    @work(thread=True, exclusive=True, group="moves")
    def _propose(self, held: HeldSeason, wanted: str) -> None:
        act = OneChange(wanted, lambda plan: take(held._replace(plan=plan), wanted))
        try:
            choices = answers(held.plan, act)
        except Refusal as refused:
            self.app.call_from_thread(self.notify, str(refused))
            return
        self.app.call_from_thread(self._show_moves, act, choices)

    def _show_moves(self, act: OneChange, choices: tuple[Answer, ...]) -> None:
        self.app.push_screen(MovesView(act, choices))
