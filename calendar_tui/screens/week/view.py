"""This week's work: ticked, skipped, moved and noted, one task or several at once; by day, place or role; filtered."""

from __future__ import annotations

from collections.abc import Iterable, Mapping, Sequence
from datetime import date, timedelta
from functools import partial
from typing import TYPE_CHECKING, ClassVar

from textual import work
from textual.binding import BindingType

from calendar_tui.handing_on.words.first_steps import no_tasks_text
from calendar_tui.language.speaking import marked, tr
from calendar_tui.planning.plan import Plan
from calendar_tui.planning.tasks.week import (
    GROUPINGS,
    Week,
    all_tasks,
    matching,
    recent_outages,
    week_of,
)
from calendar_tui.screens.kit.actions import bindings, shown_key
from calendar_tui.screens.kit.crew_words import crew_words
from calendar_tui.screens.kit.drawing import BOLD, HEADING, Bar, ListRow, first_rows, fitted, row, wrapped
from calendar_tui.screens.kit.host import host
from calendar_tui.screens.kit.kept import Kept
from calendar_tui.screens.kit.typed import TypedField
from calendar_tui.screens.week.opened_by import opened_by_task
from calendar_tui.screens.week.rows import DETAIL_LINES, Shown, columns, detail_rows, marked_text, week_rows
from calendar_tui.screens.week.task_list import TaskList
from calendar_tui.season.cells import cell_len
from calendar_tui.season.records import Task
from calendar_tui.season.weeks import first_of_week
from calendar_tui.season.wording import full_day_text, weekday_text

if TYPE_CHECKING:
    from calendar_tui.planning.cutting.holds import Hold

FOOT = ("tasks in a list", "week", "undo", "redo", "help", "view")
WEEK = timedelta(days=7)
_BY = {"place": marked("by place"), "role": marked("by role")}


def shown_week(tasks: Sequence[Task], day: date, today: date, ticked: Iterable[str], begins: int = 0) -> Week:
    """The week in an order that ticking does not change; overdue tasks ticked in this view stay. begins: as `week_of` has it."""
    week = week_of(tasks, day, today, begins)
    here = set(ticked) if week.first_day <= today < week.first_day + WEEK else set()
    ticked_overdue = [t for t in tasks if t.id in here and t.date < week.first_day and t.state != "open"]
    overdue = sorted((*week.overdue, *ticked_overdue), key=lambda t: (t.date, t.about, t.what, t.n))
    days = tuple((d, tuple(sorted(ts, key=lambda t: (t.place, t.about, t.what, t.n)))) for d, ts in week.days)
    return Week(week.first_day, tuple(overdue), days, week.next_week)


