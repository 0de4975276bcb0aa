"""The layout of a trial by its record: the plots of each of its places, numbered and on their ground, as its seed draws them."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace
from typing import NamedTuple

from calendar_tui.nature.layouts.designs import Wanted
from calendar_tui.nature.layouts.grid import Placed, Walk
from calendar_tui.nature.layouts.ground import Ground
from calendar_tui.nature.layouts.laid_out import lay_out
from calendar_tui.nature.layouts.whole_places import dealt
from calendar_tui.season.refusal import Refusal
from calendar_tui.season.trials import LIGHT, SPACING, Trial, level_spacing

# Plots of a trial that a person still finds their way among, and that a season keeps quick (placeholder).
MOST_PLOTS = 2000


class PlaceOfTrial(NamedTuple):
    """A place, and the level of light that it gets; "" where light is no factor."""

    light: str
    level: str


class DrawnPlot(NamedTuple):
    """A plot of a place. like: the plot whose plants it has: itself, of a guard plot the nearest that is none. ground: at its spacing."""

    of: PlaceOfTrial
    placed: Placed
    like: Placed
    ground: Ground

    @property
    def is_guard(self) -> bool:
        return not self.placed.number

    @property
    def treatment(self) -> dict[str, str]:
        """Factor -> level, that of light first; of a guard plot none."""
        own = dict(self.placed.plot.treatment)
        return {LIGHT: self.of.level, **own} if self.of.level and not self.is_guard else own

    @property
    def grown(self) -> dict[str, str]:
        """Factor -> level, by which its plants are chosen and planted."""
        return dict(self.like.plot.treatment)


def with_light_drawn(trial: Trial) -> Trial:
    """The trial with the places that its levels of light get by the draw, with the seed after those of its plots.

    Raises Refusal where no seed is set.
    """
    if not trial.draw_light_among:
        return trial
    seed = wanted_of(trial).seed + len(trial.draw_light_among)
    return replace(trial, places=dealt(trial.draw_light_levels, trial.draw_light_among, seed))


def with_light(trial: Trial) -> Trial:
    """The trial with the places of its levels of light as they are written, or before that as they will be drawn. Raises Refusal."""
    return trial if trial.places else with_light_drawn(trial)


def places_of(trial: Trial) -> list[PlaceOfTrial]:
    """Where it grows. Raises Refusal where no place is set."""
    by_level = [
        PlaceOfTrial(light, level) for level, lights in with_light(trial).places.items() for light in lights
    ]
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
        numbered = [one for one in plots if one.number]
        for one in plots:
            like = one if one.number else _nearest(one, numbered)
            spacing = dict(like.plot.treatment).get(SPACING, "")
            drawn.append(DrawnPlot(place, one, like, ground_of(trial, spacing)))
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


def _nearest(guard: Placed, numbered: Sequence[Placed]) -> Placed:
    """Of several as near the one with the lowest number."""
    return min(
        numbered,
        key=lambda one: (abs(one.row - guard.row) + abs(one.column - guard.column), one.number),
    )
