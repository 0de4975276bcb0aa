"""What each type of variety would give here, as the command `variety ID type` prints it."""

from __future__ import annotations

from collections.abc import Iterable

from textual import work

from calendar_tui.handing_on.words.types_text import MOST, types_text
from calendar_tui.planning.changes.type_comparison import Comparison, compare_types
from calendar_tui.planning.plan import Plan
from calendar_tui.screens.kit.drawing import HEADING, PLAIN, ListRow, row, wrapped
from calendar_tui.screens.kit.host import host
from calendar_tui.screens.kit.page import Page

Shown = tuple[Comparison, ...]


def first_comparison(plan: Plan, variety: str) -> Shown:
    """The cohorts of a variety, or sowings of it, under each type."""
    return tuple(compare_types(plan, plan.season.varieties[variety], MOST))


class TypesView(Page[None]):
    """Reads like a page."""

    def __init__(self, compared: Shown, variety: str) -> None:
        super().__init__()
        self._compared, self._variety = compared, variety

    def show_plan(self) -> None:
        """Compare anew: the season may have changed."""
        plan = host(self).plan
        if plan is not None and self._variety in plan.season.varieties:
            self._compare(plan)
        else:
            self._body.redraw()

    @work(thread=True, exclusive=True)
    def _compare(self, plan: Plan) -> None:
        compared = first_comparison(plan, self._variety)
        self.app.call_from_thread(self._take, plan, compared)

    def _take(self, plan: Plan, compared: Shown) -> None:
        if plan is host(self).plan:
            self._compared = compared
            self._body.redraw()

    def rows(self, width: int) -> Iterable[ListRow]:
        plan = host(self).plan
        if plan is None or self._variety not in plan.season.varieties:
            return wrapped(f"{self._variety} is not in this season any more.", width)
        lines = types_text(plan, plan.season.varieties[self._variety], self._compared, width)
        return [row((line, PLAIN if n else HEADING)) for n, line in enumerate(lines)]
