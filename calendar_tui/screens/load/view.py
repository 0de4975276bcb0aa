"""The load by week, one kind at a time: a bar for each role or thing against what there is, and what is behind it."""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Mapping, Sequence
from datetime import date
from functools import partial
from itertools import groupby
from typing import ClassVar, NamedTuple

from textual import work
from textual.app import ComposeResult
from textual.binding import BindingType

from calendar_tui.handing_on.words.first_steps import next_step
from calendar_tui.handing_on.words.load_text import behind_rows, marks_of, over_in_text, use_figures
from calendar_tui.planning.capacity.by_week import KINDS, WeekUse, hours_by_week
from calendar_tui.planning.capacity.over_full import not_counted
from calendar_tui.planning.needs.by_week import week_uses
from calendar_tui.planning.plan import Plan
from calendar_tui.screens.kit.actions import bindings, shown_key
from calendar_tui.screens.kit.drawing import (
    BOLD,
    HEADING,
    PLAIN,
    WARNING,
    ListRow,
    fitted,
    row,
    wrapped,
)
from calendar_tui.screens.kit.glyphs import Glyphs
from calendar_tui.screens.kit.host import host
from calendar_tui.screens.kit.list_view import ListView
from calendar_tui.screens.kit.notices import WORKING
from calendar_tui.season.cells import cell_len
from calendar_tui.season.records import Season
from calendar_tui.season.weeks import iso_week, monday_of
from calendar_tui.season.wording import full_day_text

FOOT = ("load", "help", "view")
# The longest a role is written out, and below how many columns it is short.
LONGEST_ROLE, SHORT_ROLE, NARROW = 18, 8, 60
# A longer bar tells no more, and is dear over a slow line.
SHORTEST_BAR, LONGEST_BAR = 4, 30
NOTHING = {
    "hours": "No hours are set on any saved task.",
    "dryer": "Nothing that is known of goes into the dryer.",
    "trays": "No trays that are known of stand on nursery benches.",
    "room": "No room that is known of is taken.",
    "lamps": "No lamps burn.",
    "circuits": "No circuits are known of.",
    "samples": "No samples are taken.",
}
# What the heading calls each kind.
NAMES = {
    "hours": "hours by role",
    "dryer": "dryer",
    "trays": "nursery benches",
    "room": "room in places",
    "lamps": "lamps",
    "circuits": "circuits",
    "samples": "samples",
}


class Widths(NamedTuple):
    """The columns of a role's name, its bar and its figures."""

    role: int
    bar: int
    figures: int


def widths(uses: Iterable[WeekUse], width: int) -> Widths:
    """Room for the names and figures there are, and the rest for the bars."""
    lengths = [(cell_len(use.label), cell_len(use_figures(use))) for use in uses] or [(0, 0)]
    role = min(max(n for n, _ in lengths), LONGEST_ROLE if width >= NARROW else SHORT_ROLE)
    figures = max(n for _, n in lengths)
    bar = min(max(width - role - figures - 2, SHORTEST_BAR), LONGEST_BAR)
    return Widths(role, bar, figures)


def key_of(use: WeekUse, behind: str = "") -> str:
    """What the cursor stands on: a role's or thing's week, or a task or cohort behind it."""
    return f"{use.monday} {use.label}" + (f"|{behind}" if behind else "")


def load_rows(
    season: Season, uses: Sequence[WeekUse], opened: Iterable[str], today: date, glyphs: Glyphs, width: int
) -> Iterator[ListRow]:
    """Week by week, a row for each role or thing; those that are opened with what is behind them, the largest first."""
    opened, at, full = set(opened), widths(uses, width), full_bars(uses)
    for monday, of_week in groupby(uses, key=lambda use: use.monday):
        this = ("  this week", WARNING) if monday == monday_of(today) else ("", PLAIN)
        yield row((f"{iso_week(monday)}  {full_day_text(monday)}", HEADING), this)
        for use in of_week:
            yield load_row(use, full[use.label], at, glyphs)
            if key_of(use) not in opened:
                continue
            if over_in := over_in_text(use):
                yield from wrapped(over_in, width, "  ", "  ", style=WARNING)
            for name, share in behind_rows(season, use):
                first, *more = wrapped(share, width, "  ", " " * 12)
                yield ListRow(first.segments, key_of(use, name))
                yield from more


def full_bars(uses: Iterable[WeekUse]) -> Mapping[str, float]:
    """The amount, in its own unit, of a whole bar of each role or thing: its fullest week, or what there is where that is more."""
    full: dict[str, float] = {}
    for use in uses:
        full[use.label] = max(full.get(use.label, 0.0), use.amount, use.has or 0.0)
    return full


def load_row(use: WeekUse, full: float, at: Widths, glyphs: Glyphs) -> ListRow:
    """Name, bar, figures and marks on one line; full: the amount of a whole bar, in the unit of the use."""
    style = BOLD if use.over else PLAIN
    return row(
        (fitted(use.label, at.role) + " ", style),
        (bar_text(use, full, at.bar, glyphs), WARNING if use.over else PLAIN),
        (f" {use_figures(use)}", style),
        key=key_of(use),
    )


def bar_text(use: WeekUse, full: float, cells: int, glyphs: Glyphs) -> str:
    """Filled up to its amount; "!" for each cell over what there is, dots for what is free of that."""
    filled = _cells(use.amount, full, cells)
    if use.has is None:
        return (glyphs.bar * filled).ljust(cells)
    has = min(_cells(use.has, full, cells), cells)
    if use.over:
        has = min(has, filled - 1)  # however little is over, a cell says so
        return (glyphs.bar * has + "!" * (filled - has)).ljust(cells)
    return (glyphs.bar * filled + glyphs.free * (has - filled)).ljust(cells)


