"""The lamps: what to set each place's timer to, week by week, with its sums, its warnings and the cautions."""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from datetime import date
from functools import partial
from typing import ClassVar

from textual import work
from textual.app import ComposeResult
from textual.binding import BindingType
from textual.events import Resize

from calendar_tui.handing_on.words.first_steps import no_lamps_text
from calendar_tui.handing_on.words.lamps_text import (
    CAUTIONS,
    ELECTRICAL,
    burning_text,
    programmes_text,
    total_text,
    warnings_text,
    week_text,
    weeks_of,
)
from calendar_tui.planning.lamps.runs import LampSheet, lamp_sheet, lights_with_lamps
from calendar_tui.planning.laying_out.stays import span_text
from calendar_tui.planning.laying_out.timeline import Timeline
from calendar_tui.planning.plan import Plan
from calendar_tui.screens.kit.actions import bindings, shown_key
from calendar_tui.screens.kit.drawing import (
    BOLD,
    DIM,
    HEADING,
    PLAIN,
    WARNING,
    Bar,
    ListRow,
    first_rows,
    names_row,
    row,
    wrapped,
)
from calendar_tui.screens.kit.host import host
from calendar_tui.screens.kit.list_view import ListView
from calendar_tui.season.wording import weekday_text

FOOT = ("lamps", "help", "view")
TITLE, THIS_WEEK = "Lamps", "*"


def lights_in_order(plan: Plan, cohort_id: str) -> tuple[str, ...]:
    """The lights with lamps or covers: where the cohort stands today, its other ones, then all others in file order."""
    lit, timeline = lights_with_lamps(plan.season), plan.timelines.get(cohort_id)
    if timeline is None:
        return lit
    cohort = timeline.cohort
    own = (timeline.stay_on(plan.today).light, *cohort.lights)
    return tuple(dict.fromkeys((*(name for name in own if name in lit), *lit)))


def first_sheet(plan: Plan, cohort_id: str, weekday: int = 0) -> LampSheet | None:
    """The sheet the view opens on, or None where no place has lamps. Not for the event loop: each may take 50 ms.

    The first with something to set this week, else later, else the first of all.
    """
    names = lights_in_order(plan, cohort_id)
    later: LampSheet | None = None
    first: LampSheet | None = None
    for name in names:
        sheet = lamp_sheet(plan.season, name, plan.light, plan.timelines, weekday)
        weeks = weeks_of(sheet)
        if any(week.holds(plan.today) for week in weeks):
            return sheet
        first = first or sheet
        if later is None and any(week.begins > plan.today for week in weeks):
            later = sheet
    return later or first


def sheet_rows(sheet: LampSheet, today: date, width: int) -> Iterator[ListRow]:
    """The whole sheet; the cursor stands on warnings and weeks, and this week is marked."""
    yield from map(row, programmes_text(sheet, width))
    for n, warning in enumerate(warnings_text(sheet)):
        yield from _keyed(wrapped(warning, width, "! ", "  ", WARNING), f"! {n}")
    yield from map(row, burning_text(sheet, width))
    for week in weeks_of(sheet):
        now = week.holds(today)
        lines = [_marked(line) if now else line for line in week_text(sheet, week, width)]
        yield from _keyed([row((line, BOLD if now else PLAIN)) for line in lines], week.begins.isoformat())
    if sheet.runs:
        yield from _keyed([row((line, BOLD)) for line in total_text(sheet).splitlines()], "total")
    for caution in CAUTIONS[len(ELECTRICAL) :]:
        yield from wrapped(caution, width, "  ", style=DIM)


def _keyed(rows: list[ListRow], key: str) -> Iterator[ListRow]:
    """The rows, the first of them a stop for the cursor."""
    yield ListRow(rows[0].segments, key)
    yield from rows[1:]


def _marked(line: str) -> str:
    return THIS_WEEK + line[1:]


def week_key(sheet: LampSheet, today: date) -> str:
    """The key of this week, or else of the next one with lamps, or of the last; "" where there is none."""
    begins = [w.begins for w in weeks_of(sheet) if w.holds(today) or w.begins >= today]
    last = [w.begins for w in weeks_of(sheet)][-1:]
    return next((b.isoformat() for b in (*begins, *last)), "")


def heading_row(sheet: LampSheet, timeline: Timeline | None, today: date) -> ListRow:
    """Whether something marked ! stands below, what the mark means or that nothing burns this week, and who stands there."""
    warned = "  ! see below" if any(warnings_text(sheet)) else ""
    now = any(week.holds(today) for week in weeks_of(sheet))
    about = f"  {THIS_WEEK} this week" if now else "  nothing to set this week"
    about += f", today {weekday_text(today)}"
    about += "" if timeline is None else _stands_text(timeline, sheet.name)
    return row((TITLE, HEADING), (warned, WARNING), about)


