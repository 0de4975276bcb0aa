"""The response to rates, dates and densities, and where an optimum is given."""

from __future__ import annotations

import numpy as np
import pytest
from published_trials import OATS, laid_out, plots_of, published

from calendar_tui.nature.field_analysis.designs import BLOCKS, COMPLETE
from calendar_tui.nature.field_analysis.plots import Plots, cells_of
from calendar_tui.nature.field_analysis.response import (
    FEW,
    FLAT,
    LINEAR,
    NO_CURVE,
    OUTSIDE,
    POOR_FIT,
    QUADRATIC,
    REST,
    TOP,
    Response,
    density,
    response,
)
from calendar_tui.nature.field_analysis.sums import SumsFit


def of_blocks(plots: Plots, factor: str, block: str) -> Response:
    fit = SumsFit(plots, laid_out(BLOCKS, block=block, treatment=factor).terms())
    p = next(s.p for s in fit.sources if s.term.factors == (factor,))
    found = response(fit, cells_of(plots, (factor,)), p, 0.05)
    assert found is not None
    return found


def made(means: dict[str, float], noise: float = 0.1) -> Response:
    """Three blocks, whose plots lie noise apart."""
    rows = [
        {"block": str(b), "x": x, "y": y + (b - 1) * 3 + noise * (1, -1, 0.5, -0.5)[(n + b) % 4]}
        for b in range(3)
        for n, (x, y) in enumerate(means.items())
    ]
    return of_blocks(plots_of(rows, "y"), "x", "block")


def test_nitrogen_in_yates_oats_is_a_straight_line() -> None:
    """Page `oats` of MASS: linear F 110.323 of SS 19536.4; the two others together SS 484, F 1.367."""
    plots = published("yates.oats", "yield")
    found = response(SumsFit(plots, OATS.terms()), cells_of(plots, ("nitro",)), 2.5e-12, 0.05)
    assert found is not None
    parts = {part.name: part for part in found.parts}
    assert parts[LINEAR].f == pytest.approx(110.323, abs=1e-3)
    assert parts[LINEAR].p == pytest.approx(1.09e-13, rel=1e-2)
    assert parts[LINEAR].f * 177.0833 == pytest.approx(19536.4, rel=1e-5)
    assert (parts[QUADRATIC].f + parts[REST].f) / 2 == pytest.approx(1.367, abs=1e-3)
    assert (found.optimum, found.why_none) == (None, NO_CURVE)


def test_seed_rates_have_no_optimum() -> None:
    """Gomez and Gomez 1984: the parabola's top is at 29 kg, near the lowest rate, and F is not significant."""
    found = of_blocks(published("gomez.seedrate", "yield"), "rate", "rep")
    assert found.turn is not None
    assert found.turn.x == pytest.approx(29.15, abs=0.005)
    assert (found.optimum, found.why_none) == (None, FLAT)


def test_a_top_inside_the_levels_is_given() -> None:
    found = made({"1": 10, "2": 14.2, "3": 15.8, "4": 14.1, "6": 0.2}, noise=0.8)
    assert found.optimum is not None
    assert found.optimum.which == TOP
    assert found.optimum.x == pytest.approx(2.9, abs=0.1)


@pytest.mark.parametrize(
    ("means", "why"),
    [
        ({"1": 1.0, "2": 4.0, "3": 6.5, "4": 8.5}, OUTSIDE),
        ({"1": 1.0, "2": 2.0, "3": 3.0, "4": 4.0}, NO_CURVE),
        ({"1": 1.0, "2": 9.0, "3": 2.0, "4": 9.0, "5": 1.0}, POOR_FIT),
        ({"1": 1.0, "2": 9.0}, FEW),
    ],
)
def test_an_optimum_is_not_given_without_ground(means: dict[str, float], why: str) -> None:
    found = made(means)
    assert (found.optimum, found.why_none) == (None, why)


def test_dates_are_days_of_delay() -> None:
    found = made({"2027-05-11": 9, "2027-05-25": 8, "2027-06-08": 7, "2027-07-06": 5})
    assert (found.x, found.from_date) == ((0, 14, 28, 56), "2027-05-11")
    assert found.slope[0] == pytest.approx(-1 / 14, rel=0.05)


def test_words_have_no_response() -> None:
    rows = [{"x": x, "y": y} for x in ("low", "2") for y in (1.0, 2.0)]
    plots = plots_of(rows, "y")
    fit = SumsFit(plots, laid_out(COMPLETE, treatment="x").terms())
    assert response(fit, cells_of(plots, ("x",)), 0.01, 0.05) is None


@pytest.mark.parametrize(
    ("hybrid", "a", "k", "best"),
    [("Hy2x0h7", 0.782, 0.865, 6.875), ("R61x187-2", 0.998, 0.798, 4.441), ("WF9xB14", 1.067, 0.806, 4.647)],
)
def test_densities_of_maize(hybrid: str, a: float, k: float, best: float) -> None:
    """Carmer and Jackobs 1965, table 1."""
    plots = published("carmer.density", "yield")
    own = plots.kept([gen == hybrid for gen in plots.labels["gen"]])
    found = density(np.array(list(map(float, own.labels["pop"]))), own.values, is_significant=True)
    assert found is not None
    assert (found.a, found.k, found.best) == pytest.approx((a, k, best), abs=6e-4)


def test_a_yield_that_rises_with_every_density_has_no_best_one() -> None:
    x = np.array([1.0, 2, 3, 4])
    found = density(x, 2 * x, is_significant=True)
    assert found is not None
    assert found.best is None
    assert density(x[:2], x[:2], is_significant=True) is None
    assert density(x, x - 1, is_significant=True) is None


def test_no_best_density_where_the_means_are_not_shown_to_differ() -> None:
    x = np.array([2.0, 4, 6, 8])
    found = density(x, 0.8 * x * 0.865**x, is_significant=False)
    assert found is not None
    assert (found.best, found.why_none) == (None, FLAT)
    assert found.top == pytest.approx(-1 / np.log(0.865))
