"""The layout of a trial by its record: the plots of each of its places, numbered and on their ground, as its seed draws them."""

from __future__ import annotations

from typing import NamedTuple

from calendar_tui.nature.layouts.designs import Wanted
from calendar_tui.nature.layouts.grid import Placed, Walk
from calendar_tui.nature.layouts.ground import Ground
from calendar_tui.nature.layouts.laid_out import lay_out
from calendar_tui.season.refusal import Refusal
from calendar_tui.season.trials import LIGHT, SPACING, Trial, level_spacing

# Plots of a trial that a person still finds their way among, and that a season keeps quick (placeholder).
MOST_PLOTS = 2000


class PlaceOfTrial(NamedTuple):
    """A place, and the level of light that it gets; "" where light is no factor."""

    light: str
    level: str


class DrawnPlot(NamedTuple):
    """A plot of a place. ground: None of a guard plot."""

    of: PlaceOfTrial
    placed: Placed
    ground: Ground | None

    @property
    def treatment(self) -> dict[str, str]:
        """Factor -> level, that of light first."""
        own = dict(self.placed.plot.treatment)
        return {LIGHT: self.of.level, **own} if self.of.level and self.ground else own


def places_of(trial: Trial) -> list[PlaceOfTrial]:
    """Where it grows. Raises Refusal where no place is set."""
    by_level = [PlaceOfTrial(light, level) for level, lights in trial.places.items() for light in lights]
    if by_level:
        return by_level
    if not trial.place:
        raise Refusal(f"trial {trial.id}: place is not set; set where it grows, such as F1")
    return [PlaceOfTrial(trial.place, "")]


def wanted_of(trial: Trial, number: int = 0) -> Wanted:
    """What is to be drawn in its place of this number, from 0: each place has a seed of its own, the next.

    Raises Refusal where no seed is set.
    """
    if trial.seed is None:
        raise Refusal(
            f"trial {trial.id}: seed is not set; set any whole number before the draw, such as 20261208, and keep it"
        )
    return Wanted(
        design=trial.design,
        factors=tuple(trial.factors.items()),
        blocks=trial.blocks,
        seed=trial.seed + number,
        checks=trial.checks,
        block_size=trial.block_size or 0,
        restriction=trial.restriction,
    )


def ground_of(trial: Trial, spacing: str = "") -> Ground:
    """The ground of a plot, at the spacing of its treatment where that is a factor. Raises Refusal."""
    if trial.spacing_m is None:
        raise Refusal(
            f"trial {trial.id}: spacing is not set; set metres between rows and in the row, such as 1.5x0.6"
        )
    try:
        ground = Ground(
            rows=trial.plot_rows,
            plants=trial.row_plants,
            spacing_m=trial.spacing_m,
            guard_rows=trial.guard_rows,
            guard_plants=trial.guard_plants,
        )
        return ground.at(level_spacing(spacing)) if spacing else ground
    except ValueError as wrong:
        at = f" at {spacing}" if spacing else ""
        raise Refusal(f"trial {trial.id}{at}: {wrong}") from wrong


def laid_out(trial: Trial) -> list[DrawnPlot]:
    """All its plots, place by place in walking order, guard plots last. Blocks are counted on from place to place.

    Raises Refusal for what its design cannot have.
    """
    drawn: list[DrawnPlot] = []
    blocks = 0
    for number, place in enumerate(places_of(trial)):
        plots = _placed(trial, number, blocks)
        blocks = max(one.plot.block for one in plots)
        drawn += [DrawnPlot(place, one, _own_ground(trial, one)) for one in plots]
    if len(drawn) > MOST_PLOTS:
        raise Refusal(
            f"trial {trial.id} has {len(drawn)} plots; {MOST_PLOTS} is the most: set fewer blocks or levels"
        )
    return drawn


def _placed(trial: Trial, number: int, blocks_before: int) -> list[Placed]:
    walk = Walk(
        corner=trial.corner, direction=trial.direction, columns=trial.columns or 0, border=trial.border
    )
    try:
        return lay_out(wanted_of(trial, number), walk, blocks_before)
    except ValueError as wrong:
        if isinstance(wrong, Refusal):
            raise
        raise Refusal(f"trial {trial.id}: {wrong}") from wrong


def _own_ground(trial: Trial, one: Placed) -> Ground | None:
    treatment = dict(one.plot.treatment)
    return ground_of(trial, treatment.get(SPACING, "")) if one.number else None
