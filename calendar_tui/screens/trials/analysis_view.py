"""What a trial shows: means by one measure at a time, and on a second page what is left of each plot where it lies."""

from __future__ import annotations

from collections.abc import Iterable
from datetime import date
from typing import ClassVar, NamedTuple

from textual import work
from textual.binding import BindingType

from calendar_tui.handing_on.words.trial_analysis_text import value_text
from calendar_tui.planning.plan import Plan
from calendar_tui.planning.trial_analysis.analysed import Analysed
from calendar_tui.planning.trial_analysis.measures import Measure, measures_of
from calendar_tui.planning.trial_analysis.working_out import Settings, analyses_by
from calendar_tui.screens.kit.actions import bindings
from calendar_tui.screens.kit.drawing import HEADING, ListRow, names_row, row, wrapped
from calendar_tui.screens.kit.glyphs import ASCII
from calendar_tui.screens.kit.headed_page import HeadedPage
from calendar_tui.screens.kit.host import host
from calendar_tui.screens.trials.analysis_rows import body_rows
from calendar_tui.season.refusal import Refusal

FOOT = ("analysis", "page", "help", "view")
MEANS, RESIDUALS = "means", "residuals"
GONE = "{} is not in this season any more."
NOTHING = "Nothing is recorded in the plots of trial {} yet; the field book takes what is measured: calendar-tui observe."


class Answer(NamedTuple):
    """What is shown: one of the analyses of a measure. at: its number among them; measures: all there are."""

    measures: tuple[Measure, ...]
    analyses: tuple[Analysed, ...]
    at: int = 0

    @property
    def shown(self) -> Analysed:
        return self.analyses[self.at]


def first_answer(plan: Plan, trial: str) -> Answer | str:
    """By the first measure; why there is none, as a sentence. Not for the event loop."""
    return answer_of(plan, trial, "")


def answer_of(plan: Plan, trial: str, measure: str, day: date | None = None, at: int = 0) -> Answer | str:
    """measure: its id, "" for the first. day: in the round that is meant, None for the newest. at: of several places, -1 for the last."""
    season = plan.season
    if trial not in season.trials:
        return GONE.format(trial)
    of = season.trials[trial]
    measures = tuple(measures_of(season, of, plan.results.used))
    if not measures:
        return NOTHING.format(trial)
    chosen = next((one for one in measures if one.id == measure), measures[0])
    try:
        analyses = tuple(analyses_by(season, of, chosen, Settings(day=day, used=plan.results.used)))
    except Refusal as wrong:
        return f"{wrong}."
    last = len(analyses) - 1
    return Answer(measures, analyses, last if at < 0 else min(at, last))


class AnalysisView(HeadedPage[None]):
    """It is worked out in a thread, and drawn once that is done."""

    HELP_FIRST = "analysis"
    BINDINGS: ClassVar[list[BindingType]] = bindings("analysis")

    def __init__(self, answer: Answer | str, trial: str) -> None:
        """answer: what it opens with, or why there is none."""
        super().__init__(FOOT, other=RESIDUALS)
        self._answer, self._trial, self._residuals = answer, trial, False

    def rows(self, width: int) -> Iterable[ListRow]:
        plan, answer = host(self).plan, self._answer
        if plan is None or isinstance(answer, str):
            return wrapped(answer if isinstance(answer, str) else GONE.format(self._trial), width)
        is_ascii = host(self).glyphs == ASCII
        return body_rows(answer.shown, plan.season, width, is_ascii, self._residuals)

    def show_plan(self) -> None:
        """Work it out anew: the season may have changed. An older round stays; after the newest one there may be another."""
        answer = self._answer
        if isinstance(answer, str):
            self._work_out("")
            return
        shown = answer.shown
        is_newest = shown.round_at in (None, len(shown.rounds) - 1)
        self._work_out(shown.measure.id, None if is_newest else shown.days[0], answer.at)

    def say_heading(self, width: int) -> None:
        answer = self._answer
        if isinstance(answer, str):
            self._heading.say(row((self._trial, HEADING)))
            return
        names, chosen = [one.id for one in answer.measures], answer.shown.measure.id
        self._heading.say(
            row((f"{self._trial}  {value_text(answer.shown)}", HEADING)), names_row(names, chosen, width - 1)
        )

    @work(thread=True, exclusive=True)
    def _work_out(self, measure: str, day: date | None = None, at: int = 0) -> None:
        plan = host(self).plan
        if plan is not None:
            answer = answer_of(plan, self._trial, measure, day, at)
            self.app.call_from_thread(self._take, plan, answer)

    def _take(self, plan: Plan, answer: Answer | str) -> None:
        """Show it, unless the season has changed meanwhile."""
        if plan is host(self).plan:
            self._show(answer)

    def _show(self, answer: Answer | str) -> None:
        self._answer = answer
        self._body.scroll_home(animate=False)
        self.say_heading(self.size.width)
        self._body.redraw()

    def action_measure(self, by: int) -> None:
        """The next place of it, or what was measured next; round at the ends."""
        answer = self._answer
        if isinstance(answer, str):
            return
        if 0 <= answer.at + by < len(answer.analyses):
            self._show(answer._replace(at=answer.at + by))
            return
        names = [one.id for one in answer.measures]
        name = names[(names.index(answer.shown.measure.id) + by) % len(names)]
        self._work_out(name, at=-1 if by < 0 else 0)

    def action_round(self, by: int) -> None:
        """The round of measuring after, or before; told where there is none."""
        answer = self._answer
        if isinstance(answer, str):
            return
        shown = answer.shown
        at = shown.round_at or 0
        if not 0 <= at + by < len(shown.rounds):
            self.notify(f"There is no round {'after' if by > 0 else 'before'} this one.")
            return
        self._work_out(shown.measure.id, shown.rounds[at + by][0])

    def action_residuals(self) -> None:
        """Turn from the means to what is left of each plot, or back."""
        self._residuals = not self._residuals
        self._body.scroll_home(animate=False)
        self._keys.name_keys(FOOT, other=MEANS if self._residuals else RESIDUALS)
        self._body.redraw()
