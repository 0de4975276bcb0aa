"""The bags of a week: what is to be cut, and a trip recorded, sent, lost or cut again in a few keys."""

from __future__ import annotations

from collections.abc import Callable, Iterable, Sequence
from datetime import date, timedelta
from functools import partial
from typing import ClassVar

from textual import work
from textual.binding import BindingType

from calendar_tui.handing_on.words.samples_text import next_trip_text
from calendar_tui.planning.changes.bags import (
    Cutting,
    record_bags,
    set_bags,
)
from calendar_tui.planning.changes.bags_left_out import leave_out_bags
from calendar_tui.planning.changes.new_bags import NewBag, bag_again, new_bag
from calendar_tui.planning.changes.proposal import Proposal
from calendar_tui.planning.changes.trip_work import known_limits
from calendar_tui.planning.plan import Plan
from calendar_tui.planning.sampling.week import sampling_week
from calendar_tui.screens.asking.answers import Answer, OneChange
from calendar_tui.screens.asking.moves_view import MovesView
from calendar_tui.screens.forms.add_view import AddView
from calendar_tui.screens.forms.form_view import held_season
from calendar_tui.screens.kit.actions import bindings, shown_key
from calendar_tui.screens.kit.drawing import HEADING, WARNING, ListRow, fitted, row, wrapped
from calendar_tui.screens.kit.host import host
from calendar_tui.screens.kit.list_view import ListView
from calendar_tui.screens.samples.rows import Bags, bag_rows, bags_of, key_of, left_to_cut
from calendar_tui.season.refusal import Refusal
from calendar_tui.season.wording import full_day_text

FOOT = ("bags", "undo", "redo", "help", "view")
WEEK = timedelta(days=7)
Make = Callable[[Plan], Proposal]


