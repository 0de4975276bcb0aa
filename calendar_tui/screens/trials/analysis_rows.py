"""The rows of a trial's analysis: means with their plots and what they come to; residuals where the plots lie."""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Mapping

from rich.style import Style

from calendar_tui.handing_on.words.analysis_tables import kinds_texts
from calendar_tui.handing_on.words.analysis_text import answer_texts, error_text
from calendar_tui.handing_on.words.means_plot import AXIS, HEAD, SIGNS, legend, means_rows, verdict_text
from calendar_tui.handing_on.words.residual_map import CELL, residual_cells
from calendar_tui.handing_on.words.trial_analysis_text import analysed_text, not_shown, remark_texts
from calendar_tui.handing_on.words.trial_map import gate_line, place_line
from calendar_tui.planning.trial_analysis.analysed import Analysed
from calendar_tui.planning.trials.ground_map import maps_of
from calendar_tui.screens.kit.drawing import HEADING, PLAIN, ListRow, row, wrapped
from calendar_tui.screens.kit.themes import named
from calendar_tui.season.cells import filled_before
from calendar_tui.season.records import Season

_STYLES: Mapping[str, Style] = {
    HEAD: named("heading"),
    AXIS: named("axis"),
    "mean": named("strong"),
    "error": named("run"),
    "point": named("recorded"),
    "points": named("recorded"),
}
_FAR, _LEGEND = named("warning"), named("legend")
RESIDUALS = (
    "What is left of each plot after treatments and ground, in standard deviations; means of rows and columns at the ends. A run of "
    "one sign is a trend of the ground that the design does not take out."
)
NO_RESIDUALS = "Nothing is left to show plot by plot: whole places are averaged, or there is no analysis."


def figures_rows(one: Analysed, width: int, is_ascii: bool) -> Iterator[ListRow]:
    """Means and tests, answers, what to know of them, and what they do not show."""
    if one.analysis is None:
        for line in analysed_text(one):
            yield from wrapped(line, width, rest="  ")
        return
    is_drawn = False
    for table in one.tables:
        yield from wrapped(verdict_text(table), width, rest="  ")
        for parts in means_rows(one, table, width, is_ascii):
            is_drawn = is_drawn or any(part.kind in SIGNS for part in parts)
            yield row(*((part.text, _STYLES.get(part.kind, PLAIN)) for part in parts))
        on_scale = "" if one.is_plain else "On the scale of the analysis: "
        for text in kinds_texts(one.analysis, table.means):
            yield from wrapped(f"{on_scale}{text}", width, "  ", "    ")
        yield row()
    if is_drawn:
        yield from wrapped(legend(one, is_ascii), width, rest="  ", style=_LEGEND)
    for text in (*answer_texts(one.analysis, one.factor), error_text(one.analysis), *remark_texts(one)):
        yield from wrapped(text, width, rest="  ")
    yield row()
    yield row(("What this does not show:", HEADING))
    for text in not_shown([one]):
        yield from wrapped(text, width, "- ", "  ")


def residual_rows(one: Analysed, season: Season, width: int) -> Iterator[ListRow]:
    """Each place as it is walked, the furthest row first."""
    if not any(value.residual is not None for value in one.values):
        yield from wrapped(NO_RESIDUALS, width)
        return
    yield from wrapped(RESIDUALS, width)
    for ground in maps_of(season, one.trial):
        if one.place not in ("", ground.place):
            continue
        yield row()
        yield row((place_line(one.trial, ground), HEADING))
        for line in residual_cells(ground, one.values, max(1, width // CELL - 1)):
            yield row(*((filled_before(cell.text, CELL), _FAR if cell.is_far else PLAIN) for cell in line))
        yield row(gate_line(one.trial))


def body_rows(
    one: Analysed, season: Season, width: int, is_ascii: bool, residuals: bool
) -> Iterable[ListRow]:
    return residual_rows(one, season, width) if residuals else figures_rows(one, width, is_ascii)
