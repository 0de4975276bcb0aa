"""Cohorts as they stand in the season: a line each."""

from __future__ import annotations

from collections.abc import Iterator, Sequence

from calendar_tui.handing_on.words.plain_text import WIDTH, count_text, wrapped
from calendar_tui.season.cells import cell_len, filled
from calendar_tui.season.choosing import planted_on
from calendar_tui.season.measures import as_written, figure, unit_shown
from calendar_tui.season.records import Cohort
from calendar_tui.season.wording import full_day_text, start_text


def cohorts_lines(cohorts: Sequence[Cohort], width: int = WIDTH) -> Iterator[str]:
    """Each cohort with its variety, start, plants, spacing, places in turn and planting date."""
    names = max((cell_len(cohort.id) for cohort in cohorts), default=0)
    for cohort in cohorts:
        plants = "plants not set" if cohort.plants is None else count_text(cohort.plants, "plant")
        spacing = "" if cohort.spacing_m is None else f" at {_spacing_text(cohort.spacing_m)}"
        planted = planted_on(cohort)
        when = "" if planted is None else f", planted {full_day_text(planted)}"
        note = f"; {cohort.note}" if cohort.note else ""
        text = f"{cohort.variety}, from {start_text(cohort.start)}, {plants}{spacing}, {', then '.join(cohort.lights)}{when}{note}"
        yield from wrapped(text, " " * (names + 2), width, f"{filled(cohort.id, names)}  ")


def _spacing_text(spacing_m: tuple[float, float]) -> str:
    """ "1.5x0.6 m"."""
    return f"{'x'.join(figure(n, 'm', as_written) for n in spacing_m)} {unit_shown('m')}"
