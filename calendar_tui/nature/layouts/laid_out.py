"""A trial drawn and put on its ground in one go."""

from __future__ import annotations

from dataclasses import replace

from calendar_tui.nature.layouts.designs import Wanted, columns_of, draw_plots
from calendar_tui.nature.layouts.grid import Placed, Walk, placed


def lay_out(wanted: Wanted, walk: Walk, blocks_before: int = 0) -> list[Placed]:
    """The plots of a trial in walking order, then its guard plots. blocks_before: in other places, so that numbers go on.

    Raises ValueError for a trial that its design cannot have, or lines of plots that do not suit it.
    """
    fixed = columns_of(wanted)
    if fixed and walk.columns not in (0, fixed):
        raise ValueError(
            f"lines of {walk.columns} plots; a trial of design "
            f'"{wanted.design}"{" with its restriction" if wanted.restriction else ""} has {fixed} in a line'
        )
    plots = [replace(plot, block=plot.block + blocks_before) for plot in draw_plots(wanted)]
    return placed(plots, replace(walk, columns=walk.columns or fixed))
