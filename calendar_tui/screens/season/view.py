"""The season view: the whole season on one time axis, a cursor in time, and a selected cohort."""

from __future__ import annotations

from datetime import date
from functools import partial

from textual import events
from textual.app import ComposeResult
from textual.screen import Screen

from calendar_tui.planning.arranging import WAYS, Row
from calendar_tui.planning.plan import Plan
from calendar_tui.screens.kit.actions import bindings, footer_runs, keys_on
from calendar_tui.screens.kit.canvas import Runs, fitted
from calendar_tui.screens.kit.foot import foot_runs
from calendar_tui.screens.kit.host import REPAINT_S, host
from calendar_tui.screens.kit.kept import Kept
from calendar_tui.screens.kit.key import Key
from calendar_tui.screens.kit.sheet import Sheet
from calendar_tui.screens.kit.spans import SpanCompositor
from calendar_tui.screens.kit.window import CROPS
from calendar_tui.screens.kit.words import TypedWords
from calendar_tui.screens.season.arrangement import Arrangement, arrangement_of
from calendar_tui.screens.season.bookmark import AT_FIRST, Bookmark
from calendar_tui.screens.season.chart import season_rows, warned
from calendar_tui.screens.season.fitting import first_shown
from calendar_tui.screens.season.layout import SMALLEST, Layout
from calendar_tui.screens.season.shown import Shown
from calendar_tui.screens.season.sight import Look, kept_count, kept_rows, layout_of
from calendar_tui.screens.season.small import HEAD_ROWS, small_rows
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

    def __init__(self, plan: Plan, today: date, bookmark: Bookmark = AT_FIRST) -> None:
        """bookmark: where to begin."""
        super().__init__()
        self._plan, self._begins = plan, bookmark
        self._time = TimeAxis(plan.by_ripeness, today, bookmark)
        self._shown = Shown(arrangement_of(bookmark))
        self._top = 0
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
        return self._shown.cohort

    @property
    def row(self) -> Row | None:
        """The row pointed at, or None where none is shown."""
        return self._shown.row

    @property
    def bookmark(self) -> Bookmark:
        """Where the view stands, to begin there another time."""
        return self._shown.bookmark(self._time.day_to_keep(self._plan.today), self._time.zoom)

    def compose(self) -> ComposeResult:
        yield self._sheet
        yield self._words

    def on_mount(self) -> None:
        self._shown = self._arranged(self._shown.arrangement).on(self._begins.cohort)

    def show_plan(self) -> None:
        """Draw the app's plan; the selected cohort stays selected where it is still there."""
        plan = host(self).plan
        if plan is None:
            return
        day = plan.today if self.cursor == self._plan.today else self.cursor
        self._plan = plan
        self._time.on(plan)
        self._time.stand(day)
        marked = self._shown.marked & set(plan.season.cohorts)
        self._show(self._arranged(self._shown.arrangement)._replace(marked=marked))

    # --- what is drawn

    @property
    def _drawn(self) -> Plan:
        """What is drawn: the first picture goes without what results make of the harvests, which takes a while."""
        return self._plan if self._clashes else self._plan.by_ripeness

    def _rows(self, width: int, height: int) -> list[Runs]:
        glyphs = host(self).glyphs
        look = self._look
        if look is None:
            return self._small(width, height)
        beside = self._notice(), host(self).aside
        rows = season_rows(self._drawn, look, width, height - 1, glyphs, *beside, self._kept)
        return [*rows, self._footer(width)]

    def _notice(self) -> str:
        arrangement, marks, plan = self._shown.arrangement, self._shown.marked, self._drawn
        words, count = arrangement.words.strip(), kept_count(self._kept, plan, arrangement)
        found = f"only {words}: {count} of {len(plan.season.cohorts)}" if words else ""
        marked = f"{len(marks)} marked" if marks else ""
        return "  ".join(filter(None, (found, marked, host(self).notice)))

    def _small(self, width: int, height: int) -> list[Runs]:
        """A list in place of the chart."""
        glyphs, (_, lines, selected, marked) = host(self).glyphs, self._shown
        self._top = first_shown(selected, self._top, max(height - 1 - HEAD_ROWS, 1), len(lines))
        waits = kept_waits(self._kept, self._drawn, self._clashes)
        drawn = (self._drawn, lines, selected, self._top, marked, width, height - 1, glyphs)
        return [*small_rows(*drawn, waits), self._footer(width)]

    @property
    def _layout(self) -> Layout:
        self._kept.on(self._drawn, host(self).glyphs)
        width, height = self._sheet.size
        return layout_of(self._kept, self._drawn, self._shown.arrangement, width, height - 1)

    @property
    def _look(self) -> Look | None:
        """What is on screen, or None where it is too small for a chart; moves the window and the rows where the cursor has left them."""
        width, height = self._sheet.size
        if width < SMALLEST[0] or height < SMALLEST[1]:
            return None
        layout = self._layout
        window = self._time.window(layout.columns(width))
        arrangement, rows, selected, marked = self._shown
        self._top = first_shown(selected, self._top, layout.rows, len(rows))
        at = window, self._time.zoom, selected, self._top, self.cursor
        return Look(*at, self._clashes, marked, arrangement, host(self).preferences)

    def _footer(self, width: int) -> Runs:
        if self._words.asked:
            typed = (f"find: {self._words.value}", "key"), ("_  ", "key")
            glyphs = host(self).glyphs
            keys_beside = footer_runs(keys_on(self, *WORDS_FOOT), width, glyphs.arrows)
            return fitted((*typed, *keys_beside), width, glyphs.ellipsis)
        keys = [key for key in keys_on(self, *FOOT) if self._offers(key)]
        return foot_runs(keys, width, host(self).glyphs, host(self).notices.message)

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
            something = self._shown.arrangement.words or self._shown.marked
            return self._words.asked or bool(something) or host(self).can_return
        return True

    def action_back(self) -> None:
        """Show all cohorts again, take the marks off, or come back from the season as it was; one after the other."""
        if self._words.asked or self._shown.arrangement.words:
            self._words.value = ""
            self._words.close()
        elif self._shown.marked:
            self._unmark(True)
        else:
            host(self).present()

    def _show(self, shown: Shown) -> None:
        """Draw the cohorts in this way from here on."""
        self._shown = shown
        self._redraw()

    def _redraw(self) -> None:
        if not self._clashes:
            self._clashes = True
            self._draw_whole()
        self._sheet.redraw()

    def _draw_whole(self) -> None:
        """Go on with the whole plan: from here on harvests are where results leave them."""
        if self._plan.by_ripeness is not self._plan:
            self._time.on(self._plan)
            self._shown = self._arranged(self._shown.arrangement)

    # --- moving

    def stand(self, day: date) -> None:
        """Put the time cursor on a day, or the nearest there is."""
        self._time.stand(day)
        self._redraw()

    def select_record(self, kind: str, ident: tuple[str, ...]) -> None:
        """Select a cohort, or the folded group that it is in; words that hide it are taken off."""
        name = str(ident[0])
        if not self._shown.holds(name):
            self._arrange(self._shown.arrangement._replace(words=""))
        self._show(self._shown.on(name))

    def action_cohort(self, by: int) -> None:
        self._show(self._shown.at(self._shown.selected + by))

    def action_time(self, by: int) -> None:
        """Move by a column, and by a day at least."""
        if (look := self._look) is not None:
            self._time.step(by, look.window.width)
            self._redraw()

    def action_page(self, by: int) -> None:
        """Half a window of time; where the whole season is on screen, half a page of cohorts."""
        if (look := self._look) is None:
            self.action_cohort(by * max(self.size.height // 2, 1))
            return
        rows = self._layout.rows
        if look.zoom in (WHOLE, CROPS) and rows < len(self._shown.rows):
            self.action_cohort(by * max(rows // 2, 1))
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

    def _arranged(self, arrangement: Arrangement) -> Shown:
        self._kept.on(self._drawn, host(self).glyphs)
        return self._shown.arranged(arrangement, kept_rows(self._kept, self._drawn, arrangement))

    def _arrange(self, arrangement: Arrangement) -> None:
        """Arrange the cohorts anew; the selected one stays selected where it is still shown."""
        self._show(self._arranged(arrangement))

    def action_arrange(self) -> None:
        """Group by the next of: place, variety, planting date, harvest month."""
        self._arrange(self._shown.arrangement.next_way)
        self.notify(f"Arranged by {WAYS[self._shown.arrangement.way].title}.")

    def action_find(self) -> None:
        """Type words, and see the cohorts that they find."""
        self._words.ask(self._shown.arrangement.words)
        self.call_after_refresh(self._redraw)

    def _find(self, words: str) -> None:
        self._arrange(self._shown.arrangement.finding(words))

    def action_fold(self) -> None:
        """Fold the selected row's group, or unfold it."""
        self._arrange(self._shown.folded_otherwise)

    def action_next_clash(self) -> None:
        """Go to the next row with a clash."""
        there = self._shown.on_next(partial(warned, self._plan))
        if there is None:
            self.notify("No cohort has a clash.")
        else:
            self._show(there)

    # --- marking

    def action_mark(self) -> None:
        """Mark the selected cohort, or take its mark off, and go on to the next."""
        self._show(self._shown.marked_otherwise())

    def action_mark_shown(self) -> None:
        """Mark every cohort that is shown, or take all marks off where all of them are."""
        self._show(self._shown.all_marked())

    def action_mark_alike(self) -> None:
        """Mark those that share something with the selected cohort, one way after the other."""
        from calendar_tui.season.choosing import next_alike

        if self.cohort_id is not None:
            season = self._plan.season
            words, marked = next_alike(season, season.cohorts[self.cohort_id], self._shown.marked)
            if words:
                self.notify(f"Marked: all {words} ({len(marked)}).")
            self._show(self._shown._replace(marked=marked))

    def _unmark(self, saved: bool | None) -> None:
        """Take the marks off, once what they were for is saved."""
        if saved:
            self._show(self._shown._replace(marked=frozenset()))

    # --- the mouse

    def on_click(self, event: events.Click) -> None:
        """Select the cohort and stand on the day that were clicked; again, open it as Enter does."""
        if (look := self._look) is None:
            return
        layout = self._layout
        before, clicked = (self._shown.selected, self.cursor), self._clicked
        row = event.screen_y - layout.first_row
        if 0 <= row < layout.rows:
            self._shown = self._shown.at(self._top + row)
        x = event.screen_x - layout.label
        on_chart = 0 < event.screen_y < layout.first_row + layout.rows
        self.stand(look.window.day(x) if x >= 0 and on_chart else self.cursor)
        self._clicked = (self._shown.selected, self.cursor) if 0 <= row < layout.rows else None
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
        _ = self._plan.decisions
        self.app.call_from_thread(self._redraw)

    async def action_open_cohort(self) -> None:
        if self.cohort_id is not None:
            await host(self).open_view("cohort", self.cohort_id)
        else:
            self.action_fold()

    async def action_take(self) -> None:
        """Take in a table."""
        await host(self).open_view("take")

    async def action_open(self, name: str) -> None:
        await host(self).open_view(name)

    async def action_open_about(self, name: str) -> None:
        """Open a view that begins with what the selected cohort is about."""
        await host(self).open_view(name, self.cohort_id or "")

    async def action_open_lots(self) -> None:
        """The day to cut of the selected cohort; a step of the official sample may be recorded there of all that are marked."""
        meant = self._shown.meant(self._plan.season.cohorts) if self._shown.marked else ()
        await host(self).open_view("lot", self.cohort_id or "", False, meant)

    async def action_act(self, name: str, alone: bool = False) -> None:
        """Open a view that changes something for the cohorts that are meant. alone: where there is none too."""
        cohorts = self._shown.meant(self._plan.season.cohorts) or (("",) if alone else ())
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
