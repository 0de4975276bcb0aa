"""This week's work: ticked, skipped, moved and noted, one task or several at once; by day, place or role; filtered."""

from __future__ import annotations

from collections.abc import Callable, Iterable, Sequence
from dataclasses import replace
from datetime import date, timedelta
from typing import ClassVar

from textual import work
from textual.binding import BindingType

from calendar_tui.planning.changes.doubts import ahead_doubts
from calendar_tui.planning.changes.task_edits import reopen_change
from calendar_tui.planning.changes.ticks import Tick, asks_of, recorded_day, stage_to_record, tick_change
from calendar_tui.planning.plan import Plan
from calendar_tui.planning.tasks.week import (
    GROUPINGS,
    Week,
    all_tasks,
    matching,
    recent_outages,
    week_of,
)
from calendar_tui.screens.kit.actions import bindings
from calendar_tui.screens.kit.drawing import BOLD, CUT, HEADING, Bar, ListRow, fitted, row
from calendar_tui.screens.kit.host import host
from calendar_tui.screens.kit.list_view import ListView
from calendar_tui.screens.kit.typed import TypedField
from calendar_tui.screens.week.done_view import DoneView
from calendar_tui.screens.week.rows import Shown, all_marked, columns, detail_rows, marked_text, week_rows
from calendar_tui.screens.week.typed_view import TypedView, move_view, note_view, skip_view
from calendar_tui.season.edits import Change
from calendar_tui.season.records import Task
from calendar_tui.season.refusal import Refusal
from calendar_tui.season.wording import full_day_text, stage_text, weekday_text

FOOT = ("week", "undo", "redo", "help", "view")
# How many lines of the task under the cursor are shown at least where it has so many; a third of a tall screen.
LEAST_DETAIL_LINES = 5
WEEK = timedelta(days=7)
# How often to look whether the file work is done.
SETTLE_S = 0.3


def shown_week(tasks: Sequence[Task], day: date, today: date, ticked: Iterable[str]) -> Week:
    """The week in an order that ticking does not change; overdue tasks ticked in this view stay."""
    week = week_of(tasks, day, today)
    here = set(ticked) if week.monday <= today < week.monday + WEEK else set()
    ticked_overdue = [t for t in tasks if t.id in here and t.date < week.monday and t.state != "open"]
    overdue = sorted((*week.overdue, *ticked_overdue), key=lambda t: (t.date, t.about, t.what, t.n))
    days = tuple((d, tuple(sorted(ts, key=lambda t: (t.place, t.about, t.what, t.n)))) for d, ts in week.days)
    return Week(week.monday, tuple(overdue), days, week.next_week)


