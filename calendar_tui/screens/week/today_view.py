"""What waits today: to look at, record and decide, work by place, lamps tonight, and what was changed."""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Sequence
from functools import partial
from typing import ClassVar
from zoneinfo import ZoneInfo

from textual import work
from textual.binding import BindingType

from calendar_tui.handing_on.words.decisions_text import decision_text, record_text
from calendar_tui.handing_on.words.field_book_text import to_observe_texts
from calendar_tui.handing_on.words.first_steps import nothing_waits_text
from calendar_tui.handing_on.words.today_text import (
    changed_text,
    decisions_of_today,
    failed_text,
    place_text,
    tonight_text,
)
from calendar_tui.language.speaking import tr, translated
from calendar_tui.planning.lamps.tip_looks import tip_look_texts
from calendar_tui.planning.lamps.to_relight import to_relight_text
from calendar_tui.planning.plan import Plan
from calendar_tui.planning.today import AtPlace, Today, today_of, work_of
from calendar_tui.screens.kit.actions import bindings, shown_key
from calendar_tui.screens.kit.crew_words import crew_words
from calendar_tui.screens.kit.drawing import (
    BOLD,
    HEADING,
    PLAIN,
    WARNING,
    Bar,
    ListRow,
    first_rows,
    fitted,
    row,
    wrapped,
)
from calendar_tui.screens.kit.host import host
from calendar_tui.screens.week.opened_by import Opens, book_of, opened_by, opened_by_task
from calendar_tui.screens.week.rows import DETAIL_LINES, Shown, columns, detail_rows, marked_text, task_row
from calendar_tui.screens.week.task_list import TaskList
from calendar_tui.season.records import Season, Task
from calendar_tui.season.wording import full_day_text
from calendar_tui.storage.journal.lines import Entry

FOOT = ("today", "tasks in a list", "undo", "redo", "help", "view")
# What the keys of the parts begin with that are drawn as warnings.
WARNED = ("", "closed ", "relight ", "record ")


