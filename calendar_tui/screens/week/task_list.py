"""Tasks in a list, ticked, skipped, moved and noted, one or several at once."""

from __future__ import annotations

from collections.abc import Callable, Iterable, Sequence
from dataclasses import replace
from datetime import date
from typing import ClassVar

from textual.binding import BindingType
from textual.widget import Widget

from calendar_tui.language.speaking import phrase, phrase_n
from calendar_tui.planning.changes.doubts import ahead_doubts
from calendar_tui.planning.changes.task_edits import reopen_change
from calendar_tui.planning.changes.ticks import (
    Tick,
    asks_of,
    cuts_bags,
    official_to_record,
    recorded_day,
    stage_to_record,
    tick_change,
)
from calendar_tui.planning.cutting.holds import tick_holds
from calendar_tui.screens.kit.actions import bindings, shown_key
from calendar_tui.screens.kit.drawing import ListRow
from calendar_tui.screens.kit.host import host
from calendar_tui.screens.kit.list_view import ListView
from calendar_tui.screens.week.done_view import DoneView
from calendar_tui.screens.week.rows import all_marked
from calendar_tui.screens.week.typed_view import TypedView, move_view, note_view, skip_view
from calendar_tui.season.edits import Change
from calendar_tui.season.records import Task
from calendar_tui.season.refusal import Refusal
from calendar_tui.season.wording import full_day_text, stage_text

# How often to look whether the file work is done.
SETTLE_S = 0.3


