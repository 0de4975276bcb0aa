"""Tasks that were done: the day, and what each asks for, in one form; saved as one change, with the dates they record."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from datetime import date
from typing import ClassVar

from textual.binding import BindingType
from textual.widgets import Input

from calendar_tui.language.speaking import chore_text, phrase, tr, translated
from calendar_tui.planning.changes.doubts import tick_doubts
from calendar_tui.planning.changes.facts import AS_PLANNED, Facts, fact_with, own_amount, typed_facts
from calendar_tui.planning.changes.spent import shared_out, typed_hours
from calendar_tui.planning.changes.task_edits import task_name
from calendar_tui.planning.changes.ticks import (
    DUE,
    Tick,
    asks_of,
    due_or_today,
    not_yet,
    recorded_day,
    stage_to_record,
    tick_change,
)
from calendar_tui.planning.cutting.holds import tick_holds
from calendar_tui.planning.plan import Plan
from calendar_tui.screens.asking.answers import Ticks
from calendar_tui.screens.asking.form import Form
from calendar_tui.screens.kit.actions import bindings
from calendar_tui.screens.kit.crew_words import crew_words
from calendar_tui.screens.kit.drawing import BOLD, HEADING, Bar, ListRow, fitted, row, wrapped
from calendar_tui.screens.kit.host import REPAINT_S, host
from calendar_tui.season.cells import cell_len
from calendar_tui.season.date_words import day_and_cause
from calendar_tui.season.records import Season, Task
from calendar_tui.season.typed_dates import FROM_DUE, typed_in_season
from calendar_tui.season.wording import stage_text, year_day_text

FOOT = ("done", "tasks", "view")
NOTES_FOOT = ("notes", "tasks", "view")


class DoneView(Form):
    """Asks for the day on which tasks were done, and for a note where a task asks for one; any may be left empty."""

    HELP_FIRST = "done"
    CREW: ClassVar[bool] = True
    BINDINGS: ClassVar[list[BindingType]] = bindings("notes", "tasks")

    def __init__(self, tasks: Sequence[Task], season: Season, *, on_day: bool) -> None:
        """tasks: to be ticked; on_day: whether the day is asked for first, and not what the tasks ask for."""
        self._ids = tuple(task.id for task in tasks)
        self._asks = {task.id: asks for task in tasks if (asks := asks_of(season, task))}
        self._facts = {task.id: task.fact for task in tasks if task.id in self._asks}
        self._day_first = on_day or not self._asks
        self._proposed, self._doubted = "", ""
        # The task whose note the field holds.
        self._at = ""
        self._day_prompt, self._day = Bar(), Input(id="day")
        self._fact_prompt, self._fact = Bar(), Input(id="fact")
        self._spent_prompt, self._spent = Bar(), Input(id="spent")
        fields = (
            *(self._day_prompt, self._day),
            *((self._fact_prompt, self._fact) if self._asks else ()),
            *(self._spent_prompt, self._spent),
        )
        first = next(iter(self._asks), self._ids[0])
        super().__init__(self._rows, fields, NOTES_FOOT if self._asks else FOOT, first)

    def on_mount(self) -> None:
        self._propose_today()
        (self._day if self._day_first else self._fact).focus()

    def _propose_today(self) -> None:
        self._day.value = self._proposed = year_day_text(host(self).today)

    def on_screen_resume(self) -> None:
        """Send the view once, when it is opened and when one above it is left: Textual would paint it three times."""
        self.app.delay_update(REPAINT_S)

    def show_plan(self) -> None:
        """Draw the tasks anew; a day proposed for today is that of a new day, one that was typed stays."""
        if self._day.value == self._proposed:
            self._propose_today()
        super().show_plan()

    def _tasks(self, season: Season) -> list[Task]:
        """Those that are still there and not done by somebody else."""
        return [t for t in season.tasks if t.id in self._ids and t.state != "done"]

    # --- what is drawn

    def _rows(self, width: int) -> Iterable[ListRow]:
        plan = host(self).plan
        tasks = [] if plan is None else self._tasks(plan.season)
        if plan is None or not tasks:
            return wrapped(tr("These tasks are done, or not in this season any more."), width)
        alone = len(tasks) == 1
        count = "" if alone else f"  {tr('{count} tasks, saved as one change', count=len(tasks))}"
        self._heading.say(row((tr("Done"), HEADING), count))
        stages = [f"{t.cohort} {stage_text(s)}" for t in tasks if (s := stage_to_record(plan.season, t))]
        day = (
            tr('Done on (records {stages}; "8 dec because rain" if late):', stages=", ".join(stages))
            if stages
            else tr("Done on:")
        )
        self._day_prompt.say(row((fitted(day, width), BOLD)))
        spent = (
            tr("Hours spent, if known (Tab):")
            if alone
            else tr("Hours spent, of all together, if known (Tab):")
        )
        self._spent_prompt.say(row((fitted(spent, width), BOLD)))
        asking = any(task.id in self._asks for task in tasks)
        return [self._task_row(task, width, asking) for task in tasks]

    def _task_row(self, task: Task, width: int, asking: bool) -> ListRow:
        """asking: whether any of the tasks asks for something; the cursor then stands on those alone."""
        if task.id not in self._asks:
            return row(fitted(translated(task_name(task)), width), key="" if asking else task.id)
        note = f"{chore_text(self._asks[task.id])}: {self._facts[task.id]}"
        at = max(width // 2, width - cell_len(note) - 2)
        return row(
            fitted(translated(task_name(task)), at), "  ", (fitted(note, width - at - 2), BOLD), key=task.id
        )

    def on_picker_moved(self) -> None:
        if self._list.key != self._at:
            self._ask(self._list.key)

    def _ask(self, key: str, typed: str = "") -> None:
        """Ask for what a task asks for. typed: of it already, while the answer before was on its way."""
        self._at = key
        with crew_words(self):
            self._fact_prompt.say(row((f"{chore_text(self._asks.get(key, ''))}:", BOLD)))
        self._fact.value = typed or self._facts.get(key, "")

    def on_input_changed(self) -> None:
        if self._at in self._facts and self._facts[self._at] != self._fact.value:
            self._facts[self._at] = self._fact.value
            self._list.redraw()

    # --- keys

    def action_task(self, by: int) -> None:
        self._list.action_step(by)

    def on_input_submitted(self, submitted: Input.Submitted) -> None:
        """On to the next that is asked for; after the last one, tick."""
        asking = [shown.key for shown in self._list.rows if shown.key in self._asks]
        if submitted.input is self._day and asking:
            self._fact.focus()
        elif submitted.input is self._fact and self._at in asking[:-1]:
            self._facts[self._at] = submitted.value
            following = asking[asking.index(self._at) + 1]
            self._ask(following, self._fact.value.removeprefix(submitted.value))
            self._list.stand_on(following)
        else:
            self._tick()

    def action_nothing(self) -> None:
        """Leave empty what has not been typed, and tick."""
        self._tick()

    def action_planned(self) -> None:
        """Write down what was planned with each task that asks for something, where nothing is typed."""
        plan = host(self).plan
        for task in self._tasks(plan.season) if plan else ():
            if plan and task.id in self._asks and not self._facts[task.id].strip():
                amounts = [own_amount(plan.season, task, name) for name in task.about or ("",)]
                planned = Facts(AS_PLANNED) if all(amounts) else Facts()
                self._facts[task.id] = fact_with(plan.season, task, planned)
        self._fact.value = self._facts.get(self._at, "")
        self._list.redraw()

    def _tick(self) -> None:
        plan = host(self).plan
        if plan is None:
            return
        try:
            ticks = self._ticks(plan)
        except ValueError as wrong:
            self._say_error(str(wrong))
            return
        if not ticks:
            self._say_error(phrase("Nothing to tick: these tasks are done, or not in this season any more."))
        elif any(stage_to_record(plan.season, tick.task) for tick in ticks):
            self.ask(lambda _: Ticks(ticks))
        elif not self._doubts(plan, ticks):
            host(self).save(tick_change(ticks))
            self.dismiss(True)

    def _ticks(self, plan: Plan) -> tuple[Tick, ...]:
        """The ticks as typed; with the day left as proposed, a stage that is recorded keeps its day. Raises ValueError."""
        tasks = self._tasks(plan.season)
        self.on_input_changed()  # of a key that came right before
        untouched = self._day.value == self._proposed
        recorded = {t.id: recorded_day(plan.season, t) if untouched else None for t in tasks}
        spent = shared_out(typed_hours(self._spent.value), tasks) if self._spent.value.strip() else {}
        _, cause = day_and_cause(self._day.value)
        if cause and not any(stage_to_record(plan.season, t) for t in tasks):
            raise ValueError(
                phrase("A cause goes with a date that is recorded, and none of these tasks records one.")
            )
        return tuple(
            Tick(
                t,
                recorded[t.id] or self._typed(plan, t),
                self._fact_of(plan.season, t),
                spent.get(t.id),
                cause if stage_to_record(plan.season, t) else "",
            )
            for t in tasks
        )

    def _fact_of(self, season: Season, task: Task) -> str:
        return fact_with(season, task, typed_facts([self._facts.get(task.id, "")], season, task.about))

    def _typed(self, plan: Plan, task: Task) -> date:
        today, order = plan.today, host(self).date_order
        text = day_and_cause(self._day.value)[0] or "today"
        if text.strip().casefold() == DUE:
            return due_or_today(task, today)
        day = typed_in_season(
            text, plan.season, today=today, planned=task.date, past=True, order=order, counted=FROM_DUE
        )
        if wrong := not_yet(day, today):
            raise ValueError(wrong)
        return day

    def _doubts(self, plan: Plan, ticks: Sequence[Tick]) -> bool:
        """Say once why the day may be mistyped, or the work was not to be done; a second Enter saves it."""
        typed = self._day.value
        if typed == self._doubted:
            return False
        new = [(tick.task, tick.day) for tick in ticks if tick.is_new]
        holds = (phrase("HOLD: {why}", why=text) for text in tick_holds(plan.season, plan.ripe, new))
        doubts = (*holds, *tick_doubts(plan.season, ticks, plan.today, typed=typed != self._proposed))
        self._doubted = typed
        if doubts:
            again = phrase("Enter again saves it.")
            self._say_error(" ".join((*(f"{doubt}." for doubt in doubts), again)))
        return bool(doubts)
