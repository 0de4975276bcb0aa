"""Record a date that happened, note that a stage is not there yet, or plan it again: choose a stage, type a date, then see what moves."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from typing import ClassVar

from textual.app import ComposeResult
from textual.binding import BindingType
from textual.widgets import Input

from calendar_tui.language.speaking import marked, phrase, tr, tr_n, translated
from calendar_tui.planning.changes.facts import offered_text, own_amount, typed_facts
from calendar_tui.planning.changes.ticks import works_of_stages
from calendar_tui.planning.coming import coming
from calendar_tui.planning.laying_out.stages import StageDate
from calendar_tui.planning.laying_out.stays import growing_on
from calendar_tui.planning.plan import Plan
from calendar_tui.screens.asking.answers import Question
from calendar_tui.screens.asking.form import Form
from calendar_tui.screens.kit.actions import bindings
from calendar_tui.screens.kit.crew_words import crew_words
from calendar_tui.screens.kit.drawing import (
    BOLD,
    DIM,
    HEADING,
    Bar,
    ListRow,
    fitted,
    row,
    wrapped,
)
from calendar_tui.screens.kit.host import host
from calendar_tui.season.cells import cell_len
from calendar_tui.season.checks import stage_problem
from calendar_tui.season.date_words import day_and_cause
from calendar_tui.season.finders import find_cohort
from calendar_tui.season.records import Cohort, Season
from calendar_tui.season.stages import BEFORE, STAGES
from calendar_tui.season.typed_dates import typed_in_season
from calendar_tui.season.wording import cohorts_text, full_day_text, stage_text, start_text, year_day_text

FOOT = ("record", "view")
FORMS = marked('Date: 2026-11-08, "8 nov", +9 (from the plan), a weekday; "today because rain"')
# What is done with a date, in turn, each by the table of a cohort's record that it goes into, and what it says.
_DOES = {
    "recorded": marked("Record a date of {cohort}"),
    "planned": marked("Plan again a date of {cohort}"),
    "not_yet": marked("Note a look without a stage of {cohort}"),
}
_PROMPTS = {
    "recorded": marked("{stage} recorded on:"),
    "planned": marked("{stage} planned for:"),
    "not_yet": marked("{stage} not there yet on:"),
}
TABLES = tuple(_DOES)
DATE_WIDTH, STATUS_WIDTH, LABEL_WIDTH = 16, 10, 12


def stages_for(season: Season, cohort: Cohort, table: str) -> tuple[str, ...]:
    """The stages whose date can go into that table of a cohort's record; what has been is not planned, nor looked for."""
    been = {"recorded": (), "planned": cohort.recorded, "not_yet": _been(cohort)}[table]
    return tuple(s for s in STAGES if s not in been and not stage_problem(season, cohort, table, s))


def _been(cohort: Cohort) -> set[str]:
    """The stages that a cohort has behind it: those recorded, and those that come before one."""
    return set(cohort.recorded).union(*(BEFORE[stage] for stage in cohort.recorded))


def next_stage(plan: Plan, cohorts: Sequence[Cohort], stages: Sequence[str]) -> str:
    """The stage to stand on, of those that all cohorts can have: what is overdue or comes next with the first of them.

    Where that is not among them, the first that is not recorded of one of them.
    """
    to_come = [c.stage for cohort in cohorts if (c := coming(plan.timelines[cohort.id], plan.today))]
    first = min(to_come, key=STAGES.index, default="")
    unrecorded = [s for s in stages if any(s not in cohort.recorded for cohort in cohorts)]
    return first if first in stages else (unrecorded or [*stages, ""])[0]


def stage_rows(plan: Plan, cohort: Cohort, stages: Iterable[str]) -> Iterable[ListRow]:
    """A row for each of these stages: its likely date, its status, and the date planned."""
    dates = plan.timelines[cohort.id].stages
    labels = {stage: stage_text(stage) for stage in stages}
    width = max(LABEL_WIDTH, *(cell_len(label) + 1 for label in labels.values()))
    for stage, label in labels.items():
        yield row(fitted(label, width), _present(dates.get(stage)), key=stage)


def _present(now: StageDate | None) -> str:
    if now is None:
        return tr("no date yet")
    differs = now.intended is not None and now.intended != now.likely
    planned = tr("planned {day}", day=full_day_text(now.intended)) if differs and now.intended else ""
    return fitted(full_day_text(now.likely), DATE_WIDTH) + fitted(tr(now.status), STATUS_WIDTH) + planned


