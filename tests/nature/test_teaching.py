"""What a record to come would teach, by trying every record it may be; and how well some records tell another."""

from __future__ import annotations

from datetime import date
from math import inf
from zoneinfo import ZoneInfo

import numpy as np
import pytest
from posteriors import posterior, starts_of

from calendar_tui.nature.looks import NEVER, Between, error_cdf, seen_on
from calendar_tui.nature.refit import (
    TAUGHT,
    Belief,
    Cohort,
    Grid,
    Type,
    Weights,
    by_scale,
    induction_days,
    margin,
    prior,
)
from calendar_tui.nature.sky import day_lengths_h
from calendar_tui.nature.teaching import days_outside, expected_left, likely_day, tail

FIRST, LAST = date(2027, 5, 20), date(2027, 11, 15)
NATURAL = day_lengths_h(35.8, -78.7, ZoneInfo("America/New_York"), FIRST, LAST)
SMALL = Grid((13.5, 14.0, 14.5), (1.0, 1.5), (20, 30), (6.0, 8.0, 10.0))
BEFORE = prior(Type(Belief(14.1, 0.5), Belief(1.3, 0.6), Belief(25.0, 7.0), Belief(8.0, 2.5)), SMALL)
STARTS = starts_of(42, SMALL)


def by_every_record(weights: Weights, felt: tuple[float, ...]) -> dict[str, float]:
    """The root of the expected variance, each record tried by the posterior itself."""
    days = induction_days(felt, STARTS, weights.grid)
    variance = dict.fromkeys(TAUGHT, 0.0)
    for day in range(len(felt)):
        apart = day - days.astype(float)
        seen = np.where(days == NEVER, 0.0, error_cdf(apart + 0.5) - error_cdf(apart - 0.5))
        likely = float((weights.share * seen).sum())
        after = posterior(weights, [Cohort(felt, STARTS, seen_on(day))])
        for figure in TAUGHT:
            variance[figure] += likely * margin(after, figure).sd ** 2
    return {figure: (variance[figure] ** 0.5) / margin(weights, figure).sd for figure in TAUGHT}


def test_what_a_record_is_expected_to_leave_is_the_mean_over_every_record_it_may_be():
    """Records before the first day and after the last are rare here, and left out of the sum by hand."""
    days = induction_days(NATURAL, STARTS, SMALL)
    found = expected_left(BEFORE, days, len(NATURAL))
    assert found == pytest.approx(by_every_record(BEFORE, NATURAL), abs=0.01)
    assert found["critical_h"] < 0.7
    assert all(0 < left <= 1 for left in found.values())


def test_a_cohort_that_is_never_induced_teaches_nothing():
    held = (16.0,) * 90
    days = induction_days(held, STARTS, SMALL)
    assert expected_left(BEFORE, days, len(held)) == pytest.approx(dict.fromkeys(TAUGHT, 1.0))
    assert likely_day(BEFORE, days, len(held)) is None


def test_the_likely_day_has_half_of_the_weight_on_or_before_it():
    days = induction_days(NATURAL, STARTS, SMALL)
    day = likely_day(BEFORE, days, len(NATURAL))
    assert BEFORE.share[days <= day].sum() >= 0.5 > BEFORE.share[days < day].sum()


def test_a_record_is_likely_on_its_day_and_not_a_month_off_on_either_side():
    one = by_scale(Weights(Grid((14.0,), (1.5,), (30,), (8.0,)), np.ones((1, 1, 1, 1))), ())
    days = np.full((1, 1, 1, 1), 100)
    assert tail(one, days, seen_on(100)) == pytest.approx(0.57, abs=0.01)
    assert tail(one, days, seen_on(130)) < 1e-3
    assert tail(one, days, seen_on(70)) < 1e-3
    assert tail(one, days, Between(90, inf)) > 0.97
    assert tail(one, days, Between(110, inf)) < 0.03
    assert tail(one, np.full((1, 1, 1, 1), NEVER), seen_on(100)) == 0


def test_days_outside_of_the_range_by_a_hand_made_heap():
    """Ten figures of one weight, induced on the days 100 to 109: the 10th percentile is day 100, the 90th day 108."""
    grid = Grid((13.5, 14.0, 14.5, 15.0, 15.5), (1.0, 1.5), (30,), (8.0,))
    one = by_scale(Weights(grid, np.full((5, 2, 1, 1), 0.1)), ())
    days = np.arange(100, 110).reshape(5, 2, 1, 1)
    assert [days_outside(one, days, seen_on(day)) for day in (86, 99, 100, 108, 109, 122)] == [
        14,
        1,
        0,
        0,
        1,
        14,
    ]
    assert days_outside(one, days, Between(115, inf)) == 8
    assert days_outside(one, days, Between(-inf, 90)) == 10
    assert days_outside(one, days, Between(95, 130)) == 0


def test_where_some_are_never_induced_no_record_is_after_the_range():
    grid = Grid((13.5, 14.0, 14.5, 15.0, 15.5), (1.0, 1.5), (30,), (8.0,))
    one = by_scale(Weights(grid, np.full((5, 2, 1, 1), 0.1)), ())
    days = np.array([*range(100, 108), NEVER, NEVER]).reshape(5, 2, 1, 1)
    assert days_outside(one, days, seen_on(150)) == 0
    assert days_outside(one, days, seen_on(90)) == 10
