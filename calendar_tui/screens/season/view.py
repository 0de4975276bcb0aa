"""The season view: the whole season on one time axis, a cursor in time, and a selected cohort."""

from __future__ import annotations

from datetime import date, timedelta

from textual import events
from textual.app import ComposeResult
from textual.screen import Screen

from calendar_tui.planning.plan import Plan
from calendar_tui.screens.kit.actions import bindings, footer_runs, in_group
from calendar_tui.screens.kit.canvas import Runs, fitted
from calendar_tui.screens.kit.every_key import Key
from calendar_tui.screens.kit.host import REPAINT_S, host
from calendar_tui.screens.kit.kept import Kept
from calendar_tui.screens.kit.sheet import Sheet
from calendar_tui.screens.kit.window import Window, axis_ends, zooms
from calendar_tui.screens.season.chart import SMALLEST, Layout, Look, kept_layout, season_rows
from calendar_tui.screens.season.fitting import first_shown, too_small
from calendar_tui.season.readers import plain

FOOT = ("season", "past", "undo", "chart", "redo", "help", "program")


class SeasonView(Screen[None]):
    """Every cohort of the season from its start to the dried crop, under the site's day length."""

    BINDINGS = bindings("chart", "season", "past", "undo", "redo")

    def __init__(self, plan: Plan, cursor: date) -> None:
        super().__init__()
        self._plan = plan
        self._begin, self._end = axis_ends(plan)
        self._cursor = self._held(cursor)
        self._first = self._begin
        self._zoom = 0
        self._selected = 0
        self._top = 0
        self._marked: frozenset[str] = frozenset()
        self._kept = Kept()
        # The first picture is sent without them; all that is drawn after it has them.
        self._clashes = False
        self._sheet = Sheet(self._rows, self._upper)

    @property
    def text(self) -> str:
        """What is drawn, line by line, without styles."""
        return "\n".join("".join(text for text, _ in row) for row in self._sheet.rows)

    @property
    def cursor(self) -> date:
        """The day the time cursor stands on."""
        return self._cursor

    @property
    def cohort_id(self) -> str | None:
        """The selected cohort, or None in a season without cohorts."""
        ids = list(self._plan.season.cohorts)
        return ids[self._selected] if ids else None

    def compose(self) -> ComposeResult:
        yield self._sheet

    def show_plan(self) -> None:
        """Draw the app's plan; the selected cohort stays selected where it is still there."""
        plan = host(self).plan
        if plan is None:
            return
        kept = self.cohort_id
        if self._cursor == self._plan.today:
            self._cursor = plan.today
        self._plan = plan
        self._begin, self._end = axis_ends(plan)
        ids = list(plan.season.cohorts)
        self._marked &= set(ids)
        self._selected = ids.index(kept) if kept in ids else min(self._selected, max(len(ids) - 1, 0))
        self._cursor = self._held(self._cursor)
        self._redraw()

    # --- what is drawn

    def _rows(self, width: int, height: int) -> list[Runs]:
        glyphs = host(self).glyphs
        if width < SMALLEST[0] or height < SMALLEST[1]:
            return too_small(width, height, glyphs.ellipsis)
        look = self._look(self._layout(width, height), width)
        names = (self._notice(), plain(host(self).opened.path.name))
        rows = season_rows(self._plan, look, width, height - 1, glyphs, *names, self._kept)
        return [*rows, fitted(self._footer(width), width, glyphs.ellipsis)]

    def _notice(self) -> str:
        marked = f"{len(self._marked)} marked" if self._marked else ""
        return "  ".join(filter(None, (marked, host(self).notice)))

    def _upper(self, width: int, height: int) -> int:
        """The rows of the chart, above the lines on the selected cohort."""
        if width < SMALLEST[0] or height < SMALLEST[1]:
            return 0
        layout = self._layout(width, height)
        return layout.first_cohort + layout.cohorts + layout.legend

    def _layout(self, width: int, height: int) -> Layout:
        self._kept.on(self._plan, host(self).glyphs)
        return kept_layout(self._kept, self._plan, width, height - 1)

    def _look(self, layout: Layout, width: int) -> Look:
        """What is on screen in this layout; moves the window and the rows where the cursor has left them."""
        columns = width - layout.label
        levels = zooms((self._end - self._begin).days + 1, columns)
        self._zoom = min(self._zoom, len(levels) - 1)
        name, days = levels[self._zoom]
        window = Window(self._first, days, columns).around(self._cursor, self._begin, self._end)
        self._first = window.first
        self._top = first_shown(self._selected, self._top, layout.cohorts, len(self._plan.season.cohorts))
        return Look(window, name, self._selected, self._top, self._cursor, self._clashes, self._marked)

    def _footer(self, width: int) -> Runs:
        keys = [key for key in in_group(*FOOT) if self._offers(key)]
        return footer_runs(keys, width, host(self).glyphs.arrows)

    def _offers(self, key: Key) -> bool:
        """Whether the footer names a key: not where it is refused, or where there is nothing for it to do."""
        app = host(self)
        if key.action == "present":
            return app.can_return
        if key.action == "step" and app.out_of_step is None:
            return False
        return not (app.refusal and key.edits)

    def check_action(self, action: str, parameters: tuple[object, ...]) -> bool | None:
        return host(self).can_return if action == "present" else True

    def action_present(self) -> None:
        host(self).present()

    def _now(self) -> tuple[Layout, Look] | None:
        """The layout and look on screen, or None where the terminal is too small."""
        width, height = self.size
        if width < SMALLEST[0] or height < SMALLEST[1]:
            return None
        layout = self._layout(width, height)
        return layout, self._look(layout, width)

    def _redraw(self) -> None:
        self._clashes = True
        self._sheet.redraw()

    def _held(self, day: date) -> date:
        return min(max(day, self._begin), self._end)

    # --- moving

    def _stand(self, day: date) -> None:
        self._cursor = self._held(day)
        self._redraw()

    def _select(self, n: int) -> None:
        self._selected = min(max(n, 0), max(len(self._plan.season.cohorts) - 1, 0))
        self._redraw()

    def action_cohort(self, by: int) -> None:
        self._select(self._selected + by)

    def action_time(self, by: int) -> None:
        """Move by a column, and by a day at least."""
        if (now := self._now()) is None:
            return
        window = now[1].window
        if window.width >= window.days:
            self._stand(self._cursor + timedelta(days=by))
        else:
            x = window.column(self._cursor) + by
            self._stand(window.day(x) if x >= 0 else window.first - timedelta(days=1))

    def action_page(self, by: int) -> None:
        """Half a window of time; where the whole season is on screen, half a page of cohorts."""
        if (now := self._now()) is None:
            return
        layout, look = now
        if self._zoom == 0 and layout.cohorts < len(self._plan.season.cohorts):
            self._select(self._selected + by * max(layout.cohorts // 2, 1))
            return
        half = timedelta(days=max(look.window.days // 2, 1))
        self._first = max(self._first + by * half, self._begin)
        self._stand(self._cursor + by * half)

    def action_end(self, by: int) -> None:
        self._stand(self._end if by > 0 else self._begin)

    def action_today(self) -> None:
        self._stand(self._plan.today)

    def action_zoom(self, by: int) -> None:
        """Zoom in or out around the cursor."""
        if (now := self._now()) is None:
            return
        window = now[1].window
        levels = zooms((self._end - self._begin).days + 1, window.width)
        self._zoom = min(max(self._zoom + by, 0), len(levels) - 1)
        days = levels[self._zoom][1]
        first = self._cursor - timedelta(days=days // 2)
        self._first = max(min(first, self._end - timedelta(days=days - 1)), self._begin)
        self._redraw()

    # --- marking

    def action_mark(self) -> None:
        """Mark the selected cohort, or take its mark off, and go on to the next."""
        if self.cohort_id is not None:
            self._marked ^= {self.cohort_id}
            self._select(self._selected + 1)

    def action_mark_alike(self) -> None:
        """Mark those that share something with the selected cohort, one way after the other."""
        from calendar_tui.season.choosing import next_alike

        if self.cohort_id is not None:
            season = self._plan.season
            words, self._marked = next_alike(season, season.cohorts[self.cohort_id], self._marked)
            if words:
                self.notify(f"Marked: all {words} ({len(self._marked)}).")
            self._redraw()

    def _unmark(self, saved: bool | None) -> None:
        """Take the marks off, once what they were for is saved."""
        if saved:
            self._marked = frozenset()
            self._redraw()

    # --- the mouse

    def on_click(self, event: events.Click) -> None:
        """Select the cohort and stand on the day that were clicked."""
        if (now := self._now()) is None:
            return
        layout, look = now
        row = event.screen_y - layout.first_cohort
        if 0 <= row < layout.cohorts:
            self._selected = self._top + row
        x = event.screen_x - layout.label
        on_chart = 0 < event.screen_y < layout.first_cohort + layout.cohorts
        self._stand(look.window.day(x) if x >= 0 and on_chart else self._cursor)

    def on_mouse_scroll_down(self) -> None:
        self.action_cohort(1)

    def on_mouse_scroll_up(self) -> None:
        self.action_cohort(-1)

    # --- other views

    def on_screen_resume(self) -> None:
        """Send the chart once, at the start and when a view above it is left: Textual would paint it twice or more."""
        self.app.delay_update(REPAINT_S)
        self.set_timer(REPAINT_S, lambda: self.call_after_refresh(self._pictured))

    def _pictured(self) -> None:
        host(self).pictured()
        if not self._clashes:
            self.run_worker(self._look_for_clashes, thread=True, group="clashes")

    def _look_for_clashes(self) -> None:
        _ = self._plan.clashes
        self.app.call_from_thread(self._redraw)

    async def action_open_cohort(self) -> None:
        if self.cohort_id is not None:
            await host(self).open_view("cohort", self.cohort_id)

    async def action_open_today(self) -> None:
        await host(self).open_view("today")

    async def action_open_week(self) -> None:
        await host(self).open_view("week")

    async def action_open_load(self) -> None:
        await host(self).open_view("load")

    def _meant(self) -> tuple[str, ...]:
        """The cohorts that are marked, the selected one first; the selected one where none is."""
        if self.cohort_id is None:
            return ()
        in_order = [name for name in self._plan.season.cohorts if name in self._marked] or [self.cohort_id]
        return tuple(sorted(in_order, key=lambda name: name != self.cohort_id))

    async def action_record(self) -> None:
        if meant := self._meant():
            await host(self).open_view("record", meant[0], "", meant[1:], then=self._unmark)

    async def action_outage(self) -> None:
        if meant := self._meant():
            await host(self).open_view("outage", meant[0], meant[1:], then=self._unmark)

    async def action_carry(self) -> None:
        if meant := self._meant():
            await host(self).open_view("stay", meant[0], meant[1:], then=self._unmark)

    async def action_open_lamps(self) -> None:
        await host(self).open_view("lamps", self.cohort_id or "")

    async def action_open_quantities(self) -> None:
        await host(self).open_view("quantities", self.cohort_id or "")

    async def action_open_response(self) -> None:
        await host(self).open_view("response", self.cohort_id or "")

    async def action_open_stagger(self) -> None:
        await host(self).open_view("stagger")

    async def action_open_varieties(self) -> None:
        cohort = self._plan.season.cohorts.get(self.cohort_id or "")
        await host(self).open_view("varieties", cohort.variety if cohort else "")

    async def action_open_chores(self) -> None:
        await host(self).open_view("chores")

    async def action_step(self) -> None:
        if host(self).out_of_step is None:
            agree = host(self).compared is host(self).plan
            self.notify(f"The saved tasks {'agree' if agree else 'are still being compared'} with the plan.")
            return
        await host(self).open_view("steps", host(self).out_of_step)
