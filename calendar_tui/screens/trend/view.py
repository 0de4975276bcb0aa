"""The trend of one lot at a time: the plot, what it tells, its results by date; other positions and cohorts by keys."""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from typing import ClassVar

from textual import work
from textual.binding import BindingType

from calendar_tui.handing_on.words.trend_plot import Cell, legend, plot
from calendar_tui.handing_on.words.trend_text import head_text, results_table, sentences
from calendar_tui.planning.cutting.listing import lot_cuts
from calendar_tui.planning.plan import Plan
from calendar_tui.planning.results.trend import CohortTrend, position_of, trend_of
from calendar_tui.screens.kit.actions import bindings
from calendar_tui.screens.kit.drawing import HEADING, ListRow, names_row, row, wrapped
from calendar_tui.screens.kit.glyphs import ASCII
from calendar_tui.screens.kit.headed_page import HeadedPage
from calendar_tui.screens.kit.host import host
from calendar_tui.screens.kit.themes import named
from calendar_tui.season.lots import lots_of_cohort

FOOT = ("trend", "page", "help", "view")
# How each thing in the plot is drawn; the signs differ too, so that colour is never alone.
_STYLES = {
    "": "",
    "axis": "axis",
    "label": "label",
    "result": "faint",
    "curve": "run",
    "likely": "strong",
    "today": "today",
    "step": "label",
    "limit": "clash",
    "reached": "clash",
    "other": "label",
    "interval": "label",
    "point": "recorded",
    "dip": "warning",
    "odd": "refusal",
}
# Rows that stand beside the plot at the least: two of the heading, the legend, the most pressing sentences, the keys.
_BESIDE, _LEAST = 11, 8
GONE, NO_COHORT = "{} is not in this season any more.", "There are no cohorts yet, and so no results."


def lots_in_order(plan: Plan, cohort: str) -> tuple[str, ...]:
    """The lots with results, in the order of the season, and those of the cohort that it is about."""
    sampled = {one.sample.cohort for one in plan.results.used} | {cohort}
    names = [name for name in plan.season.cohorts if name in sampled]
    return tuple(lot.id for name in names for lot in lots_of_cohort(plan.season, name))


def first_trend(plan: Plan, name: str, itself: bool = False) -> CohortTrend | None:
    """What the view opens with; None where the season has neither such a cohort nor a lot. Not for the event loop: it takes some 100 ms.

    name: a lot, or a cohort, of which the lot nearest its day is shown. itself: though it is cut; else one with results that
    stands is shown in its place, the nearest to its day.
    """
    cuts = lot_cuts(plan.season, plan.ripe, plan.today)
    own = next((one for one in cuts.cuts if one.lot.id == name), None) or cuts.of_lot(name)
    if own is None:
        return None
    sampled = {one.sample.cohort for one in plan.results.used}
    standing = (one for one in cuts.cuts if not one.done and one.lot.cohort in sampled)
    shown = next(standing, own) if own.done and not itself else own
    return trend_of(plan, shown.lot.id)


def trend_rows(
    shown: CohortTrend, position: str, width: int, height: int, ascii_only: bool
) -> Iterator[ListRow]:
    """The whole page. height: rows that the plot has."""
    own = position_of(shown.thc, position)
    if own is not None:
        grid = plot(shown, own, width, height, ascii_only)
        yield from map(_drawn, grid)
        yield from wrapped(legend(grid, ascii_only), width, style=named("legend"))
    for sentence in sentences(shown, position):
        yield from wrapped(sentence, width, "", "  ")
    if shown.used:
        head, *lines = results_table(shown, position)
        yield row()
        yield row((head, HEADING))
        yield from map(row, lines)


def _drawn(cells: list[Cell]) -> ListRow:
    """A row of the plot, one part a run of a kind."""
    runs: list[tuple[str, str]] = []
    for kind, sign in cells:
        if runs and runs[-1][1] == kind:
            runs[-1] = (runs[-1][0] + sign, kind)
        else:
            runs.append((sign, kind))
    return row(*((text, named(_STYLES[kind])) if _STYLES[kind] else text for text, kind in runs))


class TrendView(HeadedPage[None]):
    """It is worked out in a thread, and drawn once that is done."""

    HELP_FIRST = "trend"
    BINDINGS: ClassVar[list[BindingType]] = bindings("trend")

    def __init__(self, shown: CohortTrend | None, name: str) -> None:
        """shown: what it opens with; None where the season has no cohort or lot of this name, or none at all."""
        super().__init__(FOOT)
        self._cohort, self._lot = (name, name) if shown is None else (shown.cohort, shown.lot)
        self._shown = shown
        self._position = "top" if shown is None else shown.thc.deciding or "top"

    def rows(self, width: int) -> Iterable[ListRow]:
        plan = host(self).plan
        if plan is None or self._shown is None or self._cohort not in plan.timelines:
            return wrapped(GONE.format(self._cohort) if self._cohort else NO_COHORT, width)
        height = max(self.app.size.height - _BESIDE, _LEAST)
        return trend_rows(self._shown, self._position, width, height, host(self).glyphs == ASCII)

    def show_plan(self) -> None:
        """Work it out anew: the season may have changed."""
        plan = host(self).plan
        if plan is None or self._cohort not in plan.timelines:
            super().show_plan()
        else:
            lots = [lot.id for lot in lots_of_cohort(plan.season, self._cohort)]
            self._work_out(plan, self._lot if self._lot in lots else lots[0])

    @work(thread=True, exclusive=True)
    def _work_out(self, plan: Plan, lot: str) -> None:
        shown = trend_of(plan, lot)
        self.app.call_from_thread(self._take, plan, shown)

    def _take(self, plan: Plan, shown: CohortTrend) -> None:
        """Show it, unless the season has changed meanwhile; the position stays where this one has it."""
        if plan is not host(self).plan:
            return
        if shown.lot != self._lot:
            self._body.scroll_home(animate=False)
        self._cohort, self._lot, self._shown = shown.cohort, shown.lot, shown
        if position_of(shown.thc, self._position) is None:
            self._position = shown.thc.deciding or "top"
        self._redraw()

    def _redraw(self) -> None:
        self.say_heading(self.size.width)
        self._body.redraw()

    def say_heading(self, width: int) -> None:
        plan, shown = host(self).plan, self._shown
        if plan is None or shown is None or self._lot not in lots_in_order(plan, self._cohort):
            return
        names, chosen = lots_in_order(plan, self._cohort), self._lot
        self._heading.say(
            row((head_text(shown, self._position), HEADING)), names_row(names, chosen, width - 1)
        )

    def action_lot(self, by: int) -> None:
        """The next lot with results, or the one before; round at the ends."""
        plan = host(self).plan
        names = () if plan is None else lots_in_order(plan, self._cohort)
        if plan is not None and self._lot in names:
            self._work_out(plan, names[(names.index(self._lot) + by) % len(names)])

    def action_position(self) -> None:
        """The next position that was sampled."""
        names = [] if self._shown is None else [one.position for one in self._shown.thc.positions]
        if self._position in names:
            self._position = names[(names.index(self._position) + 1) % len(names)]
            self._redraw()
