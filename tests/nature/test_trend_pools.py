"""Several bags of one day and position, as trials have them: pooled, and still the same model."""

from __future__ import annotations

from collections.abc import Sequence

import numpy as np
import pytest
from numpy.typing import NDArray
from test_trend_vectors import C, results_of

from calendar_tui.nature.cannabinoid_trend.curve_fit import (
    NOISES,
    fit,
    left_out,
    position_belief,
    shape,
    shared,
)
from calendar_tui.nature.cannabinoid_trend.prior import TOTAL_THC
from calendar_tui.nature.cannabinoid_trend.results import Result, log_value, measured


def spread_over_plots() -> list[Result]:
    """Bags of plots: several of a day, position and laboratory, of which some lie below the limit in part."""
    rows = [
        measured(row.day, "top", row.high * (0.9 + 0.07 * plot)) for row in results_of(C) for plot in range(4)
    ]
    below_limit = [
        Result(20, "top", 0.03, 0.07),
        Result(20, "top", 0.05, 0.09),
        Result(27, "middle", 0.06, 0.10),
    ]
    return [*rows, *below_limit, measured(34, "middle", 0.15, "other"), measured(34, "middle", 0.16, "other")]


def covariance_of_each(rows: Sequence[Result], noise: float) -> NDArray[np.float64]:
    """Every result with every other one, by the model as the prior's page has it and without pools."""
    out = np.diag([noise**2 + log_value(row)[1] for row in rows])
    for i, one in enumerate(rows):
        for j, other in enumerate(rows):
            week = TOTAL_THC.week_ratio**2 * np.exp(-abs(one.day - other.day) / TOTAL_THC.week_days)
            out[i, j] += shared(TOTAL_THC, one, other, rows) + noise**2 * week
    return out


def test_results_of_one_day_pooled_are_the_same_model_as_each_for_itself() -> None:
    """Against SciPy's multivariate normal over all results one by one."""
    stats = pytest.importorskip("scipy.stats")
    rows = spread_over_plots()
    fitted = fit(rows, TOTAL_THC)
    levels = np.array([position_belief(TOTAL_THC, row.position).mean for row in rows])
    middle = np.array([log_value(row)[0] for row in rows]) - levels - TOTAL_THC.plateau_log.mean
    curves = shape(np.array([row.day for row in rows]), fitted.curves)
    before = fitted.curves.log_weight
    logs = np.array(
        [
            stats.multivariate_normal(cov=covariance_of_each(rows, noise)).logpdf(
                (middle[:, None] - curves).T
            )
            + before
            - NOISES[at] ** 2 / 2
            for at, noise in enumerate(fitted.noise)
        ]
    )
    weight = np.exp(logs - logs.max())
    assert fitted.weight == pytest.approx(weight / weight.sum(), rel=1e-6, abs=1e-15)


def test_a_result_of_a_pool_left_out_is_foretold_as_by_the_inverse_of_all() -> None:
    rows = spread_over_plots()
    fitted = fit(rows, TOTAL_THC)
    for n, noise in enumerate(fitted.noise.tolist()):
        inverse = np.linalg.inv(covariance_of_each(rows, noise))
        assert [left_out(fitted, at)[1][n, 0] for at in range(len(rows))] == pytest.approx(np.diag(inverse))


def test_the_work_of_a_fit_goes_by_days_and_not_by_bags() -> None:
    rows = [
        measured(row.day, "top", row.high * (1 + plot / 1000)) for row in results_of(C) for plot in range(200)
    ]
    fitted = fit(rows, TOTAL_THC)
    assert len(fitted.results) == 200 * len(results_of(C))
    assert fitted.inverse.shape[1:] == (len(results_of(C)),) * 2
    assert fitted.pull.shape[1] == len(results_of(C))
