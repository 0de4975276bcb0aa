"""The season's chart as plain lines, for a terminal without the full screen, a file or a printer."""

from __future__ import annotations

from collections.abc import Iterator

from calendar_tui.planning.plan import Plan
from calendar_tui.screens.kit.canvas import text_of
from calendar_tui.screens.kit.glyphs import glyph_set
from calendar_tui.screens.kit.window import Window, axis_ends
from calendar_tui.screens.season.chart import SMALLEST, Layout, Look, chart_rows, lay, legend_rows, title_row

WIDEST = 200
_PLOT_ROWS, _LEGEND_ROWS = 8, 3


def chart_lines(plan: Plan, width: int, ascii_only: bool) -> Iterator[str]:
    """Title, day-length plot, time axis, every cohort and the legend, in lines of at most `width` characters."""
    width = min(max(width, SMALLEST[0]), WIDEST)
    glyphs = glyph_set(ascii_only)
    begin, end = axis_ends(plan)
    layout = Layout(lay(plan, width, 24).label, _PLOT_ROWS, len(plan.season.cohorts), _LEGEND_ROWS, 0)
    window = Window(begin, (end - begin).days + 1, width - layout.label)
    rows = [title_row(plan, width, glyphs, "")]
    rows += chart_rows(plan, Look(window, "season", 0, 0, None), layout, glyphs)
    rows += legend_rows(width, glyphs, layout.legend)
    return (text_of(row).rstrip() for row in rows)
