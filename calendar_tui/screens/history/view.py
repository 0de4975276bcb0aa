"""The history of the season: every change, newest first; before and after; undo, redo, and the season as it was."""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Mapping, Sequence
from datetime import tzinfo
from itertools import groupby
from typing import ClassVar
from zoneinfo import ZoneInfo

from textual import work
from textual.binding import BindingType

from calendar_tui.handing_on.tables.history_rows import HistoryRow, edits_of, rows_of
from calendar_tui.handing_on.words.history_text import (
    About,
    about_tasks,
    edit_text,
    entry_lines,
    marks_text,
    shortened_text,
)
from calendar_tui.handing_on.words.plain_text import count_text
from calendar_tui.screens.kit.actions import bindings, shown_key
from calendar_tui.screens.kit.drawing import (
    BOLD,
    CUT,
    DIM,
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
from calendar_tui.screens.kit.host import Host, host
from calendar_tui.screens.kit.list_view import ListView
from calendar_tui.screens.kit.page import Page
from calendar_tui.season.cells import cell_len
from calendar_tui.season.readers import plain
from calendar_tui.season.wording import full_day_text
from calendar_tui.storage.history.undo import History, read_history, stamp, steps_to
from calendar_tui.storage.problems import SeasonFileError

FOOT = ("history", "change", "undo", "redo", "changes", "help", "view")
CHANGE_FOOT = ("change", "page", "help", "view")
LONGEST_WHO, NUMBER_WIDTH, STATE_WIDTH = 10, 4, 6
DETAIL_LINES = 4
# How often to look whether somebody else has changed the season, in seconds.
LOOK_S = 2.0


def harmless(text: str) -> str:
    """Text of a history, which nobody has checked, on one line and without characters that steer a terminal."""
    return plain(text).replace("\n", " ")


def history_rows(rows: Sequence[HistoryRow], zone: tzinfo, width: int) -> Iterator[ListRow]:
    """The changes under their days at the site, newest first, so that the newest is there as the view opens."""
    who = min(max((cell_len(r.entry.who) for r in rows), default=0), LONGEST_WHO)
    states = STATE_WIDTH if any(r.state != "stands" for r in rows) else 0
    for day, of_day in groupby(reversed(rows), key=lambda r: r.entry.when.astimezone(zone).date()):
        yield row((full_day_text(day), HEADING))
        for change in of_day:
            yield change_row(change, zone, width, who, states)


def change_row(change: HistoryRow, zone: tzinfo, width: int, who: int, states: int) -> ListRow:
    """One change on one line; what does not stand any more says so in a word."""
    state = "" if change.state == "stands" else change.state
    parts = [f"{change.entry.n:>{NUMBER_WIDTH}}", f"{change.entry.when.astimezone(zone):%H:%M}"]
    parts += [fitted(harmless(change.entry.who), who)] + ([fitted(state, states)] if states else [])
    lead = " ".join(parts) + " "
    text = lead + fitted(harmless(change.entry.what), max(width - cell_len(lead), 8))
    return row((text, DIM if state else PLAIN), key=str(change.entry.n))


def detail_rows(change: HistoryRow, width: int, opens: str) -> list[ListRow]:
    """What a line has no room for: the whole sentence, what befell the change, and its first fields. opens: the key that shows them all."""
    rows = first_rows(wrapped(harmless(change.entry.what), width), 2, width)
    if marks := marks_text(change):
        rows += wrapped(marks, width, style=WARNING)[:1]
    edits = list(edits_of(change.entry))
    fields = [harmless(edit_text(edit, back)) for edit, back in edits[: DETAIL_LINES - len(rows)]]
    more = len(edits) - len(fields)
    rows += [row((fitted(f"  {text}", width), DIM)) for text in fields]
    if more and rows and fields:
        rows[-1] = row((fitted(f"  {more + 1} more fields: {opens} shows them all", width), DIM))
    return rows[:DETAIL_LINES]


def zone_of(at: Host) -> tzinfo:
    """The site's time zone; UTC where the season has problems."""
    return ZoneInfo("UTC" if at.plan is None else at.plan.season.site.timezone)


class HistoryView(ListView[None]):
    """Reads the history anew whenever the season is, and whenever somebody else has written to it."""

    HELP_FIRST = "history"
    CSS = f"HistoryView #detail {{ height: {DETAIL_LINES}; }}"
    BINDINGS: ClassVar[list[BindingType]] = bindings("history", "change", "undo", "redo")

    def __init__(self) -> None:
        self._detail = Bar(id="detail")
        super().__init__(self._rows, FOOT, self._detail)
        self._heading.say(row(("History", HEADING)))
        self._history: History | None = None
        self._rows_by_number: dict[str, HistoryRow] = {}
        self._stamp: tuple[int, ...] = ()
        self._readings = 0
        self._problem = ""

    def on_mount(self) -> None:
        self.show_plan()
        self.set_interval(LOOK_S, self._look)

    @property
    def selected(self) -> int:
        """The number of the change under the cursor, 0 where there is none."""
        return int(self._list.key or 0)

    def select(self, n: int) -> None:
        """Put the cursor on a change."""
        self._list.stand_on(str(n))

    # --- the file

    def show_plan(self) -> None:
        """Read the history, which changes with the season, and show it."""
        self._readings += 1
        self._read(self._readings)

    @work(thread=True, group="history")
    def _read(self, reading: int) -> None:
        path = host(self).opened.path
        seen = stamp(path)
        try:
            history, problem = read_history(path), ""
        except SeasonFileError as error:
            history, problem = None, str(error)
        if self.is_attached:
            self.app.call_from_thread(self._take, reading, history, seen, problem)

    def _take(self, reading: int, history: History | None, seen: tuple[int, ...], problem: str) -> None:
        if reading < self._readings:  # what was read later is on its way
            return
        self._history, self._stamp, self._problem = history, seen, problem
        self._rows_by_number = {} if history is None else {str(r.entry.n): r for r in rows_of(history)}
        self._list.redraw()

    @work(thread=True, exclusive=True, group="look")
    def _look(self) -> None:
        """See whether somebody else has written to the season or to its history."""
        seen = stamp(host(self).opened.path)
        if self._stamp and seen != self._stamp and self.is_attached:
            self._stamp = seen
            self.app.call_from_thread(self._read_again)

    def _read_again(self) -> None:
        self.show_plan()
        host(self).look()

    # --- what is drawn

    def _rows(self, width: int) -> Iterable[ListRow]:
        history = self._history
        if self._problem:
            return wrapped(harmless(self._problem), width, style=WARNING)
        if history is None:
            return []
        self._heading.say(self._title(history))
        rows: list[ListRow] = []
        if not self._rows_by_number:
            rows += wrapped("No change yet: the first one that is saved here begins the history.", width)
        rows += history_rows(list(self._rows_by_number.values()), zone_of(host(self)), width)
        if history.shortened is not None:
            rows += wrapped(harmless(shortened_text(history.shortened)), width, style=DIM)
        for warning in history.warnings:
            rows += wrapped(harmless(warning), width, "! ", "  ", WARNING)
        return rows

    def _title(self, history: History) -> ListRow:
        can = f"{len(history.done)} can be undone, {len(history.undone)} redone"
        return row(
            ("History", HEADING), f"  {count_text(len(self._rows_by_number), 'entry', 'entries')}; {can}"
        )

    def on_picker_moved(self) -> None:
        change = self._rows_by_number.get(self._list.key)
        self._detail.say(
            *(
                []
                if change is None
                else detail_rows(change, self.size.width - 1, shown_key(self, "history.enter"))
            )
        )

    # --- actions

    def action_open_change(self) -> None:
        change = self._rows_by_number.get(self._list.key)
        if change is not None:
            about = about_tasks(host(self).opened.data)
            self.app.push_screen(ChangeView(change, about, zone_of(host(self))), self._after_change)

    def _after_change(self, name: str | None) -> None:
        """What was asked for on the page of a change is done from here."""
        if name == "as_it_was":
            self.action_as_it_was()
        elif name == "go_here":
            self.action_go_here()

    def action_as_it_was(self) -> None:
        if self.selected:
            host(self).look_back(self.selected)

    def action_go_here(self) -> None:
        """Undo or redo until the change under the cursor is the last that stands."""
        if self._history is None or not self.selected:
            return
        way, steps = steps_to(self._history, self.selected)
        if not steps:
            self.notify(f"Change {self.selected} is the last that stands, or cannot be brought back.")
        elif way == "undo":
            host(self).undo(steps)
        else:
            host(self).redo(steps)


class ChangeView(Page[str]):
    """One entry in full; gives the name of what is to be done with it."""

    BINDINGS: ClassVar[list[BindingType]] = bindings("history", "change")

    def __init__(self, change: HistoryRow, about: Mapping[str, About], zone: tzinfo) -> None:
        super().__init__(CHANGE_FOOT)
        self._change, self._about, self._zone = change, about, zone

    def rows(self, width: int) -> Iterator[ListRow]:
        lines = entry_lines(self._change, self._about, self._zone, width, cut=CUT)
        for n, line in enumerate(lines):
            yield row((harmless(line), BOLD if n == 0 else PLAIN))

    def action_open_change(self) -> None:
        self.dismiss("")

    def action_as_it_was(self) -> None:
        self.dismiss("as_it_was")

    def action_go_here(self) -> None:
        self.dismiss("go_here")
