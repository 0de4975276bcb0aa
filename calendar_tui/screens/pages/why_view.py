"""How a cohort's dates are worked out, day by day, as the command `why` prints it."""

from __future__ import annotations

from collections.abc import Iterable

from calendar_tui.handing_on.words.why_text import why_text
from calendar_tui.planning.laying_out.timeline import Timeline
from calendar_tui.screens.kit.drawing import HEADING, ListRow, row, wrapped
from calendar_tui.screens.kit.host import host
from calendar_tui.screens.kit.page import Page


def last_stage(timeline: Timeline) -> str:
    """The stage that rests on the most: the harvest, or what the cohort does not come to."""
    return "harvest" if "harvest" in timeline.stages else "flowering"


class WhyView(Page[None]):
    """Reads like a page."""

    def __init__(self, cohort_id: str) -> None:
        super().__init__()
        self._cohort_id = cohort_id

    def rows(self, width: int) -> Iterable[ListRow]:
        plan = host(self).plan
        if plan is None or self._cohort_id not in plan.timelines:
            return wrapped(f"{self._cohort_id} is not in this season any more.", width)
        stage = last_stage(plan.timelines[self._cohort_id])
        head, *lines = why_text(plan, self._cohort_id, stage, width)
        return [row((f"{head}, day by day", HEADING)), *map(row, lines)]
