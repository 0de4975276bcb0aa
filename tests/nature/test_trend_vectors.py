"""The trend against published check values, a straight line, and what is published of the weeks of crossing."""

from __future__ import annotations

from math import sqrt

import numpy as np
import pytest

from calendar_tui.nature.cannabinoid_trend.bands import below
from calendar_tui.nature.cannabinoid_trend.curve_fit import curve_ahead, fit
from calendar_tui.nature.cannabinoid_trend.guess import day_reached, guess, share_reaching
from calendar_tui.nature.cannabinoid_trend.prior import TOTAL_THC, Belief
from calendar_tui.nature.cannabinoid_trend.results import Result, measured
from calendar_tui.nature.cannabinoid_trend.trend import (
    PositionTrend,
    Uncertainty,
    chance_acceptable,
    trend,
)

A = ([21, 28, 35, 42], {"top": [0.08, 0.14, 0.20, 0.24]})
B = (
    [18, 25, 32, 39, 46],
    {
        "top": [0.06, 0.12, 0.19, 0.18, 0.25],
        "middle": [0.05, 0.11, 0.17, 0.16, 0.22],
        "bottom": [0.05, 0.10, 0.15, 0.15, 0.20],
    },
)
C = ([20, 27, 34, 41, 48, 55], {"top": [0.07, 0.13, 0.19, 0.22, 0.23, 0.23]})
D = ([14, 21, 28], {"top": [0.04, 0.09, 0.16]})
LIMIT = 0.30

# Computed with the model of `prior.py`: 5, 50, 95 % of the curve, 5 and 95 % of a new result, chance over 0.30.
VECTORS = [
    ("A + 7 d", A, 49, False, (0.2237, 0.2831, 0.3622, 0.2147, 0.3691), 0.322),
    ("A + 14 d", A, 56, False, (0.2109, 0.3000, 0.4161, 0.2021, 0.4304), 0.485),
    ("D + 7 d", D, 35, False, (0.1942, 0.2568, 0.3400, 0.1875, 0.3491), 0.187),
    ("D + 14 d", D, 42, False, (0.2266, 0.3420, 0.5087, 0.2179, 0.5277), 0.690),
    ("C + 14 d", C, 69, False, (0.1591, 0.2239, 0.2809, 0.1528, 0.2912), 0.037),
    ("B + 7 d, top", B, 53, True, (0.1992, 0.2476, 0.3137, 0.1927, 0.3220), 0.108),
]


def results_of(vector: tuple[list[int], dict[str, list[float]]]) -> list[Result]:
    days, by_position = vector
    return [
        measured(day, name, value)
        for name, values in by_position.items()
        for day, value in zip(days, values, strict=True)
    ]


def top_of(
    vector: tuple[list[int], dict[str, list[float]]], *days: float, joint: bool = False
) -> PositionTrend:
    return trend(results_of(vector), days, LIMIT, joint=joint).positions[0]


@pytest.mark.parametrize(
    ("vector", "day", "joint", "edges", "over"),
    [row[1:] for row in VECTORS],
    ids=[row[0] for row in VECTORS],
)
def test_the_bands_are_those_of_the_check_values(vector, day, joint, edges, over) -> None:
    (band,) = top_of(vector, day, joint=joint).days
    assert band[1:6] == pytest.approx(edges, abs=0.001)
    assert band.p_over == pytest.approx(over, abs=0.001)


@pytest.mark.parametrize(
    ("vector", "joint", "days"),
    [
        (A, False, (43, 57, None)),
        (D, False, (33, 39, None)),
        (C, False, (None,) * 3),
        (B, True, (49, None, None)),
    ],
)
def test_the_days_on_which_the_limit_is_reached(vector, joint, days) -> None:
    assert top_of(vector, joint=joint).limit_days[1:] == days


@pytest.mark.parametrize(("laboratory", "chance"), [("", 0.888), ("another", 0.862)])
def test_a_result_less_its_uncertainty_is_acceptable_as_often_as_the_check_values_say(
    laboratory, chance
) -> None:
    fitted = fit(results_of(A), TOTAL_THC)
    got = chance_acceptable(fitted, "top", 49, LIMIT, Uncertainty(0.04), laboratory)
    assert got == pytest.approx(chance, abs=0.001)