class TodayView(TaskList):
    """A list of parts; a part with nothing is left out."""

    HELP_FIRST = "today"
    BINDINGS: ClassVar[list[BindingType]] = bindings("today", "undo", "redo")

    def __init__(self, today: Today) -> None:
        self._detail = Bar()
        super().__init__(self._rows, FOOT, self._detail)
        self._today = today
        self._changed: Sequence[Entry] = ()
        self._opens: dict[str, Opens] = {}
        # The tasks as they stand in the list, gone through once for each time it is drawn.
        self._places: tuple[AtPlace, ...] = ()

    def on_mount(self) -> None:
        self._list.key = self._first_key()
        self._detail.styles.height = DETAIL_LINES
        self._list.focus()
        self._begin()

    def _first_key(self) -> str:
        """The first row to record, unless above it a place is closed or something is to be decided by today: then the first row of all."""
        today = self._today
        if today.closed or any(d.by is None or d.by <= today.day for d in today.decisions):
            return ""
        return next((f"record {d.stage} {d.about}" for d in today.to_record), "")

    @property
    def shown_tasks(self) -> Sequence[Task]:
        return [task for there in self._places for task in (*there.overdue, *there.today)]

    def show_plan(self) -> None:
        """Draw the tasks as they are now, and work out the rest anew; what was known before stays until then."""
        self._begin()
        super().show_plan()

    def _begin(self) -> None:
        plan = host(self).plan
        if plan is not None:
            self._work_out(plan)

    @work(thread=True, exclusive=True, group="today")
    def _work_out(self, plan: Plan) -> None:
        from calendar_tui.handing_on.tables.history_rows import since_yesterday

        zone = ZoneInfo(plan.season.site.timezone)
        changed, _ = since_yesterday(host(self).opened.path, plan.today, zone)
        self.app.call_from_thread(self._take, plan, today_of(plan), changed)

    def _take(self, plan: Plan, today: Today, changed: Sequence[Entry]) -> None:
        if plan is host(self).plan:
            self._today, self._changed = today, changed
            self._list.redraw()
            self.on_picker_moved()

    # --- what is shown

    def _rows(self, width: int) -> Iterable[ListRow]:
        plan = host(self).plan
        if plan is None:
            return []
        # Those ticked here stay in their places.
        self._places = tuple(work_of(plan, self._tasks(), host(self).today, self._touched))
        self._opens = dict(self._targets(plan.season))
        self._say_heading(plan)
        rows = list(self._parts(plan, width))
        return rows or wrapped(nothing_waits_text(plan.season, partial(shown_key, self)), width)

    def _say_heading(self, plan: Plan) -> None:
        name, marked = plan.season.name, marked_text(self._marked, self._marked_here)
        begin = f"{full_day_text(plan.today)}  "
        rest = f"{self._today.counts.text}  {name}"
        room = self.app.size.width - len(begin) - len(marked)
        self._heading.say(row((begin, HEADING), fitted(rest, room), (marked, BOLD)))

    def _targets(self, season: Season) -> Iterator[tuple[str, Opens]]:
        """What the rows open, by their keys, in the order of the list."""
        today = self._today
        for n, d in enumerate(today.closed):
            yield f"closed {n}", opened_by(d)
        for n, waiting in enumerate(today.relight):
            yield f"relight {n}", ("lamps", waiting.cohorts[0])
        for n, d in enumerate(today.decisions):
            yield f"decide {n}", opened_by(d)
        for d in today.to_record:
            yield f"record {d.stage} {d.about}", opened_by(d)
        for n, of_task in enumerate(today.to_observe):
            yield f"observe {n}", book_of(season, of_task, today.day)
        for t in today.tonight:
            yield f"lamps {t.light}", ("lamps", t.cohorts[0] if t.cohorts else "")
        for n in range(len(self._changed)):
            yield f"change {n}", ("history",)

    def _parts(self, plan: Plan, width: int) -> Iterator[ListRow]:
        today = self._today
        listed: tuple[tuple[str, str, Iterable[str]], ...] = (
            ("Do not enter", "closed ", (decision_text(d, today.day) for d in today.closed)),
            ("To relight", "relight ", (to_relight_text(w, today.day) for w in today.relight)),
            ("To look at", "", tip_look_texts(today.looks)),
            ("To decide", "decide ", decisions_of_today(today)),
            ("To record", "record ", map(record_text, today.to_record)),
            ("To observe", "observe ", to_observe_texts(today.to_observe)),
            ("Lamps that failed", "", map(failed_text, today.failed)),
        )
        for title, keys, texts in listed:
            yield from self._part(tr(title), keys, map(translated, texts), width)
        yield from self._work_rows(plan, width)
        yield from self._part(tr("Lamps tonight"), "lamps ", map(tonight_text, today.tonight), width)
        zone = ZoneInfo(plan.season.site.timezone)
        changed = (changed_text(entry, zone) for entry in self._changed)
        yield from self._part(tr("Changed since yesterday"), "change ", changed, width)

    def _part(self, title: str, keys: str, texts: Iterable[str], width: int) -> Iterator[ListRow]:
        """A part whose rows open what stands under keys that begin so, one after the other."""
        names = iter([key for key in self._opens if keys and key.startswith(keys)])
        style = WARNING if keys in WARNED else PLAIN
        for n, text in enumerate(texts):
            if not n:
                yield row((title, HEADING))
            first, *rest = wrapped(text, width - 2, rest="  ", style=style)
            yield ListRow(first.segments, next(names, ""))
            yield from rest

    def _work_rows(self, plan: Plan, width: int) -> Iterator[ListRow]:
        guesses = frozenset(c.id for c in plan.season.chores.values() if c.guessed)
        shown = Shown(plan.today, "place", self._wanted, self._marked, guesses, holds=self._today.holds)
        at = columns(self.shown_tasks, width)
        for there in self._places:
            late = len([t for t in there.overdue if self._wanted.get(t.id, t.state) == "open"])
            overdue = (f"  {tr('overdue: {late}', late=late)}", WARNING) if late else ""
            yield row((place_text(there), HEADING), overdue)
            for task in (*there.overdue, *there.today):
                yield task_row(task, shown, task.date < plan.today, at)

    def on_picker_moved(self) -> None:
        """Below the list: what a task's line has no room for, and its caution; of no task, which lamps burn tonight."""
        with crew_words(self):
            self._say_detail()

    def _say_detail(self) -> None:
        plan = host(self).plan
        task = next((t for t in self.shown_tasks if t.id == self._list.key), None)
        width = self.app.size.width
        if plan is None or task is None:
            self._detail.say(*self._lamps_rows(width))
            return
        at = columns(self.shown_tasks, width)
        hold = self._today.holds.get(task.id) if task.state == "open" else None
        rows = detail_rows(plan.season, task, task.date < plan.today, at, width, hold)
        self._detail.say(*first_rows(rows, DETAIL_LINES, width))

    def _lamps_rows(self, width: int) -> Sequence[ListRow]:
        """Tonight's lamps of all places, where the list has no room for all there is."""
        if len(self._list.rows) <= self._list.size.height:
            return []
        texts = ". ".join(map(tonight_text, self._today.tonight))
        return first_rows(
            wrapped(f"{tr('Lamps tonight')}: {texts}.", width) if texts else [], DETAIL_LINES, width
        )

    # --- what is done

    async def action_open_row(self) -> None:
        """Open what the row under the cursor is about."""
        task = next((t for t in self.shown_tasks if t.id == self._list.key), None)
        plan = host(self).plan
        opens = (
            opened_by_task(plan.season, task, plan.today)
            if plan and task
            else self._opens.get(self._list.key)
        )
        if opens:
            await host(self).open_view(*opens)

    async def action_print(self) -> None:
        await host(self).open_view("print")

    async def action_open_week(self) -> None:
        await host(self).open_view("week")

    async def action_record_spray(self) -> None:
        """Record a spray: of the place of the task under the cursor."""
        task = next((t for t in self.shown_tasks if t.id == self._list.key), None)
        await host(self).open_view("spray", "", (), task.place if task else "")

    async def action_open_drying(self) -> None:
        """What dries, and passes: of the cohort that the row under the cursor is about."""
        task = next((t for t in self.shown_tasks if t.id == self._list.key), None)
        await host(self).open_view("drying", task.about[0] if task and task.about else "")
