"""One cohort in full: every date with its range and reason, planned against recorded, clashes."""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from datetime import date
from typing import ClassVar

from rich.cells import cell_len
from textual.binding import BindingType

from calendar_tui.handing_on.words.clash_text import one_cohort_texts
from calendar_tui.planning.evidence.recorded import Evidence
from calendar_tui.planning.evidence.words import evidence_note
from calendar_tui.planning.laying_out.stages import StageDate
from calendar_tui.planning.laying_out.timeline import Timeline
from calendar_tui.planning.plan import Plan
from calendar_tui.planning.waiting import clash_counts
from calendar_tui.planning.why.gaps import growth_of
from calendar_tui.screens.kit.actions import bindings
from calendar_tui.screens.kit.closed import closed_places, closed_texts
from calendar_tui.screens.kit.drawing import (
    BOLD,
    DIM,
    HEADING,
    WARNING,
    ListRow,
    evidence_rows,
    fitted,
    row,
    wrapped,
)
from calendar_tui.screens.kit.host import host
from calendar_tui.screens.kit.page import Page
from calendar_tui.season.measures import short_spacing_text
from calendar_tui.season.records import Cohort
from calendar_tui.season.stages import STAGES
from calendar_tui.season.wording import day_text, delay_text, full_day_text, stage_text, start_text

FOOT = ("cohort", "undo", "redo", "page", "help", "view")
LABEL_WIDTH, DATE_WIDTH, RANGE_WIDTH, COLUMN_WIDTH = 12, 17, 19, 16


def title(timeline: Timeline) -> str:
    """What the cohort is: variety, start, places, plants, spacing."""
    cohort = timeline.cohort
    where = timeline.where_text
    parts = [cohort.variety, f"from {start_text(cohort.start)}", where]
    parts += [f"{cohort.plants} plants"] if cohort.plants else []
    parts += [short_spacing_text(*cohort.spacing_m)] if cohort.spacing_m else []
    return ", ".join(parts)


def cohort_rows(plan: Plan, cohort_id: str, width: int) -> Iterator[ListRow]:
    """The whole view, top to bottom."""
    timeline = plan.timelines[cohort_id]
    name, about = f"Cohort {cohort_id}", title(timeline)
    whole = cell_len(f"{name}  {about}") <= width
    yield row((name, HEADING), f"  {about}" if whole else "")
    yield from () if whole else wrapped(about, width, "  ", "  ")
    for text in closed_texts(plan, timeline, closed_places(plan)):
        yield from wrapped(text, width, rest="  ", style=WARNING)
    if clashes := plan.clashes_of(cohort_id):
        yield row((f"{clash_counts(clashes).text}: below the dates", WARNING))
    if timeline.cohort.note:
        yield from wrapped(timeline.cohort.note, width, "Note: ", "  ")
    sections = (
        _dates(timeline, width),
        _compared(timeline.cohort),
        _growth(timeline, width),
        _clashes(plan, cohort_id, width),
    )
    for section in sections:
        yield row()
        yield from section
    if evidence := plan.evidence_of(cohort_id):
        yield row()
        yield from _says(evidence, cohort_id, width)
    if plan.notes:
        yield row()
        yield row(("Temperatures", HEADING))
        for note in plan.notes:
            yield from wrapped(note, width, "  ", "  ")


def _clashes(plan: Plan, cohort_id: str, width: int) -> Iterator[ListRow]:
    if not plan.clashes_of(cohort_id):
        yield row("No clashes.")
        return
    texts = one_cohort_texts(plan, cohort_id)
    yield row(("Clashes", WARNING))
    for text in texts:
        yield from wrapped(text, width, "! ", "  ")


def _says(known: Iterable[Evidence], cohort_id: str, width: int) -> Iterator[ListRow]:
    """What its records say about the variety, or those of other cohorts about it."""
    yield row(("What the records say", HEADING))
    for evidence in known:
        yield from evidence_rows(evidence_note(evidence, cohort_id), width)