class WeekView(TaskList):
    """One week's tasks, and before them what is overdue."""

    HELP_FIRST = "week"
    BINDINGS: ClassVar[list[BindingType]] = bindings("week", "undo", "redo")

    def __init__(self, day: date | None = None, task: str = "") -> None:
        """day: of the week to begin with, None for today's; task: on which the cursor stands at first."""
        self._detail = Bar()
        self._filter = TypedField(id="filter")
        super().__init__(self._rows, FOOT, self._detail, self._filter)
        self._day, self._list.key, self._at_task = day, task, bool(task)
        self._by = GROUPINGS[0]
        self._week = week_of((), date(1, 1, 1))
        self._looks: Sequence[str] = ()
        self._kept = Kept()
        # By task id, and what they were made for: all tasks of a week take a while.
        self._details: dict[str, list[ListRow]] = {}
        self._details_of: Plan | None = None
        self._details_for: tuple[object, ...] = ()

    def on_mount(self) -> None:
        self._list.focus()
        if not self._at_task:
            self._filter.value = host(self).preferences.role
        self._begin_looks()

    @property
    def shown_tasks(self) -> Sequence[Task]:
        return all_tasks(self._week)

    def show_plan(self) -> None:
        """Draw the tasks as the file has them now, and work out anew of which plants to look at the tips."""
        self._begin_looks()
        super().show_plan()

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

    def _rows(self, width: int) -> Iterable[ListRow]:
        today = host(self).today
        at = self._day or today, today, self._touched, host(self).preferences.first_weekday
        whole = shown_week(self._tasks(), *at)
        self._fit_details(whole, width)
        self._week = whole
        if self._filter.value.strip():
            fitting = matching(self._tasks(), self._filter.value)
            self._week = shown_week(fitting, *at)
        self._say_heading(today)
        rows = week_rows(self._week, self._shown(), width)
        return [*self._empty_rows(width), *rows]

    def _empty_rows(self, width: int) -> list[ListRow]:
        """What to do in a week without tasks."""
        plan = host(self).plan
        if plan is None or self._shown().searched or all_tasks(self._week) or self._looks:
            return []
        return wrapped(no_tasks_text(plan.season, partial(shown_key, self)), width)

    def _shown(self) -> Shown:
        plan = host(self).plan
        guesses = () if plan is None else [c.id for c in plan.season.chores.values() if c.guessed]
        searched = self._filter.value.strip()
        today = host(self).today
        this_week = self._week.first_day <= today < self._week.first_day + WEEK
        return Shown(
            today,
            self._by,
            self._wanted,
            self._marked,
            frozenset(guesses),
            searched,
            self._closed_texts() if this_week else (),
            self._looks if this_week else (),
            shown_key(self, "view.escape"),
            self._holds(),
        )

    def _closed_texts(self) -> Sequence[str]:
        """Which places nobody enters, worked out once for a plan: the list is drawn anew at each tick and letter."""
        if (plan := host(self).plan) is None:
            return ()
        self._kept.on(plan)
        return self._kept.once("closed", plan.today, partial(_entry_texts, plan))

    def _holds(self) -> Mapping[str, Hold]:
        """The tasks that must not be done on their day, worked out once for a plan."""
        if (plan := host(self).plan) is None:
            return {}
        self._kept.on(plan)
        return self._kept.once("holds", plan.today, partial(_holds_of, plan))

    def _say_heading(self, today: date) -> None:
        first = self._week.first_day
        ahead = (first - first_of_week(today, host(self).preferences.first_weekday)).days // 7
        weeks = {0: tr("this week"), 1: tr("next week"), -1: tr("last week")}
        where = weeks.get(ahead, tr("{number} weeks", number=f"{ahead:+d}"))
        parts = [where] if self._by == "day" else [where, tr(_BY[self._by])]
        parts += [tr("only: {words}", words=self._filter.value.strip())] if self._filter.value.strip() else []
        marked = marked_text(self._marked, self._marked_here)
        room = self.app.size.width - len(marked)
        begin = tr("Week of {first}", first=full_day_text(first))
        if cell_len("  ".join((begin, *parts))) > room:
            begin, parts = weekday_text(first), parts[1:]
        rest = fitted("  " + "  ".join(parts), room - len(begin)).rstrip()
        self._heading.say(row((begin, HEADING), rest, (marked, BOLD)))

    def _fit_details(self, week: Week, width: int) -> None:
        """Room for the longest of this week, a third of a tall screen at the most: no cursor move changes the layout."""
        plan, height = host(self).plan, self.app.size.height
        drawn_for = (week.first_day, len(week.overdue), self._by, width, height)
        if plan is None or (plan is self._details_of and drawn_for == self._details_for):
            return
        self._details_of, self._details_for = plan, drawn_for
        tasks, shown = all_tasks(week), self._shown()
        at, most = columns(tasks, width), max(DETAIL_LINES, height // 3)
        self._details = {}
        for task in tasks:
            hold = shown.holds.get(task.id)
            rows = detail_rows(plan.season, task, shown.dated(task, week.first_day), at, width, hold)
            self._details[task.id] = first_rows(rows, most, width)
        self._detail.styles.height = max(map(len, self._details.values()), default=0)

    def on_picker_moved(self) -> None:
        self._detail.say(*self._details.get(self._list.key, ()))

    def action_group(self) -> None:
        """By day, by place, by role, and round."""
        self._by = GROUPINGS[(GROUPINGS.index(self._by) + 1) % len(GROUPINGS)]
        self._list.redraw()

    def action_filter(self) -> None:
        """Type in place of the keys; what is typed stands in the heading afterwards."""
        with crew_words(self):
            self._filter.placeholder = tr("words of a task, cohort, place, role, then Enter")
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

    async def action_open_task(self) -> None:
        """Open the field book of a task that observes, or else its cohort."""
        plan = host(self).plan
        task = next((t for t in self.shown_tasks if t.id == self._list.key), None)
        opens = opened_by_task(plan.season, task, plan.today) if plan and task else None
        if opens:
            await host(self).open_view(*opens)

    def action_week(self, by: int) -> None:
        self._show_week((self._day or host(self).today) + by * WEEK)

    def action_this_week(self) -> None:
        self._show_week(host(self).today)

    def _show_week(self, day: date) -> None:
        self._day = day
        self._touched.clear()
        self._marked.clear()
        self._list.redraw()

    async def action_print(self) -> None:
        """Print the week that is shown."""
        await host(self).open_view("print", self._day)

    async def action_open_load(self) -> None:
        await host(self).open_view("load")

    async def action_open_bags(self) -> None:
        await host(self).open_view("bags")

    def action_back(self) -> None:
        """Out of the filter first, then out of the view."""
        if not self._filter.value and not self._filter.asked:
            self.dismiss()
            return
        self._close_filter()
        self._filter.value = ""


def _holds_of(plan: Plan) -> Mapping[str, Hold]:
    """Next to no work in a season without sprays and rules."""
    from calendar_tui.planning.cutting.holds import holds_of

    return holds_of(plan.season, plan.ripe, plan.season.tasks, plan.today)


def _entry_texts(plan: Plan) -> Sequence[str]:
    """Which places nobody enters; next to no work in a season without sprays."""
    if not plan.season.sprays:
        return ()
    from calendar_tui.planning.spraying.closed_work import entry_texts
    from calendar_tui.planning.spraying.closures import closures

    return entry_texts(closures(plan.season, plan.today))
