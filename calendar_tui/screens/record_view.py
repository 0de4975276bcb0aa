"""Record a date that happened, or plan a stage again: choose a stage, type a date, then see what moves."""

from __future__ import annotations

from collections.abc import Iterable
from typing import ClassVar

from textual import work
from textual.app import ComposeResult
from textual.binding import Binding, BindingType
from textual.screen import Screen
from textual.widgets import Input

from calendar_tui.planning.plan import Plan
from calendar_tui.planning.slips import find_cohort
from calendar_tui.planning.stages import StageDate
from calendar_tui.planning.wording import full_day_text, stage_text
from calendar_tui.screens.actions import bindings
from calendar_tui.screens.answers import Answer, Question, answers
from calendar_tui.screens.drawing import (
    BOLD,
    DIM,
    HEADING,
    WARNING,
    Bar,
    Picker,
    Row,
    fitted,
    keys_row,
    row,
    wrapped,
)
from calendar_tui.screens.host import host
from calendar_tui.screens.moves_view import MovesView
from calendar_tui.season.checks import stage_problem
from calendar_tui.season.records import DECIDED, STAGES, Cohort, Season
from calendar_tui.season.typed_dates import typed_date

KEYS = "up/down stage  enter see what moves  ctrl+t record or plan again  esc back"
FORMS = 'Date: 2026-11-08, "8 nov", +9 (days from the plan), a weekday, or today'
DATE_WIDTH, STATUS_WIDTH, LABEL_WIDTH = 16, 10, 12
ERROR_LINES = 3


def stages_for(season: Season, cohort: Cohort, again: bool) -> tuple[str, ...]:
    """The stages that can be recorded for a cohort, or planned again."""
    if again:
        open_ones = (s for s in STAGES if s not in cohort.recorded)
        return tuple(s for s in open_ones if not stage_problem(season, cohort, "planned", s))
    return tuple(s for s in STAGES if not stage_problem(season, cohort, "recorded", s))


def next_stage(cohort: Cohort, stages: tuple[str, ...]) -> str:
    """The first stage the grower decides on that has a date intended and none recorded; else the first unrecorded."""
    unrecorded = [s for s in stages if s not in cohort.recorded]
    decided = [s for s in unrecorded if s in DECIDED]
    intended = [s for s in decided if cohort.intended(s)]
    return (intended or decided or unrecorded or list(stages) or [""])[0]


def stage_rows(plan: Plan, cohort: Cohort, again: bool) -> Iterable[Row]:
    """A row for each stage: its likely date, its status, and the date planned."""
    dates = plan.timelines[cohort.id].stages
    for stage in stages_for(plan.season, cohort, again):
        yield row(fitted(stage_text(stage), LABEL_WIDTH), _present(dates.get(stage)), key=stage)


def _present(now: StageDate | None) -> str:
    if now is None:
        return "no date yet"
    differs = now.intended is not None and now.intended != now.likely
    planned = f"planned {full_day_text(now.intended)}" if differs and now.intended else ""
    return fitted(full_day_text(now.likely), DATE_WIDTH) + fitted(now.status, STATUS_WIDTH) + planned


