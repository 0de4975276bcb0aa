"""The season view: the whole season on one time axis, a cursor in time, and a selected cohort."""

from __future__ import annotations

from datetime import date

from textual import events
from textual.app import ComposeResult
from textual.screen import Screen

from calendar_tui.planning.arranging import WAYS, Row
from calendar_tui.planning.plan import Plan
from calendar_tui.screens.kit.actions import bindings, footer_runs, keys_on, own_keys_of
from calendar_tui.screens.kit.canvas import Runs, fitted
from calendar_tui.screens.kit.every_key import Key
from calendar_tui.screens.kit.foot import foot_runs
from calendar_tui.screens.kit.host import REPAINT_S, host
from calendar_tui.screens.kit.kept import Kept
from calendar_tui.screens.kit.sheet import Sheet
from calendar_tui.screens.kit.spans import SpanCompositor
from calendar_tui.screens.kit.window import CROPS
from calendar_tui.screens.kit.words import TypedWords
from calendar_tui.screens.season.arrangement import (
    Arrangement,
    arrangement_of,
    is_shown,
    meant,
    row_like,
    row_of,
    standing_at,
)
from calendar_tui.screens.season.chart import season_rows, warned
from calendar_tui.screens.season.fitting import first_shown
from calendar_tui.screens.season.layout import SMALLEST, Layout
from calendar_tui.screens.season.sight import Look, kept_count, kept_rows, layout_of
from calendar_tui.screens.season.small import HEAD_ROWS, small_rows
from calendar_tui.screens.season.standing import AT_FIRST, Standing
from calendar_tui.screens.season.time_axis import WHOLE, TimeAxis
from calendar_tui.screens.season.title import kept_waits

FOOT = ("season", "past", "undo", "chart", "redo", "anything", "help", "program")
WORDS_FOOT = ("words",)


