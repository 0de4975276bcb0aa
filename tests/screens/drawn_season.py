"""Looks at a season view for tests: its layout, and what is on screen at a zoom."""

from __future__ import annotations

from datetime import date

from calendar_tui.planning.plan import Plan
from calendar_tui.screens.kit.glyphs import UNICODE
from calendar_tui.screens.kit.kept import Kept
from calendar_tui.screens.kit.window import Window, axis_ends, zooms
from calendar_tui.screens.season.arrangement import AS_OPENED, Arrangement
from calendar_tui.screens.season.layout import Layout
from calendar_tui.screens.season.sight import Look, Sight, kept_rows, layout_of, sight_of


def laid(plan: Plan, width: int, height: int, arrangement: Arrangement = AS_OPENED) -> Layout:
    """The layout of a screen of this size, its footer not counted."""
    kept = Kept()
    kept.on(plan, UNICODE)
    return layout_of(kept, plan, arrangement, width, height)


def sight(plan: Plan, look: Look, layout: Layout) -> Sight:
    """What is in sight with this look, drawn for the first time."""
    return sight_of(plan, look, layout, UNICODE, Kept())


def order(plan: Plan, arrangement: Arrangement = AS_OPENED) -> list[str]:
    """The cohorts in the order in which they are drawn."""
    kept = Kept()
    kept.on(plan, UNICODE)
    return [row.cohort for row in kept_rows(kept, plan, arrangement)]


def looking(
    plan: Plan,
    size: tuple[int, int],
    *,
    zoom: int = 0,
    selected: int = 0,
    cursor: date,
    arrangement: Arrangement = AS_OPENED,
) -> Look:
    """A look at a plan from the whole season in; selected: the number of a row."""
    begin, end = axis_ends(plan)
    layout = laid(plan, *size, arrangement)
    levels = zooms((end - begin).days + 1, columns := layout.columns(size[0]))
    name, days = levels[zoom % len(levels)]
    top = max(min(selected, len(order(plan, arrangement)) - layout.rows), 0)
    window = Window(begin, days, columns).around(cursor, begin, end)
    return Look(window, name, selected, top, cursor, arrangement=arrangement)
