"""The season's chart as plain lines, for a terminal without the full screen, a file or a printer."""

from __future__ import annotations

from collections.abc import Iterator

from calendar_tui.planning.plan import Plan
from calendar_tui.screens.kit.canvas import text_of
from calendar_tui.screens.kit.glyphs import glyph_set
from calendar_tui.screens.kit.kept import Kept
from calendar_tui.screens.kit.window import CROPS, Window, crop_ends
from calendar_tui.screens.season.arrangement import AS_OPENED, Arrangement
from calendar_tui.screens.season.chart import chart_rows
from calendar_tui.screens.season.layout import SMALLEST
from calendar_tui.screens.season.legend import legend_rows
from calendar_tui.screens.season.sight import Look, kept_rows, layout_of, sight_of
from calendar_tui.screens.season.title import title_row

WIDEST = 200
_SKY_ROWS, _LEGEND_ROWS = 8, 3


def chart_lines(
    plan: Plan, width: int, ascii_only: bool, arrangement: Arrangement = AS_OPENED
) -> Iterator[str]:
    """Title, day length, time axis, every cohort and the legend, in lines of at most `width` characters."""
    width = min(max(width, SMALLEST[0]), WIDEST)
    glyphs, kept = glyph_set(ascii_only), Kept()
    kept.on(plan, glyphs)
    count = len(kept_rows(kept, plan, arrangement))
    divided = layout_of(kept, plan, arrangement, width, 24)
    layout = divided._replace(sky=_SKY_ROWS, rows=count, legend=_LEGEND_ROWS, detail=0)
    begin, end = crop_ends(plan)
    window = Window(begin, (end - begin).days + 1, layout.columns(width))
    look = Look(window, CROPS, -1, 0, None, arrangement=arrangement)
    rows = [title_row(plan, width, glyphs)]
    rows += chart_rows(sight_of(plan, look, layout, glyphs, kept))
    rows += legend_rows(width, glyphs, layout.legend)
    return (text_of(row).rstrip() for row in rows)