class TaskList(ListView[None]):
    """A list in which the cursor stands on tasks, by their ids, and perhaps on other rows."""

    CREW: ClassVar[bool] = True

    BINDINGS: ClassVar[list[BindingType]] = bindings("tasks in a list")

    def __init__(self, rows: Callable[[int], Iterable[ListRow]], foot: Sequence[str], *below: Widget) -> None:
        super().__init__(rows, foot, *below)
        self._marked = set[str]()
        # By task id: the states asked for, and those handed down and not yet seen in the file.
        self._wanted: dict[str, str] = {}
        self._saving: dict[str, str] = {}
        self._touched: set[str] = set()

    @property
    def shown_tasks(self) -> Sequence[Task]:
        """The tasks that stand in the list."""
        raise NotImplementedError

    def show_plan(self) -> None:
        """Draw the tasks as the file has them now, and save what was wanted while a tick was under way."""
        tasks = {t.id: t for t in self._tasks()}
        self._marked &= tasks.keys()
        self._wanted = {i: s for i, s in self._wanted.items() if i in tasks}
        self._saving = {i: s for i, s in self._saving.items() if i in tasks and tasks[i].state != s}
        for name, state in list(self._wanted.items()):
            if name in self._saving:
                continue
            if tasks[name].state == state:
                del self._wanted[name]
            else:
                self._save([tasks[name]], state)
        super().show_plan()

    def _tasks(self) -> tuple[Task, ...]:
        plan = host(self).plan
        return () if plan is None else plan.season.tasks

    def action_step(self, by: int) -> None:
        self._list.action_step(by)

    # --- several at once

    def action_mark(self) -> None:
        """Mark the task under the cursor, or take its mark off, and go on to the next."""
        if any(task.id == self._list.key for task in self.shown_tasks):
            self._marked ^= {self._list.key}
            self._list.redraw()
            self._list.action_step(1)
        else:
            self._tell_no_task()

    def action_mark_all(self) -> None:
        """Mark all that are shown and due by today; where all those are, the later ones too; where all are, none."""
        self._marked, text = all_marked(self._marked, self.shown_tasks, host(self).today, self._key("M"))
        if text:
            self.notify(text)
        self._list.redraw()

    def action_mark_place(self) -> None:
        """Mark the open work at the place of the task under the cursor, as `action_mark_all` does all that are shown."""
        at = next((task for task in self.shown_tasks if task.id == self._list.key), None)
        if at is None:
            self._tell_no_task()
            return
        states = self._wanted
        there = [t for t in self.shown_tasks if t.place == at.place and states.get(t.id, t.state) == "open"]
        self._marked, text = all_marked(self._marked, there, host(self).today, self._key("a"))
        if text:
            self.notify(text)
        self._list.redraw()

    def _tell_no_task(self) -> None:
        """That the key just pressed is for tasks, where the row under the cursor is another."""
        if self._list.key:
            self.notify(phrase("No task is on this line: move to one that has a box, [ ]."))

    def _key(self, name: str) -> str:
        """How a key of these lists is written, by its name in the table."""
        return shown_key(self, f"tasks in a list.{name}")

    @property
    def _marked_here(self) -> set[str]:
        """The marked tasks but for those that a search hides: no act falls on what nobody sees."""
        return self._marked & {t.id for t in self.shown_tasks}

    def _chosen(self) -> list[Task]:
        """The marked tasks that are shown, else the one under the cursor; in the state last asked for."""
        names = self._marked_here or {self._list.key}
        return [replace(t, state=self._wanted.get(t.id, t.state)) for t in self._tasks() if t.id in names]

    def action_skip_tasks(self) -> None:
        plan = host(self).plan
        if plan is not None:
            self._ask(lambda tasks: skip_view(tasks, plan.season))

    def action_note_tasks(self) -> None:
        self._ask(note_view)

    def action_move_tasks(self) -> None:
        plan = host(self).plan
        if plan is not None:
            self._ask(lambda tasks: move_view(tasks, plan.season, host(self).today, host(self).date_order))

    def _ask(self, view: Callable[[Sequence[Task]], TypedView]) -> None:
        """Ask for what the change of the chosen tasks needs; it is saved once that is typed."""
        chosen = self._chosen()
        if not chosen:
            self._tell_no_task()
            return
        try:
            self.app.push_screen(view(chosen), self._hand_down)
        except Refusal as refused:
            why = phrase("{refusal} ({key}).", refusal=refused, key=self._key("space"))
            self.notify(why, severity="warning")

    def _hand_down(self, change: Change | None) -> None:
        if change is None:
            return
        self._touched |= {edit.ident[0] for edit in change.edits}
        self._marked -= self._marked_here
        if change.edits:
            host(self).save(change)
        else:
            self.notify(phrase("No change: already saved."))
        self._list.redraw()

    # --- ticking

    async def action_tick(self) -> None:
        """Tick what is chosen as done, or open it again, and save that at once; asks first for what it asks for."""
        chosen = self._chosen()
        if len(chosen) > 1:
            await self._tick_several(chosen)
        elif chosen:
            self._marked -= self._marked_here
            await self._tick_one(chosen[0])
        else:
            self._tell_no_task()

    async def _tick_several(self, chosen: Sequence[Task]) -> None:
        """One change for all, also where some ask for something; opened again only where all were settled."""
        left = await self._without_bags([t for t in chosen if t.state == "open"], on_day=False)
        if not left and any(t.state == "open" for t in chosen):
            return
        if any(self._asks(t) for t in left):
            self._ask_done(left, on_day=False)
            return
        self._marked -= self._marked_here
        self._want(left or chosen, "done" if left else "open")

    async def _without_bags(self, left: Sequence[Task], *, on_day: bool) -> list[Task]:
        """Those of open tasks that cut no bags; where all do, their bags are asked for, else theirs stay open."""
        plan = host(self).plan
        bags = [t for t in left if plan is not None and cuts_bags(plan.season, t)]
        if bags and len(bags) == len(left):
            self._touched |= {task.id for task in bags}
            names = tuple(task.id for task in bags)
            await host(self).open_view("trip", names, on_day, then=self._after_done)
        elif bags:
            self.notify(
                phrase_n(
                    "{count} task that cuts bags left out: tick it alone, to record which were cut.",
                    "{count} tasks that cut bags left out: tick them alone, to record which were cut.",
                    len(bags),
                )
            )
        return [t for t in left if t not in bags]

    def _asks(self, task: Task) -> bool:
        """Whether a tick of this task asks for a fact or a date, or whether it is meant."""
        plan = host(self).plan
        asks = plan is not None and asks_of(plan.season, task) and not task.fact
        records = plan is not None and stage_to_record(plan.season, task)
        return bool(asks or records or self._is_far_ahead(task) or self._is_held(task))

    def _is_held(self, task: Task) -> bool:
        """Whether a task is not to be done on the day on which a tick would have it done."""
        plan = host(self).plan
        return plan is not None and bool(tick_holds(plan.season, plan.ripe, [(task, self._done_on(task))]))

    def _is_far_ahead(self, task: Task) -> bool:
        return bool(ahead_doubts([(task, self._done_on(task))]))

    async def _tick_one(self, task: Task) -> None:
        plan = host(self).plan
        if plan is None:
            return
        ticks = task.state == "open"
        stage = stage_to_record(plan.season, task)
        if ticks and cuts_bags(plan.season, task):
            await self._without_bags([task], on_day=False)
        elif ticks and (asks_of(plan.season, task) or self._is_held(task)):
            self._ask_done([task], on_day=False)
        elif ticks and stage:
            self._touched.add(task.id)
            await host(self).open_view("record", task.cohort, (), stage)
        elif ticks and self._is_far_ahead(task):
            self._ask_done([task], on_day=True)
        else:
            self._want([task], "done" if ticks else "open")
            if ticks and (lots := official_to_record(plan.season, task)):
                sample = phrase(
                    "No official sample of {lots} is recorded by it: the day to cut does.",
                    lots=", ".join(lots),
                )
                self.notify(sample)
            if not ticks and (day := recorded_day(plan.season, task)):
                stage = plan.season.chores[task.chore].records
                self.notify(
                    phrase(
                        "{cohort} {stage} stays recorded on {day}.",
                        cohort=task.cohort,
                        stage=stage_text(stage),
                        day=full_day_text(day),
                    )
                )

    async def action_done_on(self) -> None:
        """Tick what is chosen as done on another day than today."""
        chosen = self._chosen()
        if any(t.state != "done" for t in chosen):
            left = await self._without_bags([t for t in chosen if t.state != "done"], on_day=True)
            if left:
                self._ask_done(left, on_day=True)
        elif chosen:
            again = phrase(
                "Done already: {key} opens a task again, to tick it on another day.", key=self._key("space")
            )
            self.notify(again)
        else:
            self._tell_no_task()

    def _ask_done(self, tasks: Sequence[Task], *, on_day: bool) -> None:
        plan = host(self).plan
        if plan is not None:
            self._touched |= {task.id for task in tasks}
            self.app.push_screen(DoneView(tasks, plan.season, on_day=on_day), self._after_done)

    def _after_done(self, saved: bool | None) -> None:
        if saved:
            self._marked -= self._marked_here
            self._list.redraw()

    def _want(self, tasks: Sequence[Task], state: str) -> None:
        for task in tasks:
            self._wanted[task.id] = state
            self._touched.add(task.id)
        self._list.redraw()
        self._save(tasks, state)

    def _save(self, tasks: Sequence[Task], state: str) -> None:
        """Hand the wanted state down; while a task's last tick is being saved, `show_plan` does that later."""
        ready = [task for task in tasks if task.id not in self._saving]
        if not ready:
            return
        self._saving |= {task.id: state for task in ready}
        if state == "done":
            change = tick_change([Tick(t, self._done_on(t)) for t in ready])
        else:
            change = reopen_change([replace(task, state="done") for task in ready])
        host(self).save(change)
        self.set_timer(SETTLE_S, self._settle)

    def _done_on(self, task: Task) -> date:
        """Today, or the day recorded for the stage that the task is the work of."""
        plan = host(self).plan
        return (plan and recorded_day(plan.season, task)) or host(self).today

    def _settle(self) -> None:
        """Once the app's file work is over, a tick not seen in the file was refused: show what the file holds."""
        if host(self).works_on_file:
            self.set_timer(SETTLE_S, self._settle)
        elif self._saving:
            self._saving.clear()
            self._wanted.clear()
            host(self).reload()
