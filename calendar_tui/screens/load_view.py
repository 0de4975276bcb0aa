"""The load: person-hours by week and role, a bar each against what the role has, and the tasks behind them."""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Mapping, Sequence
from datetime import date
from typing import ClassVar, NamedTuple

from textual.app import ComposeResult
from textual.binding import Binding, BindingType
from textual.screen import Screen

from calendar_tui.handing_on.load_text import load_figures, mark_of, task_said
from calendar_tui.planning.load import Load, by_week, guessed_chores, iso_week, loads, monday_of
from calendar_tui.planning.wording import full_day_text
from calendar_tui.screens.actions import bindings
from calendar_tui.screens.drawing import (
    BOLD,
    HEADING,
    PLAIN,
    WARNING,
    Bar,
    Picker,
    Row,
    fitted,
    keys_row,
    row,
    wrapped,
)
from calendar_tui.screens.glyphs import UNICODE, Glyphs
from calendar_tui.screens.host import host
from calendar_tui.season.records import Season, Task

KEYS = "up/down role  enter tasks  o next over-full  t this week  w that week  esc back"
FEW_KEYS = "enter tasks  o over-full  ? help"
# The longest a role is written out, and below how many columns it is short.
LONGEST_ROLE, SHORT_ROLE, NARROW = 18, 8, 60
# A longer bar tells no more, and is dear over a slow line.
SHORTEST_BAR, LONGEST_BAR = 4, 30
NOTHING = "No hours: no task that is saved says how long it takes."


class Widths(NamedTuple):
    """The columns of a role's name, its bar and its figures."""

    role: int
    bar: int
    figures: int


def widths(found: Iterable[Load], width: int) -> Widths:
    """Room for the names and figures there are, and the rest for the bars."""
    pairs = [(len(load.role), len(_figures(load))) for load in found] or [(0, 0)]
    role = min(max(n for n, _ in pairs), LONGEST_ROLE if width >= NARROW else SHORT_ROLE)
    figures = max(n for _, n in pairs)
    bar = min(max(width - role - figures - 2, SHORTEST_BAR), LONGEST_BAR)
    return Widths(role, bar, figures)


def _figures(load: Load) -> str:
    return load_figures(load) + (" !" if load.over_h else "")


def key_of(load: Load, task: Task | None = None) -> str:
    """What the cursor stands on: a role's week, or a task behind it."""
    return f"{load.monday} {load.role}" + (f"|{task.id}" if task else "")


def load_rows(
    season: Season, found: Sequence[Load], opened: Iterable[str], today: date, glyphs: Glyphs, width: int
) -> Iterator[Row]:
    """Week by week, a row for each role; those that are opened with their tasks below, the largest first."""
    opened, guesses = set(opened), guessed_chores(season)
    at, full = widths(found, width), full_bars(found)
    for monday, of_week in by_week(found).items():
        this = ("  this week", WARNING) if monday == monday_of(today) else ("", PLAIN)
        yield row((f"{iso_week(monday)}  {full_day_text(monday)}", HEADING), this)
        for load in of_week:
            yield load_row(load, full[load.role], at, glyphs)
            for task in load.tasks if key_of(load) in opened else ():
                first, *more = wrapped(task_said(task, task.chore in guesses), width, "  ", " " * 12)
                yield Row(first.segments, key_of(load, task))
                yield from more


def full_bars(found: Iterable[Load]) -> Mapping[str, float]:
    """The hours of a whole bar of each role: its fullest week, or what it has where that is more."""
    full: dict[str, float] = {}
    for load in found:
        full[load.role] = max(full.get(load.role, 0.0), load.hours, load.has_h or 0.0)
    return full


def load_row(load: Load, full_h: float, at: Widths, glyphs: Glyphs) -> Row:
    """Role, bar, figures and marks on one line."""
    style = BOLD if load.over_h else PLAIN
    return row(
        (fitted(load.role, at.role) + " ", style),
        (bar_text(load, full_h, at.bar, glyphs), WARNING if load.over_h else PLAIN),
        (f" {_figures(load)}", style),
        key=key_of(load),
    )