class RecordView(Screen[bool]):
    """Asks for a stage and a date of one cohort; gives True once a change is handed on to be saved."""

    CSS = "RecordView Input { border: none; height: 1; padding: 0 2; } RecordView #error { height: 3; } RecordView #prompt { height: 2; }"
    BINDINGS: ClassVar[list[BindingType]] = [
        *bindings("view"),
        Binding("up", "stage(-1)", show=False),
        Binding("down", "stage(1)", show=False),
        Binding("ctrl+t", "switch", show=False, priority=True),
        Binding("p", "switch", show=False),
        Binding("enter", "submit", show=False),
    ]

    def __init__(self, cohort_id: str, stage: str = "") -> None:
        super().__init__()
        self._cohort_id, self._again = cohort_id, False
        self._heading, self._prompt, self._error = Bar(), Bar(id="prompt"), Bar(id="error")
        self._list = Picker(self._rows, key=stage)
        self._input = Input(id="date")

    def compose(self) -> ComposeResult:
        cohort = self._cohort()
        plan = host(self).plan
        if plan is not None and cohort is not None and not self._list.key:
            self._list.key = next_stage(cohort, stages_for(plan.season, cohort, self._again))
        yield self._heading
        yield self._list
        yield self._prompt
        yield self._input
        yield self._error
        yield Bar(keys_row(KEYS))

    def on_mount(self) -> None:
        self._input.value = host(self).today.isoformat()
        self._input.focus()

    def show_plan(self) -> None:
        """Draw the stages as the season has them now."""
        self._list.redraw()

    @property
    def text(self) -> str:
        """All that the view shows, as plain text."""
        return "\n".join(part.text for part in (self._heading, self._list, self._prompt, self._error))

    def _cohort(self) -> Cohort | None:
        plan = host(self).plan
        return None if plan is None else plan.season.cohorts.get(self._cohort_id)

    def _rows(self, width: int) -> Iterable[Row]:
        plan, cohort = host(self).plan, self._cohort()
        if plan is None or cohort is None:
            return wrapped(f"{self._cohort_id} is not in this season any more.", width)
        does = "Plan again a date of" if self._again else "Record a date of"
        start = f"{cohort.variety}, from {cohort.start}, {cohort.place}"
        self._heading.say(row((f"{does} {cohort.id}", HEADING), f"  {start}"))
        return stage_rows(plan, cohort, self._again)

    def on_picker_moved(self) -> None:
        """Name the stage beside the input, so that it is read together with the date."""
        does = "planned for" if self._again else "recorded on"
        self._prompt.say(row((FORMS, DIM)), row((f"{stage_text(self._list.key)} {does}:", BOLD)))
        cohort = self._cohort()
        if self._again and cohort is not None and (meant := cohort.intended(self._list.key)):
            self._input.value = meant.isoformat()

    def action_stage(self, by: int) -> None:
        self._list.action_step(by)

    def action_switch(self) -> None:
        """Between recording what happened and planning again what is to come."""
        self._again = not self._again
        self._input.value = host(self).today.isoformat()
        self._error.say()
        self._list.redraw()

    def action_submit(self) -> None:
        self._ask(self._input.value)

    def on_input_submitted(self, submitted: Input.Submitted) -> None:
        self._ask(submitted.value)

    def _ask(self, text: str) -> None:
        plan = host(self).plan
        if plan is None or not self._list.key:
            return
        self._error.say()
        self._work_out(plan, self._list.key, text, self._again)

    @work(thread=True, exclusive=True)
    def _work_out(self, plan: Plan, stage: str, text: str, again: bool) -> None:
        try:
            asked = self._question(plan, stage, text, again)
            found = answers(plan, asked)
        except ValueError as error:
            self.app.call_from_thread(self._say_error, str(error))
            return
        self.app.call_from_thread(self._show_moves, asked, found)

    def _question(self, plan: Plan, stage: str, text: str, again: bool) -> Question:
        season = plan.season
        cohort = find_cohort(season, self._cohort_id)
        day = typed_date(
            text,
            today=plan.today,
            planned=cohort.intended(stage) or plan.timelines[cohort.id].likely(stage),
            first_day=season.first_day,
            last_day=season.last_day,
            past=not again,
        )
        return Question(cohort.id, stage, day, again)

    def _say_error(self, message: str) -> None:
        self._error.say(*wrapped(message, self.size.width - 1, style=WARNING)[:ERROR_LINES])

    def _show_moves(self, asked: Question, found: tuple[Answer, ...]) -> None:
        self.app.push_screen(MovesView(asked, found), self._after_moves)

    def _after_moves(self, saved: bool | None) -> None:
        if saved:
            self.dismiss(True)

    def action_back(self) -> None:
        self.dismiss(False)
