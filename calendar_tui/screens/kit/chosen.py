"""What is chosen in a view: where the terminal's own cursor stands for those who follow it, and what is copied of it."""

from __future__ import annotations

from typing import Any

from textual.geometry import Offset
from textual.screen import Screen

from calendar_tui.screens.kit.drawing import Picker, TextLines
from calendar_tui.screens.kit.host import host
from calendar_tui.screens.kit.sheet import Sheet


def cursor_at(screen: Screen[Any]) -> Offset | None:
    """Where the chosen row begins, of a list that has the keys or of a drawing; None where a field or nothing has them."""
    focused = screen.focused
    if isinstance(focused, Picker):
        return focused.cursor_at
    sheets = screen.query(Sheet) if focused is None else ()
    return next((at for sheet in sheets if (at := sheet.cursor_at) is not None), None)


def chosen_text(screen: Screen[Any]) -> str:
    """The dates of the cohort that is selected, the row under the cursor, or the page; "" where there is nothing to copy."""
    from calendar_tui.handing_on.words.plain_text import cohort_text  # after the first picture

    plan, cohort = host(screen).plan, getattr(screen, "cohort_id", None)
    if plan is not None and cohort is not None and cohort in plan.timelines:
        return "\n".join(cohort_text(plan.timelines[cohort]))
    focused = screen.focused
    if isinstance(focused, Picker):
        return focused.row_text
    pages = screen.query(TextLines)
    return "\n".join(line.rstrip() for page in pages for line in page.text.splitlines()).strip()
