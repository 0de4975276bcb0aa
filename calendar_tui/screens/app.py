"""The full screen's app: it holds the opened season and its plan, and does the file work in threads."""

from __future__ import annotations

import gc
from collections.abc import Callable
from datetime import date, datetime
from functools import partial
from threading import Event
from typing import TYPE_CHECKING, Any

from textual.screen import Screen

from calendar_tui.planning.plan import Plan, make_first_plan, make_plan
from calendar_tui.screens.file_work import FileWork
from calendar_tui.screens.kit.actions import shown_key
from calendar_tui.screens.kit.preferences import AS_IT_COMES, Preferences
from calendar_tui.screens.opening_views import AT_START, ground_of, open_at_start, opened_at_start
from calendar_tui.screens.season.bookmark import AT_FIRST, Bookmark
from calendar_tui.screens.season.layout import SMALLEST
from calendar_tui.screens.season.view import SeasonView
from calendar_tui.screens.viewing_app import ViewingApp
from calendar_tui.screens.views import VIEWS
from calendar_tui.season.upgrades import form_heading, is_newer, newer
from calendar_tui.season.wording import full_day_text
from calendar_tui.storage.opening import Opened

if TYPE_CHECKING:
    from calendar_tui.planning.changes.proposal import Proposal
    from calendar_tui.screens.kit.past import Past
    from calendar_tui.season.edits import Change

# The day by the clock in a time zone.
DayAtSite = Callable[[str], date]


