"""Shares of a scatter: of sums they are the ratios of the variances."""

from __future__ import annotations

import pytest

from calendar_tui.nature.futures import FIGURES, deviations, shares
from calendar_tui.nature.sensitivity import variance_share

COUNT = 4000
WEIGHTS = dict(zip(FIGURES, (5, 1, 2, 4, 0.5, 3, 1, 6, 2, 0, 1.5, 2), strict=True))


def share_of(figure: str, outcome: list[float]) -> float:
    return variance_share(shares(figure, COUNT), outcome)


def test_shares_of_a_sum_are_the_ratios_of_variances() -> None:
    columns = {figure: deviations(figure, COUNT) for figure in FIGURES}
    outcome = [sum(WEIGHTS[f] * columns[f][i] for f in FIGURES) for i in range(COUNT)]
    total = sum(weight**2 for weight in WEIGHTS.values())
    for figure, weight in WEIGHTS.items():
        assert share_of(figure, outcome) == pytest.approx(weight**2 / total, abs=0.015), figure


def test_a_figure_alone_has_all_of_it_and_another_none() -> None:
    outcome = list(deviations("critical_h", COUNT))
    assert share_of("critical_h", outcome) == pytest.approx(1.0, abs=0.02)
    assert share_of("harvest_d", outcome) == pytest.approx(0.0, abs=0.01)


def test_a_curve_that_rises_on_both_sides_is_the_figures_own() -> None:
    outcome = [value * value for value in deviations("critical_h", COUNT)]
    assert share_of("critical_h", outcome) > 0.8  # its tails scatter within the outermost groups


def test_what_two_figures_do_together_is_in_neither_share() -> None:
    pairs = zip(deviations("critical_h", COUNT), deviations("harvest_d", COUNT), strict=True)
    outcome = [one * other for one, other in pairs]
    assert share_of("critical_h", outcome) < 0.03
    assert share_of("harvest_d", outcome) < 0.03


def test_what_is_always_the_same_is_shared_by_none() -> None:
    assert share_of("critical_h", [7.0] * COUNT) == 0.0
