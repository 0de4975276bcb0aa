"""What the season needs in all and cohort by cohort, as the command `quantities` prints it."""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from functools import partial

from textual import work

from calendar_tui.handing_on.words.first_steps import next_step
from calendar_tui.handing_on.words.quantities_text import cohort_text, notes_text, remarks_text, sums_text
from calendar_tui.planning.needs.sums import Quantities, quantities
from calendar_tui.planning.plan import Plan
from calendar_tui.screens.kit.actions import shown_key
from calendar_tui.screens.kit.drawing import (
    BOLD,
    HEADING,
    PLAIN,
    WARNING,
    ListRow,
    row,
    wrapped,
)
from calendar_tui.screens.kit.host import host
from calendar_tui.screens.kit.page import Page


def page_rows(needs: Quantities, first: str, width: int) -> Iterator[ListRow]:
    """What is wrong and the sums, then the cohorts, the one named `first` before the others."""
    head, *sums = sums_text(needs, width)
    yield row(("Quantities", HEADING), f"  {head.lower()}")
    for note in notes_text(needs):
        yield from wrapped(note, width, "! ", "  ", WARNING)
    yield from map(row, sums)
    for line in remarks_text(needs):
        yield from wrapped(line, width)
    for of in sorted(needs.cohorts, key=lambda of: of.cohort.id != first):
        yield row()
        for n, line in enumerate(cohort_text(of, width)):
            warns = line.startswith("  ! ")
            yield row((line, WARNING if warns else PLAIN if n else BOLD))


class QuantitiesView(Page[None]):
    """Reads like a page."""

    def __init__(self, needs: Quantities, cohort_id: str = "") -> None:
        """found: what is shown first; cohort_id: the cohort that comes before the others."""
        super().__init__()
        self._needs, self._cohort_id = needs, cohort_id

    def show_plan(self) -> None:
        """Work the quantities out anew: the season may have changed."""
        plan = host(self).plan
        if plan is not None:
            self._work_out(plan)

    @work(thread=True, exclusive=True)
    def _work_out(self, plan: Plan) -> None:
        needs = quantities(plan, host(self).opened.data)
        self.app.call_from_thread(self._take, plan, needs)

    def _take(self, plan: Plan, needs: Quantities) -> None:
        if plan is host(self).plan:
            self._needs = needs
            self._body.redraw()

    def rows(self, width: int) -> Iterable[ListRow]:
        plan = host(self).plan
        if not self._needs.cohorts and plan is not None:
            return wrapped(next_step(plan.season, partial(shown_key, self)), width)
        return page_rows(self._needs, self._cohort_id, width)