class BagsView(ListView[None]):
    """One week's trips with their bags, and below them what is not sent yet and what is at a laboratory."""

    HELP_FIRST = "bags"
    BINDINGS: ClassVar[list[BindingType]] = bindings("bags", "undo", "redo")

    def __init__(self, bags: Bags, day: date | None = None, cohort: str = "") -> None:
        """day, cohort: of the trip at which it opens, in place of the first row."""
        super().__init__(self._rows, FOOT)
        self._bags, self._day = bags, day or bags.week.first
        self._at = (day, cohort) if cohort else None
        self._marked = set[str]()

    def on_mount(self) -> None:
        self._list.key = self._first_key()
        self._list.focus()
        self._show_heading()
        if host(self).preferences.first_weekday:
            # What it opens with begins on a Monday.
            self._show_week(self._day if self._at else host(self).today)

    def _first_key(self) -> str:
        """The first bag to cut of the trip at which it opens; "" without one."""
        plan = host(self).plan
        left = () if plan is None or self._at is None else left_to_cut(plan, self._bags.week)
        here = (one for one in left if (one.bag.day, one.bag.cohort) == self._at)
        return next((one.sample.id if one.sample else key_of(one.bag) for one in here), "")

    def show_plan(self) -> None:
        """Work the week out anew: the season has changed."""
        plan = host(self).plan
        if plan is not None:
            self._work_out(plan, self._day)

    @work(thread=True, exclusive=True)
    def _work_out(self, plan: Plan, day: date) -> None:
        begins = host(self).preferences.first_weekday
        week = sampling_week(plan.season, plan.timelines, day, known_limits(plan), begins)
        self.app.call_from_thread(self._take, plan, bags_of(plan, week))

    def _take(self, plan: Plan, bags: Bags) -> None:
        if plan is host(self).plan:
            if bags.week.first != self._bags.week.first:
                self._list.key = next((key_of(one.bag) for one in bags.week.to_cut if one.sample is None), "")
            self._bags = bags
            self._list.redraw()
            self._marked &= {r.key for r in self._list.rows}
            self._show_heading()

    def _show_heading(self) -> None:
        week, width, plan = self._bags.week, self.app.size.width, host(self).plan
        head = f"Bags of the week from {full_day_text(week.first)}"
        left = 0 if plan is None else len(left_to_cut(plan, week))
        given = len(week.given_up)
        parts = [f"{left} to cut"] + ([f"{given} given up"] if given else [])
        parts += [f"{len(self._marked)} marked"] if self._marked else []
        text = fitted("  " + "  ".join(parts), max(width - len(head), 0)).rstrip()
        self._heading.say(row((head, HEADING), (text, WARNING if given else HEADING)))

    def _rows(self, width: int) -> Iterable[ListRow]:
        plan = host(self).plan
        if plan is None:
            return ()
        rows = list(bag_rows(plan, self._bags, frozenset(self._marked), width))
        if any(one.key for one in rows):
            return rows
        farm = f"{shown_key(self, 'view.escape')}, then {shown_key(self, 'season.f')}"
        none = (
            f"No plan asks for bags in this week{next_trip_text(self._bags.week)}."
            if plan.season.samplings
            else f"No sampling plan yet: press {farm} for the farm, and add a laboratory and a sampling there."
        )
        return [*wrapped(none, width), *rows]

    # --- what is meant

    def action_mark(self) -> None:
        """Mark the bag under the cursor, or take its mark off, and go on to the next."""
        if self._list.key:
            self._marked ^= {self._list.key}
            self._list.redraw()
            self._list.action_step(1)
            self._show_heading()

    def action_mark_trip(self) -> None:
        """Mark all bags of the trip under the cursor, or all below it that are alike; where all are, none."""
        here = self._alike()
        self._marked = self._marked - here if here <= self._marked else self._marked | here
        self._list.redraw()
        self._show_heading()

    def _alike(self) -> set[str]:
        """The keys of the rows between the headings around the cursor."""
        groups: list[set[str]] = [set()]
        for one in self._list.rows:
            if one.key:
                groups[-1].add(one.key)
            elif groups[-1]:
                groups.append(set())
        return next((group for group in groups if self._list.key in group), set())

    def _ids(self) -> list[str]:
        """The bags with ids that are marked, else the one under the cursor."""
        plan, keys = host(self).plan, self._marked or {self._list.key}
        return [] if plan is None else [name for name in plan.season.samples if name in keys]

    def _to_cut(self) -> tuple[NewBag, ...]:
        """The bags without ids that are marked, else all of the trip under the cursor that the budget leaves."""
        keys = self._marked
        open_bags = [one.bag for one in self._bags.week.bags if one.sample is None]
        if not keys and (plan := host(self).plan) is not None:
            keys = self._alike() & {key_of(one.bag) for one in left_to_cut(plan, self._bags.week)}
        return tuple(new_bag(bag) for bag in open_bags if key_of(bag) in keys)

    # --- what is done

    def action_cut_bags(self) -> None:
        """Give the bags their ids, cut today; those of a day to come are still to be cut."""
        bags, today = self._to_cut(), host(self).today
        if not self._marked and any(one.sample.id == self._list.key for one in self._bags.out):
            self.app.push_screen(AddView(kind="result", bag=self._list.key))
        elif not bags:
            self.notify("No bag without an id is here: move to one that is to cut.")
        else:
            self._cut(bags, today)

    def _cut(self, bags: Sequence[NewBag], today: date) -> None:
        planned = min(bag.planned for bag in bags if bag.planned is not None)
        # One or two days early the trip is cut now; for a later one ids are made ahead, for labels.
        day = today if planned <= today + timedelta(days=2) else planned
        self._show(partial(self._recorded, bags, day))

    def action_send_bags(self) -> None:
        self._become("sent", host(self).today)

    def action_lose_bags(self) -> None:
        """Those with ids are lost; those of a day before without one were not cut, and are left out."""
        left = () if self._ids() else self._not_cut()
        if left:
            self._show(partial(self._left_out, left))
        else:
            self._become("lost", None)

    def _not_cut(self) -> tuple[NewBag, ...]:
        """The bags of days before without ids that are marked, else the one under the cursor."""
        today, keys = host(self).today, self._marked or {self._list.key}
        bags = (one.bag for one in self._bags.week.bags if one.sample is None and one.bag.day < today)
        return tuple(new_bag(bag) for bag in bags if key_of(bag) in keys)

    def action_cut_again(self) -> None:
        """A new bag in place of each."""
        if ids := self._ids_or_tell():
            self._show(partial(self._again, tuple(ids), host(self).today))

    def _become(self, state: str, day: date | None) -> None:
        if ids := self._ids_or_tell():
            self._show(partial(self._set, tuple(ids), state, day))

    def _ids_or_tell(self) -> list[str]:
        ids = self._ids()
        if not ids:
            self.notify("No bag with an id is here: cut it first.")
        return ids

    def _recorded(self, bags: Sequence[NewBag], day: date, plan: Plan) -> Proposal:
        at = host(self)
        return record_bags(held_season(at, plan), bags, Cutting(day, "", at.who))[0]

    def _left_out(self, bags: Sequence[NewBag], plan: Plan) -> Proposal:
        return leave_out_bags(held_season(host(self), plan), bags)

    def _again(self, ids: Sequence[str], day: date, plan: Plan) -> Proposal:
        return self._recorded([bag_again(plan.season, name) for name in ids], day, plan)

    def _set(self, ids: Sequence[str], state: str, day: date | None, plan: Plan) -> Proposal:
        return set_bags(held_season(host(self), plan), ids, state, day)

    @work(thread=True, exclusive=True, group="proposal")
    def _show(self, make: Make) -> None:
        """Work out what would be saved, and show it."""
        plan = host(self).plan
        if plan is None:
            return
        try:
            proposal = make(plan)
        except Refusal as refused:
            self.app.call_from_thread(self.notify, f"{refused}.", severity="warning")
            return
        self.app.call_from_thread(self._preview, make, proposal)

    def _preview(self, make: Make, proposal: Proposal) -> None:
        act = OneChange(proposal.change.what, make)
        self.app.push_screen(MovesView(act, (Answer("", "", proposal),)), self._after)

    def _after(self, saved: bool | None) -> None:
        if saved:
            self._marked.clear()
            self._list.redraw()
            self._show_heading()

    # --- which week

    def action_week(self, by: int) -> None:
        self._show_week(self._day + by * WEEK)

    def action_this_week(self) -> None:
        self._show_week(host(self).today)

    def _show_week(self, day: date) -> None:
        self._day = day
        self._marked.clear()
        self.show_plan()
