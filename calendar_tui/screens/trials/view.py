"""A trial on its ground: arrow keys walk the plots, the one under the cursor is told below; drawn from here by its seed."""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Mapping
from functools import partial
from typing import ClassVar

from textual import work
from textual.app import ComposeResult
from textual.binding import BindingType
from textual.events import Resize

from calendar_tui.handing_on.words.trial_text import NO_TRIAL, facts_lines, head_text, plot_texts
from calendar_tui.planning.changes.proposal import Proposal
from calendar_tui.planning.plan import Plan
from calendar_tui.planning.trials.drawing import AlreadyDrawn, draw_trial, plots_of_trial
from calendar_tui.planning.trials.ground_map import beside, maps_of
from calendar_tui.screens.asking.answers import OneChange
from calendar_tui.screens.forms.add_view import AddView
from calendar_tui.screens.forms.form_view import FormView, held_season
from calendar_tui.screens.forms.record_forms import changing
from calendar_tui.screens.kit.actions import bindings, shown_key
from calendar_tui.screens.kit.drawing import HEADING, Bar, ListRow, first_rows, names_row, row, wrapped
from calendar_tui.screens.kit.host import host
from calendar_tui.screens.kit.page import Page
from calendar_tui.screens.trials.draw_view import DrawView
from calendar_tui.screens.trials.map_rows import map_rows
from calendar_tui.season.records import Season
from calendar_tui.season.refusal import Refusal
from calendar_tui.season.trials import Trial, TrialPlot

FOOT = ("trial", "undo", "redo", "help", "view")
PLOT_LINES = 4
NOT_DRAWN = "It is not drawn yet: {} draws it by its seed; shown first, and then written into the season."
ADDS = "{} adds one here."