class SeasonView(Screen[None]):
    """Every cohort of the season from its start to the dried crop, under the site's day length."""

    # No field is typed in until it is asked for.
    AUTO_FOCUS = ""
    BINDINGS = bindings("chart", "season", "past", "undo", "redo")
    LISTED = ("cohort",)

    def __init__(self, plan: Plan, today: date, standing: Standing = AT_FIRST) -> None:
        """standing: where to begin."""
        super().__init__()
        self._plan, self._begins = plan, standing
        self._time = TimeAxis(plan, today, standing)
        self._arrangement = arrangement_of(standing)
        self._selected = 0
        self._top = 0
        self._marked: frozenset[str] = frozenset()
        self._clicked: tuple[int, date] | None = None
        self._kept = Kept()
        # The first picture is sent without them; all that is drawn after it has them.
        self._clashes = False
        self._sheet = Sheet(self._rows)
        self._words = TypedWords(self._find)
        self._compositor = SpanCompositor()

    @property
    def text(self) -> str:
        """What is drawn, line by line, without styles."""
        return "\n".join("".join(text for text, _ in row) for row in self._sheet.rows)

    @property
    def cursor(self) -> date:
        """The day the time cursor stands on."""
        return self._time.cursor

    @property
    def cohort_id(self) -> str | None:
        """The selected cohort, or None in a season without cohorts."""
        row = self.row
        return row.cohort or None if row else None

    @property
    def row(self) -> Row | None:
        """The row pointed at, or None where none is shown."""
        rows = self._lines
        return rows[self._selected] if 0 <= self._selected < len(rows) else None

    @property
    def _lines(self) -> tuple[Row, ...]:
        """The cohorts and folded groups in the order in which they are drawn."""
        self._kept.on(self._plan, host(self).glyphs)
        return kept_rows(self._kept, self._plan, self._arrangement)

    @property
    def standing(self) -> Standing:
        """Where the view stands, to begin there another time."""
        return standing_at(
            self._arrangement, self.row, self._time.day_to_keep(self._plan.today), self._time.zoom
        )

    def compose(self) -> ComposeResult:
        yield self._sheet
        yield self._words

    def on_mount(self) -> None:
        self._selected = row_of(self._lines, self._begins.cohort)

    def show_plan(self) -> None:
        """Draw the app's plan; the selected cohort stays selected where it is still there."""
        plan = host(self).plan
        if plan is None:
            return
        kept = self.row
        day = plan.today if self.cursor == self._plan.today else self.cursor
        self._plan = plan
        self._time.on(plan)
        self._time.stand(day)
        self._marked &= set(plan.season.cohorts)
        self._selected = row_like(self._lines, kept, self._selected)
        self._redraw()

    # --- what is drawn

    def _rows(self, width: int, height: int) -> list[Runs]:
        glyphs = host(self).glyphs
        look = self._look
        if look is None:
            return self._small(width, height)
        beside = self._notice(), host(self).aside
        rows = season_rows(self._plan, look, width, height - 1, glyphs, *beside, self._kept)
        return [*rows, self._footer(width)]

    def _notice(self) -> str:
        words, plan = self._arrangement.words.strip(), self._plan
        count = kept_count(self._kept, plan, self._arrangement)
        found = f"only {words}: {count} of {len(plan.season.cohorts)}" if words else ""
        marked = f"{len(self._marked)} marked" if self._marked else ""
        return "  ".join(filter(None, (found, marked, host(self).notice)))

    def _small(self, width: int, height: int) -> list[Runs]:
        """A list in place of the chart."""
        glyphs, lines = host(self).glyphs, self._lines
        shown = max(height - 1 - HEAD_ROWS, 1)
        self._top = first_shown(self._selected, self._top, shown, len(lines))
        waits = kept_waits(self._kept, self._plan, self._clashes)
        drawn = (self._plan, lines, self._selected, self._top, self._marked, width, height - 1, glyphs)
        return [*small_rows(*drawn, waits), self._footer(width)]

    @property
    def _layout(self) -> Layout:
        self._kept.on(self._plan, host(self).glyphs)
        width, height = self._sheet.size
        return layout_of(self._kept, self._plan, self._arrangement, width, height - 1)

    @property
    def _look(self) -> Look | None:
        """What is on screen, or None where it is too small for a chart; moves the window and the rows where the cursor has left them."""
        width, height = self._sheet.size
        if width < SMALLEST[0] or height < SMALLEST[1]:
            return None
        layout = self._layout
        window = self._time.window(layout.columns(width))
        self._top = first_shown(self._selected, self._top, layout.rows, len(self._lines))
        at = window, self._time.zoom, self._selected, self._top, self.cursor
        return Look(*at, self._clashes, self._marked, self._arrangement, own_keys_of(self))

    def _footer(self, width: int) -> Runs:
        if self._words.asked:
            typed = (f"find: {self._words.value}", "key"), ("_  ", "key")
            glyphs = host(self).glyphs
            keys_beside = footer_runs(keys_on(self, *WORDS_FOOT), width, glyphs.arrows)
            return fitted((*typed, *keys_beside), width, glyphs.ellipsis)
        keys = [key for key in keys_on(self, *FOOT) if self._offers(key)]
        return foot_runs(keys, width, host(self).glyphs, host(self).notices)

    def _offers(self, key: Key) -> bool:
        """Whether the footer names a key: not where it is refused, or where there is nothing for it to do."""
        app = host(self)
        if key.action == "back":
            return app.can_return
        if key.action == "update_tasks" and app.out_of_step is None:
            return False
        return not (app.refusal and key.edits)

    def check_action(self, action: str, parameters: tuple[object, ...]) -> bool | None:
        if action == "back":
            return self._words.asked or bool(self._arrangement.words or self._marked) or host(self).can_return
        return True

    def action_back(self) -> None:
        """Show all cohorts again, take the marks off, or come back from the season as it was; one after the other."""
        if self._words.asked or self._arrangement.words:
            self._words.value = ""
            self._words.close()
        elif self._marked:
            self._unmark(True)
        else:
            host(self).present()

    def _redraw(self) -> None:
        self._clashes = True
        self._sheet.redraw()

    # --- moving

    def stand(self, day: date) -> None:
        """Put the time cursor on a day, or the nearest there is."""
        self._time.stand(day)
        self._redraw()

    def _select(self, n: int) -> None:
        self._selected = min(max(n, 0), max(len(self._lines) - 1, 0))
        self._redraw()

    def select_record(self, kind: str, ident: tuple[str, ...]) -> None:
        """Select a cohort, or the folded group that it is in; words that hide it are taken off."""
        name = str(ident[0])
        if not is_shown(self._lines, name):
            self._arrange(self._arrangement._replace(words=""))
        self._select(row_of(self._lines, name))

    def action_cohort(self, by: int) -> None:
        self._select(self._selected + by)

    def action_time(self, by: int) -> None:
        """Move by a column, and by a day at least."""
        if (look := self._look) is not None:
            self._time.step(by, look.window.width)
            self._redraw()

    def action_page(self, by: int) -> None:
        """Half a window of time; where the whole season is on screen, half a page of cohorts."""
        if (look := self._look) is None:
            self._select(self._selected + by * max(self.size.height // 2, 1))
            return
        rows = self._layout.rows
        if look.zoom in (WHOLE, CROPS) and rows < len(self._lines):
            self._select(self._selected + by * max(rows // 2, 1))
            return
        self._time.page(by, look.window.width)
        self._redraw()

    def action_end(self, by: int) -> None:
        self._time.to_end(by)
        self._redraw()

    def action_today(self) -> None:
        self.stand(self._plan.today)

    def action_zoom(self, by: int) -> None:
        """Zoom in or out around the cursor."""
        if (look := self._look) is not None:
            self._time.zoom_in(by, look.window.width)
            self._redraw()

    # --- arranging

    def _arrange(self, arrangement: Arrangement) -> None:
        """Arrange the cohorts anew; the selected one stays selected where it is still shown."""
        before = self.row
        self._arrangement = arrangement
        self._selected = row_like(self._lines, before, self._selected)
        self._redraw()

    def action_arrange(self) -> None:
        """Group by the next of: place, variety, planting date, harvest month."""
        ways = list(WAYS)
        way = ways[(ways.index(self._arrangement.way) + 1) % len(ways)]
        self._arrange(self._arrangement._replace(way=way, folded=frozenset()))
        self.notify(f"Arranged by {WAYS[way].title}.")

    def action_find(self) -> None:
        """Type words, and see the cohorts that they find."""
        self._words.ask(self._arrangement.words)
        self.call_after_refresh(self._redraw)

    def _find(self, words: str) -> None:
        if words != self._arrangement.words:
            self._arrange(self._arrangement._replace(words=words, folded=frozenset()))
        else:
            self._redraw()

    def action_fold(self) -> None:
        """Fold the selected row's group, or unfold it."""
        if (row := self.row) is not None:
            folded = self._arrangement.folded ^ {row.group.name}
            self._arrange(self._arrangement._replace(folded=folded))

    def action_next_clash(self) -> None:
        """Go to the next row with a clash."""
        lines, at = self._lines, self._selected + 1
        found = next((row for row in (*lines[at:], *lines[:at]) if warned(self._plan, row)), None)
        if found is not None:
            self._select(lines.index(found))
            return
        self.notify("No cohort has a clash.")

    # --- marking

    def action_mark(self) -> None:
        """Mark the selected cohort, or take its mark off, and go on to the next."""
        if self.cohort_id is not None:
            self._marked ^= {self.cohort_id}
            self._select(self._selected + 1)

    def action_mark_shown(self) -> None:
        """Mark every cohort that is shown, or take all marks off where all of them are."""
        shown = frozenset(name for row in self._lines for name in row.group.cohorts)
        self._marked = frozenset() if self._marked == shown else shown
        self._redraw()

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
        """Select the cohort and stand on the day that were clicked; again, open it as Enter does."""
        if (look := self._look) is None:
            return
        layout = self._layout
        before, clicked = (self._selected, self.cursor), self._clicked
        row = event.screen_y - layout.first_row
        if 0 <= row < layout.rows:
            self._selected = self._top + row
        x = event.screen_x - layout.label
        on_chart = 0 < event.screen_y < layout.first_row + layout.rows
        self.stand(look.window.day(x) if x >= 0 and on_chart else self.cursor)
        self._clicked = (self._selected, self.cursor) if 0 <= row < layout.rows else None
        if self._clicked is not None and self._clicked == before == clicked:
            self.app.simulate_key("enter")

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
        else:
            self.action_fold()

    async def action_open(self, name: str) -> None:
        await host(self).open_view(name)

    async def action_open_about(self, name: str) -> None:
        """Open a view that begins with what the selected cohort is about."""
        await host(self).open_view(name, self.cohort_id or "")

    async def action_act(self, name: str, alone: bool = False) -> None:
        """Open a view that changes something for the cohorts that are meant. alone: where there is none too."""
        cohorts = meant(self._plan.season.cohorts, self._marked, self.cohort_id) or (("",) if alone else ())
        if cohorts:
            await host(self).open_view(name, cohorts[0], cohorts[1:], then=self._unmark)

    async def action_open_varieties(self) -> None:
        cohort = self._plan.season.cohorts.get(self.cohort_id or "")
        await host(self).open_view("varieties", cohort.variety if cohort else "")

    async def action_update_tasks(self) -> None:
        if host(self).out_of_step is None:
            agree = host(self).compared is host(self).plan
            self.notify(f"The saved tasks {'agree' if agree else 'are still being compared'} with the plan.")
            return
        await host(self).open_view("steps", host(self).out_of_step)
