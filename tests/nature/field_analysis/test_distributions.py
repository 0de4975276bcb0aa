"""Tails of distributions and the studentized range, against published tables and against SciPy."""

from __future__ import annotations

import math

import pytest
from hypothesis import given
from hypothesis import strategies as st

from calendar_tui.nature.field_analysis.distributions import (
    chi_square_tail,
    f_tail,
    normal_tail,
    t_of_two_tails,
    t_two_tails,
)
from calendar_tui.nature.field_analysis.studentized_range import range_of_tail, range_tail

DF = st.one_of(st.integers(1, 500).map(float), st.floats(1, 200))


@pytest.mark.parametrize(
    ("k", "df", "q"), [(3, 10, 3.8768), (4, 20, 3.9583), (5, 10, 4.6543), (6, 20, 4.4452), (3, 60, 3.3987)]
)
def test_the_table_of_the_studentized_range_at_5_percent(k: int, df: int, q: float) -> None:
    """Tables of the upper 5 % points, such as Harter 1960 (Ann. Math. Stat. 31:1122)."""
    assert range_of_tail(0.05, k, df) == pytest.approx(q, abs=0.0001)


@pytest.mark.parametrize(("df", "t"), [(1, 12.706), (4, 2.776445), (10, 2.228), (45, 2.014), (120, 1.980)])
def test_the_table_of_t_at_5_percent(df: int, t: float) -> None:
    """Fisher and Yates 1938, table III, as every handbook prints it."""
    assert t_of_two_tails(0.05, df) == pytest.approx(t, abs=0.0006)


def test_two_means_are_the_t_test() -> None:
    """The range of two is root 2 times t."""
    for df in (1, 2.5, 7, 30):
        for t in (0.1, 1.0, 3.0, 9.0):
            assert range_tail(t * math.sqrt(2), 2, df) == pytest.approx(
                t_two_tails(t, df), rel=1e-9, abs=1e-13
            )


def test_nothing_is_over_a_far_value_and_all_is_over_none() -> None:
    assert f_tail(0.0, 3, 5) == t_two_tails(0.0, 5) == range_tail(0.0, 3, 5) == chi_square_tail(0.0, 4) == 1.0
    assert f_tail(1e9, 3, 50) < 1e-90
    assert range_tail(200.0, 4, 30) == pytest.approx(0, abs=1e-15)


@pytest.mark.needs("scipy")
@given(x=st.floats(1e-3, 80), df1=DF, df2=DF)
def test_tails_are_those_of_scipy(x: float, df1: float, df2: float) -> None:
    from scipy import stats

    near = {"rel": 1e-9, "abs": 1e-14}
    assert f_tail(x, df1, df2) == pytest.approx(stats.f.sf(x, df1, df2), **near)
    assert t_two_tails(x, df2) == pytest.approx(2 * stats.t.sf(x, df2), **near)
    assert chi_square_tail(x, df1) == pytest.approx(stats.chi2.sf(x, df1), **near)
    assert normal_tail(x / 10) == pytest.approx(stats.norm.sf(x / 10), **near)


@pytest.mark.needs("scipy")
@given(share=st.floats(1e-6, 0.999), df=DF)
def test_the_t_of_a_tail_is_that_of_scipy(share: float, df: float) -> None:
    from scipy import stats

    assert t_of_two_tails(share, df) == pytest.approx(stats.t.isf(share / 2, df), rel=1e-8)


@pytest.mark.quick(12)
@pytest.mark.needs("scipy")
@pytest.mark.parametrize("k", [2, 3, 6, 24])
@pytest.mark.parametrize("df", [1, 2, 4.7, 10, 31, 500])
def test_the_studentized_range_is_that_of_scipy(k: int, df: float) -> None:
    from scipy import stats

    for q in (0.5, 2.0, 3.5, 6.0, 30.0):
        assert range_tail(q, k, df) == pytest.approx(stats.studentized_range.sf(q, k, df), abs=1e-12)
    assert range_tail(range_of_tail(0.05, k, df), k, df) == pytest.approx(0.05, abs=1e-10)
