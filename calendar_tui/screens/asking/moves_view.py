"""What would move: old and new for every answer, before anything is saved."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from dataclasses import replace
from datetime import date
from typing import ClassVar

from textual import work
from textual.app import ComposeResult
from textual.binding import BindingType
from textual.widgets import Input

from calendar_tui.language.speaking import tr, translated
from calendar_tui.planning.changes.proposal import Proposal
from calendar_tui.planning.changes.replan import refresh
from calendar_tui.planning.changes.slips import HOLD, SHIFT
from calendar_tui.planning.plan import Plan
from calendar_tui.screens.asking.answers import (
    DATE,
    Act,
    Answer,
    Question,
    answers,
    compared_rows,
    detail_rows,
)
from calendar_tui.screens.asking.asked_rows import question_rows
from calendar_tui.screens.asking.group_rows import are_grouped, group_rows
from calendar_tui.screens.asking.question_view import DoubtsView
from calendar_tui.screens.kit.actions import bindings
from calendar_tui.screens.kit.crew_words import crew_words
from calendar_tui.screens.kit.drawing import HEADING, WARNING, ListRow, row, wrapped
from calendar_tui.screens.kit.host import host
from calendar_tui.screens.kit.page import Page
from calendar_tui.screens.kit.typed import TypedField
from calendar_tui.season.finders import find_cohort
from calendar_tui.season.refusal import Refusal
from calendar_tui.season.typed_dates import typed_in_season
from calendar_tui.season.wording import year_day_text

FOOT = ("moves", "page", "help", "view")
CHOICE_FOOT = ("answers", *FOOT)
DATE_FOOT = ("typed date", "view")


class MovesView(Page[bool]):
    """Sets the answers side by side; gives True once the chosen one is handed on to be saved."""

    HELP_FIRST = "moves"
    CREW: ClassVar[bool | None] = None
    BINDINGS: ClassVar[list[BindingType]] = bindings("answers", "moves")

    def __init__(self, act: Act | None, choices: Sequence[Answer], chosen: str = "") -> None:
        """act: None where no date is recorded and only the saved tasks are updated to the plan."""
        super().__init__(FOOT, chosen="")
        self._act, self._answers = act, tuple(choices)
        self._chosen = chosen or next(a.name for a in choices if a.proposal)
        self._error = ""
        self._input = TypedField(id="lights-off")

    @classmethod
    def for_refresh(cls, proposal: Proposal) -> MovesView:
        """The view of what would update the saved tasks to the plan."""
        return cls(None, (Answer("", "", proposal),))

    def compose(self) -> ComposeResult:
        yield self._body
        yield self._input
        yield self._keys

    def on_mount(self) -> None:
        self._close_input()

    @property
    def text(self) -> str:
        """All that the view shows, as plain text."""
        return f"{self._body.text}\n{self._keys.text}"

    @property
    def chosen(self) -> Answer:
        """The answer that would be saved."""
        return next(a for a in self._answers if a.name == self._chosen)

    def show_plan(self) -> None:
        """Work the answers out anew: the season has changed meanwhile."""
        plan = host(self).plan
        if plan is not None:
            self._work_out(plan, self._act, self._chosen, self._input.asked)

    def rows(self, width: int) -> Iterable[ListRow]:
        plan = host(self).plan
        if self._error:
            yield from wrapped(translated(self._error), width, style=WARNING)
        if self._act is None:
            yield row(("Update the saved tasks to the plan", HEADING), ("  nothing is saved yet", WARNING))
            yield from wrapped("No date of a cohort moves. Done, skipped and hand-moved tasks stand.", width)
        elif plan is not None and self._act.cohort in ("", *plan.timelines):
            yield from question_rows(plan, self._act, self.chosen, width)
        for mark, doubt in self.chosen.proposal.marked_doubts if self.chosen.proposal else ():
            yield from wrapped(translated(doubt), width, f"{mark} ", "  ", WARNING)
        if are_grouped(self._answers):
            yield from group_rows(self._answers, self.chosen, width)
            return
        if self._act is not None:
            yield row()
            yield from compared_rows(self._answers, self._act.edited, self._chosen, width)
        yield from detail_rows(self.chosen, width)

    @work(thread=True, exclusive=True)
    def _work_out(self, plan: Plan, act: Act | None, chosen: str, typing: bool = False) -> None:
        try:
            choices, error = _answers_to(plan, act), ""
        except Refusal as slip:
            choices, error = (), str(slip)
        self.app.call_from_thread(self._take, act, choices, chosen, error, typing)

    def _take(
        self, act: Act | None, choices: tuple[Answer, ...], chosen: str, error: str, typing: bool
    ) -> None:
        """Show these answers; where there are none, say why and offer nothing to save. typing: a date is being typed."""
        self._error = error
        self._act = act
        self._answers = choices or (Answer("", "", None, error),)
        names = [a.name for a in self._answers if a.proposal]
        self._chosen = chosen if chosen in names else (names or [self._answers[0].name])[0]
        if not (typing and choices):
            self._close_input()
        self._body.redraw()

    def _show_error(self, error: str) -> None:
        self._error = error
        self._body.redraw()

    def _choose(self, name: str) -> None:
        if any(a.name == name and a.proposal for a in self._answers):
            self._chosen = name
            self._body.redraw()
            self._body.scroll_home(animate=False)
            self._name_keys()

    def action_hold(self) -> None:
        self._choose(HOLD)

    def action_shift(self) -> None:
        self._choose(SHIFT)

    def action_other_date(self) -> None:
        """Ask for a date for lights-off, where that is the question."""
        plan = host(self).plan
        if plan is None or not isinstance(self._act, Question) or not self.chosen.name:
            return
        meant = find_cohort(plan.season, self._act.cohort).intended("lights_off")
        self._input.ask("" if meant is None else year_day_text(meant))
        self._keys.name_keys(DATE_FOOT)

    def on_input_submitted(self, submitted: Input.Submitted) -> None:
        plan = host(self).plan
        if plan is None or not isinstance(self._act, Question):
            return
        try:
            day = self._typed(plan, self._act.cohort, submitted.value)
        except ValueError as error:
            self._show_error(str(error))
            self._body.scroll_home(animate=False)
            return
        self._work_out(plan, replace(self._act, lights_off=day), DATE)

    def _typed(self, plan: Plan, cohort: str, text: str) -> date:
        meant = find_cohort(plan.season, cohort).intended("lights_off")
        today, order = host(self).today, host(self).date_order
        return typed_in_season(text, plan.season, today=today, planned=meant, past=False, order=order)

    def _close_input(self) -> None:
        self._input.close()
        self._body.focus()
        self._name_keys()

    def _name_keys(self) -> None:
        """The choice is named at the key that saves it, and that it asks first: both may be scrolled out of sight."""
        chosen, proposal = self.chosen.name, self.chosen.proposal
        with crew_words(self):
            asks = tr(", asks first (?)") if proposal is not None and proposal.questions else ""
            words = (f" {tr(chosen)}" if chosen else "") + asks
        self._keys.name_keys(CHOICE_FOOT if chosen else FOOT, chosen=words)

    def action_save(self) -> None:
        """Hand the chosen change down and leave; what is asked about expressly only upon yes."""
        proposal = self.chosen.proposal
        if proposal is None:
            return
        if proposal.questions:
            self.app.push_screen(DoubtsView(proposal), lambda yes: self._save(proposal) if yes else None)
        else:
            self._save(proposal)

    def _save(self, proposal: Proposal) -> None:
        host(self).save(proposal.change)
        self.dismiss(True)

    def action_back(self) -> None:
        if self._input.asked:
            self._show_error("")
            self._close_input()
        else:
            self.dismiss(False)


def _answers_to(plan: Plan, act: Act | None) -> tuple[Answer, ...]:
    if act is not None:
        return answers(plan, act)
    proposal = refresh(plan)
    if not proposal.tasks:
        raise Refusal("The saved tasks agree with the plan: there is nothing to save.")
    return (Answer("", "", proposal),)