def _stands_text(timeline: Timeline, name: str) -> str:
    """What the light of this name is to a cohort, with the dates where its record has stays; "" for nothing."""
    cohort, here = timeline.cohort, [stay for stay in timeline.stays if stay.light == name]
    if not here:
        return ""
    if cohort.written_stays:
        return f"; {cohort.id} stands here {', '.join(map(span_text, here))}"
    return f"; nursery of {cohort.id}" if here[-1].in_nursery else f"; {cohort.id} grows here"


class LampsView(ListView[None]):
    """One light at a time: a place, or a screened part of one. The electrical cautions stand below it."""

    HELP_FIRST = "lamps"
    CSS = "#heading { height: 2; }"
    BINDINGS: ClassVar[list[BindingType]] = bindings("lamps")

    def __init__(self, cohort_id: str = "", sheet: LampSheet | None = None) -> None:
        """cohort_id: the cohort whose places come first, "" for none; sheet: the first one, where it is worked out."""
        self._cautions = Bar(id="cautions")
        super().__init__(self._rows, FOOT, self._cautions)
        self._cohort_id, self._name = cohort_id, sheet.name if sheet else ""
        self._sheet = sheet

    def compose(self) -> ComposeResult:
        # Before the first layout, so that it is the last one too.
        self._say_cautions(*self.app.size)
        self._say_heading(self.app.size.width)
        if self._sheet is not None:
            self._list.key = week_key(self._sheet, host(self).today)
        yield from super().compose()

    def on_mount(self) -> None:
        if self._sheet is None:
            self.show_plan()

    def on_resize(self, event: Resize) -> None:
        self._say_cautions(*event.size)
        self._say_heading(event.size.width)

    def show_plan(self) -> None:
        """Work the sheet out anew: the season may have changed."""
        names, plan = self._names(), host(self).plan
        if plan is None or not names:
            self._sheet = None
            self._list.redraw()
            return
        if self._name not in names:
            self._name = names[0]
        self._work_out(plan, self._name)

    def _names(self) -> tuple[str, ...]:
        plan = host(self).plan
        return () if plan is None else lights_in_order(plan, self._cohort_id)

    @work(thread=True, exclusive=True)
    def _work_out(self, plan: Plan, name: str) -> None:
        weekday = host(self).preferences.first_weekday
        sheet = lamp_sheet(plan.season, name, plan.light, plan.timelines, weekday)
        self.app.call_from_thread(self._take, plan, sheet)

    def _take(self, plan: Plan, sheet: LampSheet) -> None:
        """Show a sheet, unless another has been asked for meanwhile; a new place opens on this week."""
        if plan is not host(self).plan or sheet.name != self._name:
            return
        if self._sheet is None or self._sheet.name != sheet.name:
            self._list.key = week_key(sheet, plan.today)
        self._sheet = sheet
        self._list.redraw()
        self._say_heading(self.size.width)

    def _rows(self, width: int) -> Iterable[ListRow]:
        if self._sheet is not None:
            return sheet_rows(self._sheet, host(self).today, width)
        plan = host(self).plan
        return wrapped(
            "" if plan is None or self._names() else no_lamps_text(plan.season, partial(shown_key, self)),
            width,
        )

    def _say_heading(self, width: int) -> None:
        plan, names = host(self).plan, self._names()
        if plan is None or self._sheet is None or self._name not in names:
            return
        heading = heading_row(self._sheet, plan.timelines.get(self._cohort_id), plan.today)
        self._heading.say(heading, names_row(names, self._name, width - 1))

    def _say_cautions(self, width: int, height: int) -> None:
        """As many of their lines as leave the weeks the larger part of the screen."""
        rows = [r for text in ELECTRICAL for r in wrapped(text, width - 1, "! ", "  ", WARNING)]
        rows = first_rows(rows, max(height * 2 // 5, 1), width - 1)
        self._cautions.styles.height = len(rows)
        self._cautions.say(*rows)

    def action_place(self, by: int) -> None:
        """The next place with lamps, or the one before; round at the ends."""
        names = self._names()
        if self._name in names:
            self._name = names[(names.index(self._name) + by) % len(names)]
            self.show_plan()

    def action_this_week(self) -> None:
        if self._sheet is not None:
            self._list.stand_on(week_key(self._sheet, host(self).today))
