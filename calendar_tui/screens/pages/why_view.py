"""How a cohort's dates are worked out, day by day, as the command `why` prints it."""

from __future__ import annotations

from collections.abc import Iterable

from textual import work

from calendar_tui.handing_on.words.why_text import why_text, width_lines
from calendar_tui.planning.laying_out.timeline import Timeline
from calendar_tui.planning.plan import Plan
from calendar_tui.screens.kit.drawing import HEADING, ListRow, row, wrapped
from calendar_tui.screens.kit.host import host
from calendar_tui.screens.kit.notices import WORKING
from calendar_tui.screens.kit.page import Page


def last_stage(timeline: Timeline) -> str:
    """The stage that rests on the most: the harvest, or what the cohort does not come to."""
    return "harvest" if "harvest" in timeline.stages else "flowering"


class WhyView(Page[None]):
    """Reads like a page; it is drawn once a thread has worked out what makes the range wide."""

    def __init__(self, cohort_id: str) -> None:
        super().__init__()
        self._cohort_id = cohort_id
        self._wide: tuple[Plan, tuple[str, ...]] | None = None

    def on_mount(self) -> None:
        self._ask()

    def show_plan(self) -> None:
        super().show_plan()
        self._ask()

    def _ask(self) -> None:
        plan = host(self).plan
        if plan is not None and self._cohort_id in plan.timelines:
            self._work_out(plan)

    @work(thread=True, exclusive=True)
    def _work_out(self, plan: Plan) -> None:
        lines = tuple(width_lines(plan, self._cohort_id, last_stage(plan.timelines[self._cohort_id])))
        self.app.call_from_thread(self._take, plan, lines)

    def _take(self, plan: Plan, lines: tuple[str, ...]) -> None:
        if plan is host(self).plan:
            self._wide = plan, lines
            self._body.redraw()

    def rows(self, width: int) -> Iterable[ListRow]:
        plan = host(self).plan
        if plan is None or self._cohort_id not in plan.timelines:
            return wrapped(f"{self._cohort_id} is not in this season any more.", width)
        if self._wide is None or self._wide[0] is not plan:
            return [row(WORKING)]  # the page is drawn once: all of it would move down by what comes late
        stage = last_stage(plan.timelines[self._cohort_id])
        head, *lines = why_text(plan, self._cohort_id, stage, width, self._wide[1])
        return [row((f"{head}, day by day", HEADING)), *map(row, lines)]
