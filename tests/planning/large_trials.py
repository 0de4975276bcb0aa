"""Generated trials of 192 plots (augmented: 188) in each design, drawn by the program, with values at every plot. Invented."""

from __future__ import annotations

import random
from collections.abc import Iterable
from dataclasses import replace
from datetime import date, timedelta

from calendar_tui.nature.layouts.designs import Wanted, draw_plots
from calendar_tui.planning.plan import Plan
from calendar_tui.season.observing import Observation, Variable
from calendar_tui.season.records import Season
from calendar_tui.season.trials import Trial, TrialPlot
from tests.planning.analysed_farm import plan_of
from tests.planning.farm import FARM, season_of

FIRST = date(2027, 1, 4)


def named(letter: str, count: int) -> tuple[str, ...]:
    return tuple(f"{letter}{n:02d}" for n in range(1, count + 1))


# Factors, blocks and what else each design takes.
DESIGNS = {
    "completely randomised": ({"a": named("a", 8), "b": named("b", 4)}, 6, {}),
    "blocks": ({"a": named("a", 8), "b": named("b", 6)}, 4, {}),
    "latin square": ({"a": named("a", 14)}, 14, {}),
    "split plot": ({"a": named("a", 6), "b": named("b", 8)}, 4, {}),
    "split-split plot": ({"a": named("a", 4), "b": named("b", 4), "c": named("c", 3)}, 4, {}),
    "strip plot": ({"a": named("a", 6), "b": named("b", 8)}, 4, {}),
    "augmented": ({"a": named("a", 116)}, 24, {"checks": named("a", 3)}),
    "alpha": ({"a": named("a", 64)}, 3, {"block_size": 8}),
}


def large_plan(design: str, gone: Iterable[int] = (), rounds: int = 1) -> Plan:
    """gone: plots without a value, by their place in the list."""
    factors, blocks, more = DESIGNS[design]
    drawn = draw_plots(Wanted(design=design, factors=tuple(factors.items()), blocks=blocks, seed=7, **more))
    trial = Trial(id="K1", design=design, factors=factors, blocks=blocks, place="F1", **more)
    plots = {
        f"K1-{n}": TrialPlot(
            id=f"K1-{n}",
            trial="K1",
            number=n,
            row=one.block,
            column=one.place + 1,
            block=one.block,
            main=(one.parts or (None,))[0],
            treatment=dict(one.treatment),
            place="F1",
        )
        for n, one in enumerate(drawn, 1)
    }
    rng, left_out = random.Random(design), {*gone}
    found = tuple(
        Observation(
            date=FIRST + timedelta(days=7 * k), at=name, variable="yield", value=f"{rng.gauss(20, 3):.2f}"
        )
        for k in range(rounds)
        for n, name in enumerate(plots)
        if n not in left_out
    )
    return plan_of(_with(season_of(FARM), trial, plots, found))


def _with(
    season: Season, trial: Trial, plots: dict[str, TrialPlot], found: tuple[Observation, ...]
) -> Season:
    variables = {"yield": Variable(id="yield", unit="kg")}
    return replace(season, trials={"K1": trial}, plots=plots, variables=variables, observations=found)