class CalendarApp(ViewingApp[None]):
    """opened: the season file as read last. plan: None where that has problems. out_of_step: what would update the
    saved tasks to the plan, None where nothing need be done. compared: the plan for which that is known.
    """

    def __init__(
        self,
        opened: Opened,
        today: date,
        who: str,
        now: Callable[[], datetime],
        *,
        day_at_site: DayAtSite | None = None,
        notice: str = "",
        ascii_only: bool = False,
        past: Past | None = None,
        watching: bool = False,
        date_order: str = "",
        bookmark: Bookmark = AT_FIRST,
        preferences: Preferences = AS_IT_COMES,
        first_message: str = "",
    ) -> None:
        """opened: the season file as read, or with `past` as it was; who, now: whom and when the history names for a
        change; day_at_site: None where today is set by hand and stays; watching: whether to look now and then for a
        new day, and for what others have changed; notice: aside, as for the host; date_order: as for the host; bookmark: where to begin;
        first_message: to be told once the season is open.
        """
        super().__init__(preferences, date_order, ascii_only=ascii_only)
        self.path, self.today, self.who, self.now = opened.path, today, who, now
        self.past, self.aside, self._today_now = past, notice, today
        self._first_message = first_message
        self._watching, self._day_at_site = watching, day_at_site
        # Where the person began, and once the program is left, where that was.
        self.bookmark = bookmark
        self._files = FileWork(self)
        self._pictured = Event()
        self.opened: Opened = opened
        self.plan = self.planned(opened, None, today)
        self.out_of_step: Proposal | None = None
        self.compared: Plan | None = None

    @property
    def notice(self) -> str:
        """What stands beside the season's name: which season is shown, and what is wrong with its file."""
        which = "" if self.past is None else self.past.heading
        wrong = "the file has problems now" if self._files.trouble and self.past is None else ""
        return ", ".join(filter(None, (which, form_heading(self.opened.data), wrong)))

    @property
    def refusal(self) -> str:
        """Why nothing can be changed in what is shown; "" where it can."""
        if self.past is not None:
            key = shown_key(self.screen, "past.escape")
            back = (
                f"{key} comes back to it as it is" if self.can_return else "open it without --at to change it"
            )
            return f"Nothing is changed: this is the season {self.past.heading}; {back}."
        if is_newer(self.opened.data):
            return f"Nothing is changed: {newer(self.opened.data).message}."
        return (
            "Nothing is changed while the season has problems: put them right first."
            if self.plan is None
            else ""
        )

    @property
    def can_return(self) -> bool:
        """Whether the season is shown as it was, and Esc leads to what it is."""
        return self.past is not None and self.past.returns

    def get_default_screen(self) -> Screen[None]:
        if self.plan is None:
            return VIEWS["problems"].make()
        return VIEWS["season"].make(self.plan, self.today, self.bookmark)

    def on_mount(self) -> None:
        self.app_resume_signal.subscribe(self, lambda _: self._come_back())
        self.call_after_refresh(self._look_for_steps)
        # Where there is no room for a chart, the week is what is looked for.
        opening = self.bookmark.view or ("week" if self.size.width < SMALLEST[0] else "")
        if opening in AT_START:
            open_at_start(self, opening)
        if self.plan is None or opening in AT_START:
            self.call_after_refresh(self.pictured)
        self._tell_notes()
        if self._first_message:
            self.notify(self._first_message)
        self.take_preferences()
        if self._watching:
            self._files.watch()

    def pictured(self) -> None:
        """The first picture is sent: begin what it did not need.

        What was made up to here stays, so the collector, where it was held off, need never look through it.
        """
        if not gc.isenabled():
            gc.freeze()
            gc.enable()
        self._pictured.set()
        self.ask_background()

    def exit(self, *given: Any, **how: Any) -> None:
        """Leave the program, knowing where it was left."""
        ground = ground_of(self)
        if ground is not None:
            self.bookmark = ground.bookmark._replace(view=opened_at_start(self))
        super().exit(*given, **how)

    def on_unmount(self) -> None:
        self._pictured.set()
        self._files.stop()

    def _come_back(self) -> None:
        """Draw everything again where the shell has had the terminal, and see what has changed meanwhile."""
        self.refresh()
        self.look()

    async def after_saves(self, act: Callable[[], None]) -> None:
        """Do something once no save runs and none waits."""
        await self._files.finished()
        act()

    async def end(self, status: int) -> None:
        """Leave with this exit status after the saves; at once where that is asked for again."""
        if not self.ends:
            self.ends = True
            await self._files.finished()
        self.exit(return_code=status)

    # --- the season as it was

    def look_back(self, n: int) -> None:
        """Show the season as it was right after an entry of its history, read-only."""
        self._files.in_turn(partial(self._files.look_back, n))

    def present(self) -> None:
        """Show the season as it is."""
        self.past, self.today = None, self._today_now
        self._files.in_turn(partial(self._files.reload, quietly=True))

    def go_back(self, opened: Opened, plan: Plan, past: Past, today: date) -> None:
        """Show the season as it was, read-only."""
        self.past, self.today = past, today
        while len(self.screen_stack) > 1 and not isinstance(self.screen, SeasonView):
            self.pop_screen()
        self.take(opened, plan, "")
        self._tell_notes()

    def _tell_notes(self) -> None:
        if self.past is not None and self.past.notes:
            self.notify("\n".join(self.past.notes))

    # --- the file

    @property
    def works_on_file(self) -> bool:
        """Whether file work runs or waits."""
        return self._files.runs

    def planned(self, opened: Opened, before: Plan | None, today: date | None = None) -> Plan | None:
        """The plan of what was read; None where that has problems. before: spares laying out what is the same."""
        if opened.season is None:
            return None
        day = today or self.today
        plan = (
            make_first_plan(opened.season, day) if before is None else make_plan(opened.season, day, before)
        )
        if self._pictured.is_set():  # in a thread from then on, so that drawing has nothing to wait for
            plan.hold_harvests()
        return plan

    def new_day(self) -> date | None:
        """The day it is at the site, where that is another than today is held to be, and is not set by hand."""
        if self._day_at_site is None or self.opened.season is None:
            return None
        day = self._day_at_site(self.opened.season.site.timezone)
        return None if day == self._today_now else day

    def begin_day(self, day: date, plan: Plan | None) -> None:
        """Take a new day for today and say so, once. plan: of that day; the season as it was stays on its own."""
        self._today_now = day
        if self.past is None:
            self.today = day
            self.take(self.opened, plan, f"It is {full_day_text(day)} now: that is today from here on.")

    def save(self, change: Change) -> None:
        """Save a change in a thread, read the file again and draw every view anew."""
        if self.refusal:
            self.refuse_edit()
        else:
            self._files.in_turn(partial(self._files.save, change))

    def save_made(self, make: Callable[[Plan], Change]) -> None:
        """Save a change that is made once its turn comes, and say nothing of it unless it cannot be."""
        if self.refusal:
            self.refuse_edit()
        else:
            self._files.in_turn(partial(self._files.save_made, make))

    def undo(self, steps: int = 0) -> None:
        """Undo one's own last change, or the newest of so many steps, and say which; what is another's is asked about."""
        self._files.in_turn(partial(self._files.take_back, "undo", steps))

    def redo(self, steps: int = 0) -> None:
        """Bring back what one has undone last, or so many steps, and say what; what another has undone is asked about."""
        self._files.in_turn(partial(self._files.take_back, "redo", steps))

    def reload(self) -> None:
        """Read the file again and draw every view anew; the season as it was is only drawn."""
        if self.past is not None:
            self.show_plan()
        else:
            self._files.in_turn(self._files.reload)

    def look(self) -> None:
        """See whether others have changed the season; take that over, and say what and who."""
        self._files.in_turn(self._files.look)

    def take(self, opened: Opened, plan: Plan | None, text: str, back: str = "") -> None:
        """Hold what was read and draw it. text, back: what to tell of it, and what takes that back."""
        had_plan = self.plan is not None
        self.opened, self.plan = opened, plan
        if text:
            self.notify(text, back=back)
        if (plan is not None) != had_plan:
            self._change_ground()
            return
        self.show_plan()
        self._look_for_steps()

    def show_plan(self) -> None:
        """Draw the plan on every view that shows it."""
        for screen in self.screen_stack:
            show_plan = getattr(screen, "show_plan", None)
            if show_plan is not None:
                show_plan()

    def stand_on_new(self, change: Change) -> None:
        """Put the cursor of each view that lists what the change has added or renamed on the first of that."""
        from calendar_tui.season.edits import named_anew  # after the first picture

        for screen in self.screen_stack:
            record = named_anew(change.edits, getattr(screen, "LISTED", ()))
            if record is not None:
                screen.select_record(*record)  # type: ignore[attr-defined]

    def _change_ground(self) -> None:
        """From the season to its problems, or back."""
        while len(self.screen_stack) > 1:
            self.pop_screen()
        # Textual's first screen cannot be switched for another: the ground is laid upon it, or bared again.
        if isinstance(self.screen, SeasonView) == (self.plan is not None):
            self.show_plan()
        else:
            self.push_screen(self.get_default_screen())
        self._look_for_steps()

    # --- saved tasks that differ from the plan

    def _look_for_steps(self) -> None:
        if self.past is not None:
            self.out_of_step = None
        elif self.plan is not None:
            self.run_worker(partial(self._find_steps, self.plan), thread=True, group="steps")

    def _find_steps(self, plan: Plan) -> None:
        self._pictured.wait()
        from calendar_tui.planning.changes.replan import refresh

        proposal = refresh(plan)
        self.call_from_thread(self._tell_steps, plan, proposal if proposal.tasks else None)

    def _tell_steps(self, plan: Plan, proposal: Proposal | None) -> None:
        if plan is not self.plan:
            return
        known, self.out_of_step, self.compared = self.out_of_step, proposal, plan
        if (known is None) == (proposal is None):
            return
        for screen in self.screen_stack:
            if isinstance(screen, SeasonView):
                screen.show_plan()
        if proposal is not None:
            from calendar_tui.handing_on.words.plain_text import differing_text

            self.notify(
                f"{differing_text(len(proposal.tasks))}: press {shown_key(self.screen, 'season.p')} to see."
            )

    # --- actions of every view

    def action_undo(self) -> None:
        self.undo()

    async def action_history(self) -> None:
        if not any(getattr(screen, "HELP_FIRST", "") == "history" for screen in self.screen_stack):
            await self.open_view("history")

    def action_redo(self) -> None:
        self.redo()