def _cells(amount: float, full: float, cells: int) -> int:
    """The cells for so much; one at least for anything."""
    return max(round(cells * amount / full), 1 if amount else 0) if full else 0


class LoadView(ListView[None]):
    """Every week in which something is taken of the kind shown; the cursor stands at first on this one."""

    HELP_FIRST = "load"
    BINDINGS: ClassVar[list[BindingType]] = bindings("load")

    def __init__(self) -> None:
        super().__init__(self._rows, FOOT)
        self._kind = KINDS[0]
        # None: not worked out yet. Hours without their range are quick.
        self._uses: tuple[WeekUse, ...] | None = ()
        self._others: tuple[WeekUse, ...] | None = None
        self._opened: set[str] = set()

    def compose(self) -> ComposeResult:
        self._read()
        self._list.key = self._now()
        self._say_bars()
        yield from super().compose()

    def on_resize(self) -> None:
        self._say_bars()

    def show_plan(self) -> None:
        """Draw the load as the season has it now."""
        self._read()
        self._list.redraw()
        self._say_bars()

    def _read(self) -> None:
        """Begin to work out the plan as it is now. Until then hours stand by their likely dates, all else as it was before."""
        plan = host(self).plan
        if self._kind == "hours" or plan is None:
            self._others = None
            self._uses = () if plan is None else tuple(hours_by_week(plan.season))
        if plan is not None:
            self._work_out(plan)

    @work(thread=True, exclusive=True)
    def _work_out(self, plan: Plan) -> None:
        uses = week_uses(plan, host(self).opened.data)
        self.app.call_from_thread(self._take, plan, uses)

    def _take(self, plan: Plan, uses: tuple[WeekUse, ...]) -> None:
        if plan is host(self).plan:
            stay = self._others is not None or self._kind == "hours"
            self._others = uses
            self._show_kind(stay)

    def _show_kind(self, stay: bool) -> None:
        """Draw the kind from what is known of it; stay: leave the cursor where it is."""
        others = self._others
        self._uses = None if others is None else tuple(use for use in others if use.kind == self._kind)
        if not stay:
            self._list.key = self._now()
        self._list.redraw()
        self._say_bars()

    def action_next_kind(self) -> None:
        """Show the next kind; after the last one hours again."""
        self._kind = KINDS[(KINDS.index(self._kind) + 1) % len(KINDS)]
        self._opened.clear()
        if host(self).plan is None:
            self._others = ()
        self._show_kind(stay=False)

    def _say_bars(self) -> None:
        width = self.app.size.width
        uses, head = self._uses or (), f"Load  {NAMES[self._kind]}"
        over = [use for use in uses if use.over and use.monday >= monday_of(host(self).today)]
        marks = "".join(map(marks_of, uses))
        notes = [f"! over-full to come: {len(over)}"] if over else []
        notes += ["? may be over-full"] if "?" in marks else []
        notes += ["~ some of it a guess"] if "~" in marks else []
        if self._kind == "hours" and not any(use.has is not None for use in uses):
            notes.append("no hours per role are set: f, crew")
        text = fitted("  " + "  ".join(notes), max(width - len(head), 0)).rstrip()
        self._heading.say(row((head, HEADING), (text, WARNING if over else PLAIN)))

    def _rows(self, width: int) -> Iterable[ListRow]:
        plan = host(self).plan
        if self._uses is None:
            return wrapped(WORKING, width)
        if plan is None or not self._uses:
            text = (
                NOTHING[self._kind]
                if plan is None
                else next_step(plan.season, partial(shown_key, self)) or NOTHING[self._kind]
            )
            return [*wrapped(text, width), *self._note_rows(plan, width)]
        glyphs = host(self).glyphs
        shown = load_rows(plan.season, self._uses, self._opened, plan.today, glyphs, width)
        return [*shown, *self._note_rows(plan, width)]

    def _note_rows(self, plan: Plan | None, width: int) -> Iterator[ListRow]:
        """What is not counted or not compared, below the weeks; of hours the heading tells it."""
        if plan is not None and self._kind != "hours":
            for note in not_counted(plan.season, plan.timelines, self._kind):
                yield from wrapped(note, width, "", "  ")

    def _now(self) -> str:
        """The key of this week's first row, or else of the next week that has one, or of the last."""
        first, uses = monday_of(host(self).today), self._uses or ()
        later = (key_of(use) for use in uses if use.monday >= first)
        return next(later, key_of(uses[-1]) if uses else "")

    def action_this_week(self) -> None:
        self._list.stand_on(self._now())

    def action_tasks(self) -> None:
        """Show the tasks or cohorts behind the row's week, or hide them again."""
        key = self._list.key.partition("|")[0]
        if not key:
            return
        self._opened ^= {key}
        self._list.key = key
        self._list.redraw()
        if key in self._opened:
            self._list.bring_to_top()

    def action_next_over(self) -> None:
        """To the next week that is over-full; after the last to the first."""
        uses = self._uses or ()
        keys = [key_of(use) for use in uses]
        here = self._list.key.partition("|")[0]
        at = keys.index(here) if here in keys else -1
        after = [*uses[at + 1 :], *uses[: at + 1]]
        over = next((key_of(use) for use in after if use.over), None)
        if over is None:
            self.notify("No week is over-full.")
        else:
            self._list.stand_on(over)

    async def action_open_that_week(self) -> None:
        """The week under the cursor, where its tasks are moved."""
        if self._list.key:
            await host(self).open_view("week", date.fromisoformat(self._list.key.split(" ", 1)[0]))