def test_three_dates_are_provisional_and_four_are_not() -> None:
    assert top_of(D).provisional
    assert not top_of(A).provisional


# --- what the trend does not do


def straight_line(day: float) -> tuple[float, float, float]:
    """Least squares on vector A with its 90 % interval of t with 2 df, 2.919986 (closed form), for a new result."""
    days, values = np.array(A[0], float), np.array(A[1]["top"])
    slope, level = np.polyfit(days, values, 1)
    error = ((values - level - slope * days) ** 2).sum() / 2
    off = days - days.mean()
    t = 0.9 * sqrt(2 / (1 - 0.9**2))
    half = t * sqrt(error * (1 + 1 / 4 + (day - days.mean()) ** 2 / (off**2).sum()))
    at = level + slope * day
    return at - half, at, at + half


def test_a_straight_line_would_promise_another_band() -> None:
    """The line's check values hold; its band on day 56 holds none of the crops that have come to the top by then."""
    low, at, high = straight_line(49)
    assert (at, low, high) == pytest.approx((0.3000, 0.2642, 0.3358), abs=1e-4)
    assert straight_line(56) == pytest.approx((0.3105, 0.3540, 0.3975), abs=1e-4)
    slope, level = np.polyfit(A[0], A[1]["top"], 1)
    assert (LIMIT - level) / slope == pytest.approx(49.0, abs=0.05)
    assert top_of(A).limit_days[1:] == (43, 57, None)
    (band,) = top_of(A, 56).days
    assert band.result_low < 0.3105 - 0.1
    assert band.result_high > 0.3975
    assert band.likely < 0.3105


# --- how plausible the prior is


def test_half_of_the_crops_that_reach_the_limit_are_there_by_day_33() -> None:
    """Of all crops half are there by day 35, for one in eight never is."""
    limit, ever, half_by = guess(LIMIT)
    assert (limit, half_by) == (LIMIT, 33)
    assert ever == pytest.approx(0.874, abs=0.001)
    assert day_reached(LIMIT) == 35
    assert guess(20.0).half_by is None


@pytest.mark.parametrize(
    ("day", "source"),
    [
        (28, "Yang et al. 2020, read: over 0.3 % from week 4 in day-length sensitive cultivars"),
        (45, "Yang et al. 2020, read: weeks 6-7 in day-neutral ones"),
        (21, "south Florida thesis 2021, read: week 3 in one cultivar"),
        (42, "south Florida thesis 2021, read: weeks 5-7 in two others"),
        (
            41 - 14,
            "Linder et al. 2022, read: 41 d after initiation ('Cherry Wine'), less 14 d to flowering (memory)",
        ),
        (
            50 - 14,
            "Linder et al. 2022, read: 50 d after initiation ('BaOx'), less 14 d to flowering (memory)",
        ),
    ],
)
def test_published_days_of_crossing_lie_inside_the_guess(day, source) -> None:
    share = share_reaching(LIMIT)[day]
    assert 0.05 < share < 0.85, source


def test_a_higher_limit_is_reached_later() -> None:
    assert day_reached(0.2) < day_reached(0.3) < day_reached(0.35)
    assert day_reached(5.0) is None


def test_a_position_of_its_own_spread_reaches_a_high_limit_more_often_than_its_mean_alone_would() -> None:
    """Middle: the chance of 1.5 % on day 120, by the fit without results, whose curve has the position's spread in it."""
    fitted = fit([], TOTAL_THC)
    falls_not = 1 - below(curve_ahead(fitted, "middle", [120]), 1.5)[0]
    ever = share_reaching(1.5, position="middle")[-1]
    narrow = TOTAL_THC._replace(positions={"middle": Belief(-0.12, 0.0)})
    assert ever > falls_not
    assert ever > 1.1 * share_reaching(1.5, prior=narrow, position="middle")[-1]
