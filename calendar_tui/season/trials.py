"""The immutable records of trials: what is compared and how it is laid out, and the plots that were drawn for it."""

from __future__ import annotations

import datetime as dt
import re
from collections.abc import Mapping
from dataclasses import dataclass, field

from calendar_tui.nature.layouts.grid import ACROSS, FRONT_LEFT
from calendar_tui.nature.layouts.plots import GUARD, TEST

# Factors whose levels the program knows: ids of varieties, dates of planting, m between rows and in the row.
VARIETY, DATE, SPACING = "variety", "date", "spacing"
# What a whole place gets: the factor of `places`.
LIGHT = "light"
SIDES = ("back", "front", "left", "right")
_SPACING = re.compile(r"(\d+(?:\.\d+)?)\s*[xX×]\s*(\d+(?:\.\d+)?)", re.ASCII)
_WIDEST_M = 10.0


@dataclass(frozen=True, slots=True, kw_only=True)
class Trial:
    """factors: name -> levels, from the one that is hardest to change to the easiest. contrasts: factor ->
    comparisons that were planned, as `contrasts.sides_of` reads them. blocks: complete ones, or replicates.

    block_size, checks, restriction: as the design needs them. place: a place or a screened part where all of it grows; places:
    in place of it, level of light -> the places that get it, each with blocks of its own; draw_light_among: places among which
    draw_light_levels are drawn; the draw writes them into `places`. variety, date, spacing_m: of all plots,
    where no factor sets them; date: of planting. start, nursery: of cohorts that are made for it.
    plot_rows, row_plants: of a plot, at spacing_m; corner, direction, columns, border: as `nature.layouts.grid.Walk`; north: the
    side of the map that lies north. cv: how far plots scatter, standard deviation in % of the mean. seed: of the draw.
    """

    id: str
    design: str
    name: str = ""
    question: str = ""
    factors: Mapping[str, tuple[str, ...]] = field(default_factory=dict)
    contrasts: Mapping[str, tuple[str, ...]] = field(default_factory=dict)
    blocks: int = 4
    block_size: int | None = None
    checks: tuple[str, ...] = ()
    restriction: str = ""
    place: str = ""
    places: Mapping[str, tuple[str, ...]] = field(default_factory=dict)
    draw_light_among: tuple[str, ...] = ()
    draw_light_levels: tuple[str, ...] = ("lit", "dark")
    variety: str = ""
    date: dt.date | None = None
    start: str = "seed"
    nursery: str = ""
    plot_rows: int = 4
    row_plants: int = 9
    spacing_m: tuple[float, float] | None = None
    guard_rows: int = 1
    guard_plants: int = 2
    corner: str = FRONT_LEFT
    direction: str = ACROSS
    columns: int | None = None
    border: int = 0
    north: str = "back"
    cv: float | None = None
    seed: int | None = None
    note: str = ""

    @property
    def plot_m2(self) -> float | None:
        """The ground of a plot, guards within it included; None without a spacing."""
        if self.spacing_m is None:
            return None
        return self.plot_rows * self.spacing_m[0] * self.row_plants * self.spacing_m[1]


@dataclass(frozen=True, slots=True, kw_only=True)
class TrialPlot:
    """A plot as it was drawn. number: None of a guard plot, which is never measured. row, column: from 1, nearest and leftmost.

    main, sub: which main plot or incomplete block of its block, and which part of that; of a strip plot, which strip each way.
    treatment: factor -> level. plants: planted. lost: from which day nothing of it is measured, and why.
    """

    id: str
    trial: str
    row: int
    column: int
    number: int | None = None
    block: int | None = None
    main: int | None = None
    sub: int | None = None
    treatment: Mapping[str, str] = field(default_factory=dict)
    cohort: str = ""
    place: str = ""
    plants: int | None = None
    entry: str = TEST
    lost: dt.date | None = None
    why: str = ""
    note: str = ""

    @property
    def is_guard(self) -> bool:
        return self.entry == GUARD

    def lost_by(self, day: dt.date) -> dt.date | None:
        """From which day it is lost; None where it still counts on `day`."""
        return self.lost if self.lost is not None and self.lost <= day else None


def level_date(level: str) -> dt.date:
    """The planting date of a level of the factor date. Raises ValueError with what would be right."""
    try:
        return dt.date.fromisoformat(level)
    except ValueError:
        raise ValueError(f'date "{level}" is no date; write it as 2027-05-10') from None


def level_spacing(level: str) -> tuple[float, float]:
    """Metres between rows and in the row of a level of the factor spacing. Raises ValueError with what would be right."""
    figures = _SPACING.fullmatch(level.strip())
    if figures is None:
        raise ValueError(
            f'spacing "{level}" is not read; write metres between rows and in the row, as 1.5x0.6'
        )
    between, within = float(figures[1]), float(figures[2])
    if not 0 < min(between, within) <= max(between, within) <= _WIDEST_M:
        raise ValueError(
            f'spacing "{level}" is in metres; each must be over 0 and up to {_WIDEST_M:g} m, as 1.5x0.6'
        )
    return between, within
