"""What is to be looked at in a result that counts: its own total is another, or its bag may be another."""

from __future__ import annotations

from collections.abc import Iterator

from calendar_tui.planning.results.used import Used
from calendar_tui.season.analyte_names import analyte_named
from calendar_tui.season.readers import shown
from calendar_tui.season.wording import weekday_text


def remarks_of(one: Used) -> tuple[str, ...]:
    """Each as a part of a sentence; none where there is nothing to look at."""
    return tuple(_remarks(one))


def _remarks(one: Used) -> Iterator[str]:
    if one.figures.gap:
        yield one.figures.gap
    for name in one.result.found:
        if not analyte_named(name):
            yield f"{shown(name)} is not known here and plays no part"
    collected, cut = one.result.collected, one.sample.date
    if collected is not None and collected != cut:
        yield (
            f"collected on {weekday_text(collected)} by the report, and its bag was cut on {weekday_text(cut)}: "
            "look whether it is this bag"
        )