class TrialView(Page[None]):
    """Stays open when a change is saved."""

    HELP_FIRST = "trial"
    CSS = f"#heading {{ height: 2; }} #plot {{ height: {PLOT_LINES}; }}"
    BINDINGS: ClassVar[list[BindingType]] = bindings("trial", "undo", "redo")

    def __init__(self, trial: str = "") -> None:
        """trial: the one that is shown first; "" for the first of the season."""
        super().__init__(FOOT)
        self._heading, self._told = Bar(id="heading"), Bar(id="plot")
        # The arrow keys walk the plots, and what is walked to is brought into view.
        self._body.can_focus = False
        self._shown, self._plot = trial, ""
        self._lines: Mapping[str, range] = {}

    def compose(self) -> ComposeResult:
        yield self._heading
        yield self._body
        yield self._told
        yield self._keys

    @property
    def text(self) -> str:
        """All that the view shows but its keys, as plain text."""
        return f"{self._heading.text}\n{self._body.text}\n{self._told.text}"

    @property
    def trial(self) -> Trial | None:
        """The one that is shown; None where the season has none."""
        plan = host(self).plan
        trials = {} if plan is None else plan.season.trials
        return trials.get(self._shown) or next(iter(trials.values()), None)

    def on_resize(self, event: Resize) -> None:
        self._tell(event.size.width)

    def show_plan(self) -> None:
        self._redraw()

    def rows(self, width: int) -> Iterable[ListRow]:
        plan, trial = host(self).plan, self.trial
        if plan is None or trial is None:
            add = ADDS.format(shown_key(self, "trial.a"))
            return [*wrapped(NO_TRIAL, width), *wrapped(add, width)]
        at = self._at(plan.season, trial)
        rows: list[ListRow] = []
        self._lines = {}
        if at is None:
            rows += wrapped(NOT_DRAWN.format(shown_key(self, "trial.d")), width)
        else:
            rows, self._lines = map_rows(plan.season, trial, at.id, width)
        facts = facts_lines(plan.season, trial, width)
        return [*rows, row(), *map(row, facts)]

    def _at(self, season: Season, trial: Trial) -> TrialPlot | None:
        """The plot under the cursor; the first as they are walked where it is none of this trial; None before it is drawn."""
        plots = plots_of_trial(season, trial.id)
        return next((plot for plot in plots if plot.id == self._plot), next(iter(plots), None))

    def _here(self) -> tuple[Season, Trial, TrialPlot] | None:
        plan, trial = host(self).plan, self.trial
        if plan is None or trial is None:
            return None
        at = self._at(plan.season, trial)
        return None if at is None else (plan.season, trial, at)

    # --- what is drawn

    def _redraw(self) -> None:
        self._tell(self.size.width)
        self._body.redraw()

    def _tell(self, width: int) -> None:
        plan, trial = host(self).plan, self.trial
        if plan is None or trial is None:
            self._heading.say(row(("Trials", HEADING)))
            self._told.say()
            return
        names = list(plan.season.trials)
        self._heading.say(
            row((head_text(plan.season, trial), HEADING)),
            names_row(names, trial.id, width - 1) if len(names) > 1 else row(trial.question),
        )
        at = self._at(plan.season, trial)
        self._told.say(*first_rows(list(_plot_rows(plan.season, at, width)), PLOT_LINES, width))

    # --- walking

    def action_walk(self, back: int, right: int) -> None:
        """The plot beside: further back or to the front, left or right."""
        if (here := self._here()) is not None:
            season, trial, at = here
            self._go(beside(maps_of(season, trial), at, back, right))

    def action_number(self, by: int) -> None:
        """The plot with the next number, as they are walked, or the one before."""
        if (here := self._here()) is not None:
            season, trial, at = here
            plots = plots_of_trial(season, trial.id)
            self._go(plots[min(max(plots.index(at) + by, 0), len(plots) - 1)])

    def _go(self, plot: TrialPlot) -> None:
        self._plot = plot.id
        self._redraw()
        lines, top, height = self._lines[plot.id], self._body.scroll_offset.y, self._body.size.height
        if lines.start - 1 < top:
            # With what stands above the first row of plots.
            self._body.scroll_to(y=0 if lines.start <= height // 2 else lines.start - 1, animate=False)
        elif lines.stop > top + height:
            self._body.scroll_to(y=lines.stop - height + 1, animate=False)

    def action_page(self, by: int) -> None:
        """Scroll half a page, to what stands below the map."""
        y = self._body.scroll_offset.y + by * max(self._body.size.height // 2, 1)
        self._body.scroll_to(y=min(max(y, 0), self._body.max_scroll_y), animate=False)

    def action_trial(self, by: int) -> None:
        """The next trial of the season, or the one before; round at the ends."""
        plan, trial = host(self).plan, self.trial
        if plan is not None and trial is not None:
            names = list(plan.season.trials)
            self._shown, self._plot = names[(names.index(trial.id) + by) % len(names)], ""
            self._body.scroll_home(animate=False)
            self._redraw()

    async def action_means(self) -> None:
        """Open what the trial shows by what was measured in its plots."""
        if (trial := self.trial) is not None:
            await host(self).open_view("analysis", trial.id)

    # --- what is changed

    def action_change(self) -> None:
        """Open the fields of the plot under the cursor, such as the day from which it is lost."""
        if (here := self._here()) is not None:
            self.app.push_screen(FormView(changing("plot", (here[2].id,)), at="lost"))

    def action_change_trial(self) -> None:
        """Open the fields of the trial."""
        if (trial := self.trial) is not None:
            self.app.push_screen(FormView(changing("trial", (trial.id,))))

    def action_add(self) -> None:
        """Add a trial."""
        self.app.push_screen(AddView(kind="trial"))

    async def action_observe(self) -> None:
        """Open the field book of the trial."""
        if (trial := self.trial) is not None:
            await host(self).open_view("field_book", trial.id)

    def action_draw(self, anew: bool = False) -> None:
        """Show what the draw of the trial comes to, to be saved there; or why it cannot be drawn. anew: in place of its plots."""
        plan, trial = host(self).plan, self.trial
        if plan is not None and trial is not None:
            self._draw(plan, trial.id, anew)

    def _drawn(self, name: str, anew: bool, plan: Plan) -> Proposal:
        if name not in plan.season.trials:
            raise Refusal(f"trial {name} is not in this season any more")
        return draw_trial(held_season(host(self), plan), name, anew)

    @work(thread=True, exclusive=True, group="moves")
    def _draw(self, plan: Plan, name: str, anew: bool) -> None:
        make = partial(self._drawn, name, anew)
        try:
            proposal = make(plan)
        except AlreadyDrawn as drawn:
            self.app.call_from_thread(self._refuse, f"{drawn}: {shown_key(self, 'trial.D')}")
            return
        except Refusal as wrong:
            self.app.call_from_thread(self._refuse, str(wrong))
            return
        act = OneChange(proposal.change.what, make)
        self.app.call_from_thread(self._ask, name, act, proposal)

    def _ask(self, name: str, act: OneChange, proposal: Proposal) -> None:
        self.app.push_screen(DrawView(name, act, proposal))

    def _refuse(self, why: str) -> None:
        self.notify(f"{why[:1].upper()}{why[1:]}.", severity="warning")


def _plot_rows(season: Season, at: TrialPlot | None, width: int) -> Iterator[ListRow]:
    for text in () if at is None else plot_texts(season, at):
        yield from wrapped(text, width, "", "  ")