def _dates(timeline: Timeline, width: int) -> Iterator[ListRow]:
    lead = (
        fitted("stage", LABEL_WIDTH)
        + fitted("likely", DATE_WIDTH)
        + fitted("earliest to latest", RANGE_WIDTH)
    )
    yield row((f"{lead}status", HEADING))
    for stage, stage_date in timeline.stages.items():
        yield row(
            (fitted(stage_text(stage), LABEL_WIDTH), BOLD),
            fitted(full_day_text(stage_date.likely), DATE_WIDTH)
            + fitted(range_text(stage_date), RANGE_WIDTH)
            + stage_date.status,
        )
        if stage_date.reason:
            yield from wrapped(stage_date.reason, width, " " * LABEL_WIDTH, style=DIM)
        if stage_date.dates:
            days = ", ".join(map(day_text, stage_date.dates))
            yield from wrapped(days, width, " " * LABEL_WIDTH)
    if timeline.never:
        yield from wrapped(timeline.never, width, "! ", "  ", WARNING)


def range_text(stage_date: StageDate) -> str:
    """ "10 Dec to 24 Dec"; "" where the date is one day."""
    if stage_date.earliest == stage_date.latest:
        return ""
    return f"{day_text(stage_date.earliest)} to {day_text(stage_date.latest)}"


def _compared(cohort: Cohort) -> Iterator[ListRow]:
    """Planned first, planned again, recorded, and how late against the date now intended."""
    names = ("planned", "planned again", "recorded")
    lead = fitted("stage", LABEL_WIDTH) + "".join(fitted(n, COLUMN_WIDTH) for n in names)
    yield row((f"{lead}late or early", HEADING))
    tables = (cohort.planned, cohort.replanned, cohort.recorded)
    for stage in STAGES:
        dates = [table.get(stage) for table in tables]
        if any(dates):
            text = "".join(fitted(_day(d), COLUMN_WIDTH) for d in dates)
            yield row((fitted(stage_text(stage), LABEL_WIDTH), BOLD), text + _delay(cohort, stage))


def _day(day: date | None) -> str:
    return "-" if day is None else full_day_text(day)


def _delay(cohort: Cohort, stage: str) -> str:
    done, meant = cohort.recorded.get(stage), cohort.intended(stage)
    return "" if done is None or meant is None else delay_text((done - meant).days)


def _growth(timeline: Timeline, width: int) -> Iterator[ListRow]:
    begin = "transplant" if "transplant" in timeline.stages else "emergence or rooted"
    grown = growth_of(timeline)
    spread = f" ({grown.range_text})" if grown is not None and grown.range_text else ""
    text = (
        "not known: it has no date for flowering"
        if grown is None
        else f"{grown.likely}, from {begin} to {timeline.growth_end}{spread}"
    )
    yield from wrapped(text, width, "Days of growth: ", "  ")


class CohortView(Page[bool]):
    """Reads like a page; gives True where a date was recorded from it."""

    HELP_FIRST = "cohort"
    BINDINGS: ClassVar[list[BindingType]] = bindings("cohort", "undo", "redo")

    def __init__(self, cohort_id: str) -> None:
        super().__init__(FOOT)
        self._cohort_id = cohort_id

    def rows(self, width: int) -> Iterable[ListRow]:
        plan = host(self).plan
        if plan is None or self._cohort_id not in plan.timelines:
            return wrapped(f"{self._cohort_id} is not in this season any more.", width)
        return cohort_rows(plan, self._cohort_id, width)

    async def action_record(self) -> None:
        plan = host(self).plan
        if plan is not None and self._cohort_id in plan.timelines:
            await host(self).open_view("record", self._cohort_id, then=self._after_record)

    async def action_days(self) -> None:
        plan = host(self).plan
        if plan is not None and self._cohort_id in plan.timelines:
            await host(self).open_view("why", self._cohort_id)

    async def action_lot(self) -> None:
        """From when to when it may be cut."""
        await host(self).open_view("lot", self._cohort_id, True)

    async def action_trend(self) -> None:
        plan = host(self).plan
        if plan is not None and self._cohort_id in plan.timelines:
            await host(self).open_view("trend", self._cohort_id, True)

    def _after_record(self, saved: bool | None) -> None:
        if saved:
            self.dismiss(True)