class RecordView(Form):
    """Asks for a stage and a date of one cohort."""

    HELP_FIRST = "record"
    CREW: ClassVar[bool | None] = None
    CSS = f"{Form.CSS} #prompt {{ height: 2; }}"
    BINDINGS: ClassVar[list[BindingType]] = bindings("record")

    def __init__(self, cohort_id: str, stage: str = "", others: tuple[str, ...] = ()) -> None:
        """cohort_id: the cohort whose dates are listed; others: those that the date is for too."""
        self._cohort_id, self._others, self._table = cohort_id, others, "recorded"
        # The stage whose date stands in the input, typed or proposed: a date being typed is not written over.
        self._dated = ""
        self._today_proposed = ""
        self._prompt, self._input = Bar(id="prompt"), Input(id="date")
        self._fact_prompt, self._fact = Bar(), Input(id="fact")
        fields = (self._prompt, self._input, self._fact_prompt, self._fact)
        super().__init__(self._rows, fields, FOOT, stage)

    def compose(self) -> ComposeResult:
        cohort = self._cohort()
        plan = host(self).plan
        if plan is not None and cohort is not None and not self._list.key:
            there = [plan.season.cohorts[name] for name in self._others if name in plan.season.cohorts]
            self._list.key = next_stage(plan, (cohort, *there), self._stages(plan, cohort))
        yield from super().compose()

    def on_mount(self) -> None:
        self._propose_today()
        self._input.focus()

    def _propose_today(self) -> None:
        self._input.value = self._today_proposed = year_day_text(host(self).today)

    def show_plan(self) -> None:
        """Draw the stages anew; a date proposed for today is that of a new day, one that was typed stays."""
        if self._input.value == self._today_proposed:
            self._propose_today()
        super().show_plan()

    def _cohort(self) -> Cohort | None:
        plan = host(self).plan
        return None if plan is None else plan.season.cohorts.get(self._cohort_id)

    def _rows(self, width: int) -> Iterable[ListRow]:
        plan, cohort = host(self).plan, self._cohort()
        if plan is None or cohort is None:
            return wrapped(tr("{cohort} is not in this season any more.", cohort=self._cohort_id), width)
        here = growing_on(plan.timelines[cohort.id].stays, plan.today)
        whose = tr(
            "{variety}, from {start}, {place}",
            variety=cohort.variety,
            start=start_text(cohort.start),
            place=here.place,
        )
        name = cohort.id
        if self._others:
            name = tr_n("{count} cohort", "{count} cohorts", 1 + len(self._others))
            whose = (
                f"{cohorts_text((cohort.id, *self._others))}; {tr('dates of {cohort}:', cohort=cohort.id)}"
            )
        self._heading.say(row((tr(_DOES[self._table], cohort=name), HEADING), f"  {whose}"))
        return stage_rows(plan, cohort, self._stages(plan, cohort))

    def _stages(self, plan: Plan, cohort: Cohort) -> tuple[str, ...]:
        """The stages that all of them can have recorded, or planned again."""
        there = (plan.season.cohorts[name] for name in self._others if name in plan.season.cohorts)
        common = [set(stages_for(plan.season, other, self._table)) for other in there]
        return tuple(s for s in stages_for(plan.season, cohort, self._table) if all(s in of for of in common))

    def on_picker_moved(self) -> None:
        """Name the stage beside the input, so that it is read together with the date."""
        with crew_words(self):
            prompt = tr(_PROMPTS[self._table], stage=stage_text(self._list.key))
            self._prompt.say(row((tr(FORMS), DIM)), row((prompt, BOLD)))
        cohort = self._cohort()
        dated, self._dated = self._dated, self._list.key if self._table == "planned" else ""
        if dated != self._dated and cohort is not None and (meant := cohort.intended(self._dated)):
            self._input.value = year_day_text(meant)
        self._say_what_may_be_found()

    def _say_what_may_be_found(self) -> None:
        """Ask what was found where a task is the work of the stage, with what was planned of the cohorts, alike once."""
        plan, stage = host(self).plan, self._list.key
        asked = plan is not None and self._table == "recorded"
        names = (self._cohort_id, *self._others)
        works = works_of_stages(plan.season, [(n, stage) for n in names]) if plan and asked else {}
        self._fact_prompt.display = self._fact.display = any(works.values())
        if plan is None or not any(works.values()):
            return
        amounts = (own_amount(plan.season, tasks[0], name) for (name, _), tasks in works.items() if tasks)
        offered = offered_text(amounts)
        with crew_words(self):
            planned = f"; {tr('= for {amount}, as planned', amount=translated(offered))}" if offered else ""
            one = f"; {tr('{cohort}=23 for one', cohort=names[-1])}" if self._others else ""
            self._fact_prompt.say(row((tr("Found (Tab)"), BOLD), (f"{planned}{one}:", DIM)))

    def action_stage(self, by: int) -> None:
        self._list.action_step(by)

    def action_switch(self) -> None:
        """From recording what happened to planning again what is to come, to noting what is not there yet, and round."""
        self._table = TABLES[(TABLES.index(self._table) + 1) % len(TABLES)]
        self._propose_today()
        self._error.say()
        self._list.redraw()

    def on_input_submitted(self) -> None:
        self.action_submit()

    def action_submit(self) -> None:
        typed = (
            self._cohort_id,
            self._list.key,
            self._input.value,
            self._table,
            host(self).date_order,
            self._others,
            self._fact.value if self._fact.display else "",
        )
        self.ask(lambda plan: _question(plan, *typed))


def _question(
    plan: Plan, name: str, stage: str, text: str, table: str, order: str, others: tuple[str, ...], found: str
) -> Question:
    """What is asked with a date, and what was found, as typed. Raises ValueError where it is none."""
    season = plan.season
    cohort = find_cohort(season, name)
    meant = cohort.intended(stage) or plan.timelines[cohort.id].likely(stage)
    when, cause = day_and_cause(text)
    if cause and table != "recorded":
        raise ValueError(phrase("A cause goes with a date that is recorded; leave it out here."))
    day = typed_in_season(when, season, today=plan.today, planned=meant, past=table != "planned", order=order)
    facts = typed_facts([found], season, (cohort.id, *others))
    return Question(cohort.id, stage, day, table, others=others, facts=facts, cause=cause)
