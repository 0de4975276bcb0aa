"""The bags of work that is ticked: which were cut and which not, saved with the tick as one change."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from datetime import date
from functools import partial
from typing import ClassVar

from textual import work
from textual.binding import BindingType

from calendar_tui.language.speaking import phrase, tr, tr_n, translated
from calendar_tui.planning.changes.bags import Cutting
from calendar_tui.planning.changes.held_season import HeldSeason
from calendar_tui.planning.changes.proposal import Proposal
from calendar_tui.planning.changes.task_edits import task_name
from calendar_tui.planning.changes.ticks import not_yet
from calendar_tui.planning.changes.trip_cut import TripBag, bags_of_tasks, cut_bags_of_tasks
from calendar_tui.planning.plan import Plan
from calendar_tui.screens.asking.answers import Answer, OneChange
from calendar_tui.screens.asking.moves_view import MovesView
from calendar_tui.screens.forms.form_view import held_season
from calendar_tui.screens.kit.actions import bindings
from calendar_tui.screens.kit.crew_words import crew_words
from calendar_tui.screens.kit.drawing import DIM, HEADING, PLAIN, WARNING, ListRow, fitted, row, wrapped
from calendar_tui.screens.kit.host import host
from calendar_tui.screens.kit.list_view import ListView
from calendar_tui.screens.kit.typed import TypedField
from calendar_tui.season.edits import Data
from calendar_tui.season.records import Task
from calendar_tui.season.refusal import Refusal
from calendar_tui.season.sample_ids import grouped
from calendar_tui.season.sampling import BagOf
from calendar_tui.season.typed_dates import typed_in_season
from calendar_tui.season.wording import full_day_text, plant_count_text, year_day_text

FOOT = ("trip", "help", "view")


def bags_of_trip(plan: Plan, data: Data, names: Sequence[str]) -> tuple[TripBag, ...]:
    """The bags of the tasks of these names that are still to be cut."""
    return bags_of_tasks(HeldSeason(plan, data), open_tasks(plan, names))


def open_tasks(plan: Plan, names: Sequence[str]) -> list[Task]:
    """The tasks of these names that are not done."""
    return [task for task in plan.season.tasks if task.id in names and task.state != "done"]


class TripView(ListView[bool]):
    """Gives True once the work is ticked with its bags."""

    HELP_FIRST = "trip"
    CREW: ClassVar[bool] = True
    BINDINGS: ClassVar[list[BindingType]] = bindings("trip")

    def __init__(self, bags: Sequence[TripBag], tasks: Sequence[str], *, on_day: bool) -> None:
        """tasks: by their ids; on_day: whether the day is asked for first."""
        self._day_field = TypedField(id="trip-day")
        super().__init__(self._rows, FOOT, self._day_field)
        self._bags, self._names, self._on_day = tuple(bags), tuple(tasks), on_day
        self._cut = {one.bag.of for one in bags if one.kept}
        self._day: date | None = None
        self._error = ""

    @property
    def day(self) -> date:
        """On which the bags were cut."""
        return self._day or host(self).today

    def on_mount(self) -> None:
        self._list.key = "|".join(self._bags[0].bag.of) if self._bags else ""
        self._list.focus()
        if self._on_day:
            self.action_other_day()

    def show_plan(self) -> None:
        """Work the bags out anew: the season has changed."""
        plan = host(self).plan
        if plan is not None:
            self._work_out(plan)

    @work(thread=True, exclusive=True)
    def _work_out(self, plan: Plan) -> None:
        bags = bags_of_trip(plan, host(self).opened.data, self._names)
        self.app.call_from_thread(self._take, plan, bags)

    def _take(self, plan: Plan, bags: Sequence[TripBag]) -> None:
        if plan is host(self).plan:
            self._bags = tuple(bags)
            self._list.redraw()

    # --- what is drawn

    def _rows(self, width: int) -> Iterable[ListRow]:
        plan = host(self).plan
        tasks = [] if plan is None else open_tasks(plan, self._names)
        cut = tr_n("{cut} of {count} bag", "{cut} of {count} bags", len(self._bags), cut=len(self._chosen()))
        day = tr("Cut on {day}", day=full_day_text(self.day))
        self._heading.say(row((day, HEADING), f"  {cut}"))
        if self._error:
            yield from wrapped(translated(self._error), width, style=WARNING)
        if not tasks:
            yield from wrapped(tr("This work is done, or not in this season any more."), width)
            return
        for task in tasks:
            yield from wrapped(translated(task_name(task)), width, "", "  ")
        yield row()
        for one in self._bags:
            yield self._bag_row(one, width)
        if not self._bags:
            nothing = tr("No bag of this work is left to cut: it is ticked with those that are recorded.")
            yield from wrapped(nothing, width)

    def _bag_row(self, one: TripBag, width: int) -> ListRow:
        box = "[x]" if one.bag.of in self._cut else "[ ]"
        plants = "" if one.bag.plants is None else f"  {plant_count_text(one.bag.plants)}"
        to = f" {tr('to {laboratory}', laboratory=one.bag.laboratory)}" if one.bag.laboratory else ""
        name = f"  {grouped(one.name)}" if one.name else ""
        text = fitted(f"{box} {translated(one.text)}{plants}{to}{name}", width - 22)
        left = "" if one.kept else f"  {tr('over the budget')}"
        return row((text, PLAIN if one.kept else DIM), (left, WARNING), key="|".join(one.bag.of))

    def _chosen(self) -> list[TripBag]:
        return [one for one in self._bags if one.bag.of in self._cut]

    # --- keys

    def action_mark(self) -> None:
        """Mark the bag as cut, or take its mark off, and go on to the next."""
        here = next((one.bag.of for one in self._bags if "|".join(one.bag.of) == self._list.key), None)
        if here is not None:
            self._cut ^= {here}
            self._list.redraw()
            self._list.action_step(1)

    def action_mark_all(self) -> None:
        every = {one.bag.of for one in self._bags}
        self._cut = set[BagOf]() if every <= self._cut else every
        self._list.redraw()

    def action_other_day(self) -> None:
        with crew_words(self):
            self._day_field.placeholder = tr("cut on which day?")
        self._day_field.ask(year_day_text(self.day))
        self._keys.display = False

    def _close_day(self) -> None:
        self._day_field.close()
        self._keys.display = True
        self._list.focus()

    def on_input_submitted(self) -> None:
        plan = host(self).plan
        if plan is None:
            return
        try:
            self._day, self._error = self._typed(plan), ""
            self._close_day()
        except ValueError as wrong:
            self._error = str(wrong)
        self._list.redraw()

    def _typed(self, plan: Plan) -> date:
        """The day that is typed. Raises ValueError for one to come."""
        due = next((task.date for task in open_tasks(plan, self._names)), None)
        text, today, order = self._day_field.value or "today", plan.today, host(self).date_order
        day = typed_in_season(text, plan.season, today=today, planned=due, past=True, order=order)
        if wrong := not_yet(day, today):
            raise ValueError(wrong)
        return day

    def action_cut_trip(self) -> None:
        self._show()

    @work(thread=True, exclusive=True, group="proposal")
    def _show(self) -> None:
        """Work out what would be saved, and show it."""
        plan = host(self).plan
        if plan is None:
            return
        make = partial(self._proposal, tuple(self._bags), tuple(self._chosen()), self.day)
        try:
            proposal = make(plan)
        except Refusal as refused:
            self.app.call_from_thread(self.notify, f"{refused}.", severity="warning")
            return
        self.app.call_from_thread(self._preview, OneChange(proposal.change.what, make), proposal)

    def _proposal(self, bags: Sequence[TripBag], cut: Sequence[TripBag], day: date, plan: Plan) -> Proposal:
        at, tasks = host(self), open_tasks(plan, self._names)
        if not tasks:
            raise Refusal(phrase("this work is done, or not in this season any more"))
        return cut_bags_of_tasks(held_season(at, plan), tasks, bags, cut, Cutting(day, "", at.who))

    def _preview(self, act: OneChange, proposal: Proposal) -> None:
        self.app.push_screen(MovesView(act, (Answer("", "", proposal),)), self._after)

    def _after(self, saved: bool | None) -> None:
        if saved:
            self.dismiss(True)

    def action_back(self) -> None:
        """Out of the day first, then out of the view."""
        if self._day_field.asked:
            self._close_day()
        else:
            self.dismiss(False)