def bar_text(load: Load, full_h: float, cells: int, glyphs: Glyphs) -> str:
    """Filled up to its hours; "!" for each cell over what the role has, dots for what is free of that."""
    filled = _cells(load.hours, full_h, cells)
    if load.has_h is None:
        return (glyphs.bar * filled).ljust(cells)
    has = min(_cells(load.has_h, full_h, cells), cells)
    if load.over_h:
        has = min(has, filled - 1)  # however little is over, a cell says so
        return (glyphs.bar * has + "!" * (filled - has)).ljust(cells)
    return (glyphs.bar * filled + glyphs.free * (has - filled)).ljust(cells)


def _cells(hours: float, full_h: float, cells: int) -> int:
    """The cells for so many hours; one at least for any work."""
    return max(round(cells * hours / full_h), 1 if hours else 0) if full_h else 0


class LoadView(Screen[None]):
    """Every week that has work, and where the cursor stands at first, this one."""

    HELP_FIRST = "load"
    BINDINGS: ClassVar[list[BindingType]] = [
        *bindings("load", "view"),
        Binding("t", "this_week", show=False),
    ]

    def __init__(self) -> None:
        super().__init__()
        self._found: tuple[Load, ...] = ()
        self._opened: set[str] = set()
        self._heading, self._keys = Bar(), Bar()
        self._list = Picker(self._rows)

    def compose(self) -> ComposeResult:
        self._read()
        self._list.key = self._now()
        self._say_bars()
        yield self._heading
        yield self._list
        yield self._keys

    def on_resize(self) -> None:
        self._say_bars()

    def show_plan(self) -> None:
        """Draw the load as the season has it now."""
        self._read()
        self._list.redraw()
        self._say_bars()

    @property
    def text(self) -> str:
        """All that the view shows, as plain text."""
        return "\n".join(part.text for part in (self._heading, self._list))

    def _read(self) -> None:
        plan = host(self).plan
        self._found = () if plan is None else loads(plan.season)

    def _say_bars(self) -> None:
        width = self.app.size.width
        self._keys.say(keys_row(KEYS if width >= len(KEYS) else FEW_KEYS))
        over = [load for load in self._found if load.over_h and load.monday >= monday_of(host(self).today)]
        marks = "".join(mark_of(load) for load in self._found)
        said = [f"! over-full to come: {len(over)}"] if over else []
        said += ["~ some of it a guess"] if "~" in marks else []
        if not any(load.has_h is not None for load in self._found):
            said.append("what each role has is not said: [crew] hours_per_week")
        text = fitted("  " + "  ".join(said), width - len("Load")).rstrip()
        self._heading.say(row(("Load", HEADING), (text, WARNING if over else PLAIN)))

    def _rows(self, width: int) -> Iterable[Row]:
        plan = host(self).plan
        if plan is None or not self._found:
            return wrapped(NOTHING, width)
        glyphs = getattr(self.app, "glyphs", UNICODE)
        return load_rows(plan.season, self._found, self._opened, plan.today, glyphs, width)

    def _now(self) -> str:
        """The key of this week's first role, or else of the next week that has work, or of the last."""
        first = monday_of(host(self).today)
        later = (key_of(load) for load in self._found if load.monday >= first)
        return next(later, key_of(self._found[-1]) if self._found else "")

    def action_this_week(self) -> None:
        self._list.stand_on(self._now())

    def action_tasks(self) -> None:
        """Show the tasks behind the role's week, or hide them again."""
        key = self._list.key.partition("|")[0]
        if not key:
            return
        self._opened ^= {key}
        self._list.key = key
        self._list.redraw()
        if key in self._opened:
            self._list.bring_to_top()

    def action_next_over(self) -> None:
        """To the next role's week that is over-full; after the last to the first."""
        keys = [key_of(load) for load in self._found]
        here = self._list.key.partition("|")[0]
        at = keys.index(here) if here in keys else -1
        after = [*self._found[at + 1 :], *self._found[: at + 1]]
        over = next((key_of(load) for load in after if load.over_h), None)
        if over is None:
            self.notify("No week has more work than a role has hours.")
        else:
            self._list.stand_on(over)

    async def action_open_that_week(self) -> None:
        """The week under the cursor, where its tasks are moved; sent once it is whole."""
        from calendar_tui.screens.week_view import WeekView

        if self._list.key:
            with self.app.batch_update():
                await self.app.push_screen(WeekView(date.fromisoformat(self._list.key.split(" ", 1)[0])))

    def action_back(self) -> None:
        self.dismiss()