class WeekView(ListView[None]):
    """One week's tasks, Monday to Sunday, and before them what is overdue."""

    HELP_FIRST = "week"
    BINDINGS: ClassVar[list[BindingType]] = bindings("week", "undo", "redo")

    def __init__(self, day: date | None = None) -> None:
        self._detail = Bar()
        self._filter = TypedField(
            placeholder="words of a task, cohort, place, role, then Enter; Esc shows all again", id="filter"
        )
        super().__init__(self._rows, FOOT, self._detail, self._filter)
        self._day = day
        self._by, self._marked = GROUPINGS[0], set[str]()
        # By task id: the states asked for, and those handed down and not yet seen in the file.
        self._wanted: dict[str, str] = {}
        self._saving: dict[str, str] = {}
        self._touched: set[str] = set()
        self._week = week_of((), date(1, 1, 1))
        self._looks: Sequence[str] = ()
        # By task id, and what they were made for: all tasks of a week take a while.
        self._details: dict[str, list[ListRow]] = {}
        self._details_of: Plan | None = None
        self._details_for: tuple[object, ...] = ()

    def on_mount(self) -> None:
        self._list.focus()
        self._begin_looks()

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
        self._begin_looks()
        self._list.redraw()

    def _begin_looks(self) -> None:
        """Begin to work out of which plants to look at the tips; what was known before stays until then."""
        plan = host(self).plan
        if plan is not None and recent_outages(plan.season, plan.today):
            self._work_out_looks(plan)
        else:
            self._looks = ()

    @work(thread=True, exclusive=True, group="looks")
    def _work_out_looks(self, plan: Plan) -> None:
        from calendar_tui.planning.lamps.tip_looks import tip_look_texts, tip_looks

        recent = recent_outages(plan.season, plan.today)
        looks = tip_looks(plan.season, recent, plan.timelines.values(), plan.light, plan.today)
        self.app.call_from_thread(self._take_looks, plan, tuple(tip_look_texts(looks)))

    def _take_looks(self, plan: Plan, looks: Sequence[str]) -> None:
        if plan is host(self).plan and looks != self._looks:
            self._looks = looks
            self._list.redraw()

    # --- what is shown

    def _tasks(self) -> tuple[Task, ...]:
        plan = host(self).plan
        return () if plan is None else plan.season.tasks

    def _rows(self, width: int) -> Iterable[ListRow]:
        today = host(self).today
        whole = shown_week(self._tasks(), self._day or today, today, self._touched)
        self._fit_details(whole, width)
        self._week = whole
        if self._filter.value.strip():
            fitting = matching(self._tasks(), self._filter.value)
            self._week = shown_week(fitting, self._day or today, today, self._touched)
        self._say_heading(today)
        return week_rows(self._week, self._shown(), width)

    def _shown(self) -> Shown:
        plan = host(self).plan
        guesses = () if plan is None else [c.id for c in plan.season.chores.values() if c.guessed]
        searched = bool(self._filter.value.strip())
        today = host(self).today
        looks = self._looks if self._week.monday <= today < self._week.monday + WEEK else ()
        return Shown(today, self._by, self._wanted, self._marked, frozenset(guesses), searched, looks)

    def _say_heading(self, today: date) -> None:
        monday = self._week.monday
        ahead = (monday - today + timedelta(days=today.weekday())).days // 7
        where = {0: "this week", 1: "next week", -1: "last week"}.get(ahead, f"{ahead:+d} weeks")
        parts = [where] if self._by == "day" else [where, f"by {self._by}"]
        parts += [f"only: {self._filter.value.strip()}"] if self._filter.value.strip() else []
        marked = marked_text(self._marked, self._marked_here)
        room = self.app.size.width - len(marked)
        begin = f"Week of {full_day_text(monday)}"
        if len("  ".join((begin, *parts))) > room:
            begin, parts = weekday_text(monday), parts[1:]
        rest = fitted("  " + "  ".join(parts), room - len(begin)).rstrip()
        self._heading.say(row((begin, HEADING), rest, (marked, BOLD)))

    def _fit_details(self, week: Week, width: int) -> None:
        """Room for the longest caution of this week, so that no cursor move changes the layout."""
        plan, height = host(self).plan, self.app.size.height
        drawn_for = (week.monday, len(week.overdue), self._by, width, height)
        if plan is None or (plan is self._details_of and drawn_for == self._details_for):
            return
        self._details_of, self._details_for = plan, drawn_for
        tasks, shown = all_tasks(week), self._shown()
        at, most = columns(tasks, width), max(LEAST_DETAIL_LINES, height // 3)
        self._details = {}
        for task in tasks:
            rows = detail_rows(plan.season, task, shown.dated(task, week.monday), at, width)
            self._details[task.id] = rows if len(rows) <= most else [*rows[: most - 1], row((CUT, BOLD))]
        self._detail.styles.height = max(map(len, self._details.values()), default=0)

    def on_picker_moved(self) -> None:
        self._detail.say(*self._details.get(self._list.key, ()))

    def action_step(self, by: int) -> None:
        self._list.action_step(by)

    def action_group(self) -> None:
        """By day, by place, by role, and round."""
        self._by = GROUPINGS[(GROUPINGS.index(self._by) + 1) % len(GROUPINGS)]
        self._list.redraw()

    def action_filter(self) -> None:
        """Type in place of the keys; what is typed stands in the heading afterwards."""
        self._filter.ask(self._filter.value)
        self._keys.display = False

    def _close_filter(self) -> None:
        self._filter.close()
        self._keys.display = True
        self._list.focus()

    def on_input_changed(self) -> None:
        self._list.redraw()

    def on_input_submitted(self) -> None:
        """Back to the tasks that are left."""
        self._close_filter()

    def action_week(self, by: int) -> None:
        self._show_week((self._day or host(self).today) + by * WEEK)

    def action_this_week(self) -> None:
        self._show_week(host(self).today)

    def _show_week(self, day: date) -> None:
        self._day = day
        self._touched.clear()
        self._marked.clear()
        self._list.redraw()

    async def action_open_load(self) -> None:
        await host(self).open_view("load")

    def action_back(self) -> None:
        """Out of the filter first, then out of the view."""
        if not self._filter.value and not self._filter.asked:
            self.dismiss()
            return
        self._close_filter()
        self._filter.value = ""

    # --- several at once

    def action_mark(self) -> None:
        """Mark the task under the cursor, or take its mark off, and go on to the next."""
        if self._list.key:
            self._marked ^= {self._list.key}
            self._list.redraw()
            self._list.action_step(1)

    def action_mark_all(self) -> None:
        """Mark all that are shown and due by today; where all those are, the later ones too; where all are, none."""
        self._marked, text = all_marked(self._marked, all_tasks(self._week), host(self).today)
        if text:
            self.notify(text)
        self._list.redraw()

    @property
    def _marked_here(self) -> set[str]:
        """The marked tasks but for those that a search hides: no act falls on what nobody sees."""
        return self._marked & {t.id for t in all_tasks(self._week)}

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
            return
        try:
            self.app.push_screen(view(chosen), self._hand_down)
        except Refusal as refused:
            self.notify(f"{refused} (Space).", severity="warning", markup=False)

    def _hand_down(self, change: Change | None) -> None:
        if change is None:
            return
        self._touched |= {edit.ident[0] for edit in change.edits}
        self._marked -= self._marked_here
        if change.edits:
            host(self).save(change)
        else:
            self.notify("No change: already saved.")
        self._list.redraw()

    # --- ticking

    async def action_tick(self) -> None:
        """Tick what is chosen as done, or open it again, and save that at once; asks first for what it asks for."""
        chosen = self._chosen()
        if len(chosen) > 1:
            self._tick_several(chosen)
        elif chosen:
            self._marked -= self._marked_here
            await self._tick_one(chosen[0])

    def _tick_several(self, chosen: Sequence[Task]) -> None:
        """One change for all, also where some ask for something; opened again only where all were settled."""
        left = [t for t in chosen if t.state == "open"]
        if any(self._asks(t) for t in left):
            self._ask_done(left, on_day=False)
            return
        self._marked -= self._marked_here
        self._want(left or chosen, "done" if left else "open")

    def _asks(self, task: Task) -> bool:
        """Whether a tick of this task asks for a fact or a date, or whether it is meant."""
        plan = host(self).plan
        asks = plan is not None and asks_of(plan.season, task) and not task.fact
        records = plan is not None and stage_to_record(plan.season, task)
        return bool(asks or records or self._is_far_ahead(task))

    def _is_far_ahead(self, task: Task) -> bool:
        return bool(ahead_doubts([(task, self._done_on(task))]))

    async def _tick_one(self, task: Task) -> None:
        plan = host(self).plan
        if plan is None:
            return
        ticks = task.state == "open"
        stage = stage_to_record(plan.season, task)
        if ticks and asks_of(plan.season, task):
            self._ask_done([task], on_day=False)
        elif ticks and stage:
            self._touched.add(task.id)
            await host(self).open_view("record", task.cohort, stage)
        elif ticks and self._is_far_ahead(task):
            self._ask_done([task], on_day=True)
        else:
            self._want([task], "done" if ticks else "open")
            if not ticks and (day := recorded_day(plan.season, task)):
                stage = plan.season.chores[task.chore].records
                self.notify(f"{task.cohort} {stage_text(stage)} stays recorded on {day}.", markup=False)

    def action_done_on(self) -> None:
        """Tick what is chosen as done on another day than today."""
        chosen = self._chosen()
        left = [t for t in chosen if t.state != "done"]
        if left:
            self._ask_done(left, on_day=True)
        elif chosen:
            self.notify("Done already: Space opens a task again, to tick it on another day.")

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
