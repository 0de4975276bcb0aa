"""Futures: the same every time, spread evenly, and with the percentiles that a figure's early and late values are."""

from __future__ import annotations

from itertools import combinations
from math import inf
from statistics import NormalDist, correlation, quantiles

import pytest
from hypothesis import given
from hypothesis import strategies as st

from calendar_tui.nature.futures import (
    COUNT,
    FIGURES,
    deviations,
    ends,
    middle,
    order,
    parted,
    shares,
    tenths,
    values,
)


@pytest.mark.parametrize("figure", FIGURES)
@pytest.mark.parametrize("count", [1, 50, 500])
def test_each_share_of_what_a_figure_may_be_is_taken_once(figure: str, count: int) -> None:
    assert sorted(shares(figure, count)) == pytest.approx([(n + 0.5) / count for n in range(count)])


@pytest.mark.parametrize("count", [50, 200, 500])
def test_no_two_figures_go_together(count: int) -> None:
    for one, other in combinations(FIGURES, 2):
        assert abs(correlation(shares(one, count), shares(other, count))) < 0.12, (one, other)


def test_the_values_are_those_of_a_normal_curve() -> None:
    """Against the quantiles of the standard library: sd 0.5 round 14.1 h."""
    z = NormalDist().inv_cdf(0.9)
    drawn = sorted(values("critical_h", (14.1 - 0.5 * z, 14.1, 14.1 + 0.5 * z)))
    curve = NormalDist(14.1, 0.5)
    assert drawn == pytest.approx([curve.inv_cdf((n + 0.5) / COUNT) for n in range(COUNT)])


@given(
    st.sampled_from(FIGURES),
    st.lists(st.floats(0, 90), min_size=3, max_size=3).map(sorted),
    st.sampled_from([50, 200, 500]),
)
def test_one_in_ten_is_below_the_early_value_and_one_in_ten_above_the_late(figure, span, count) -> None:
    early, likely, late = span
    drawn = values(figure, span, count)
    assert (
        sum(value < early for value in drawn) <= count / 10 <= sum(value <= early + 1e-9 for value in drawn)
        or early == likely
    )
    assert sum(value > late for value in drawn) <= count / 10 or late == likely
    assert sum(value < likely - 1e-9 for value in drawn) <= count / 2
    assert sum(value > likely + 1e-9 for value in drawn) <= count / 2


@given(st.lists(st.integers(0, 400), min_size=1, max_size=80))
def test_percentiles_lie_between_their_neighbours(days) -> None:
    early, late = tenths(days)
    assert min(days) <= early <= late <= max(days)
    assert sum(day < early for day in days) <= len(days) * 0.1 + 0.5
    assert sum(day > late for day in days) <= len(days) * 0.1 + 0.5


def test_percentiles_of_fifty_days_are_between_the_fifth_and_the_sixth_from_either_end() -> None:
    assert tenths(range(10, 510, 10)) == (55, 455)


def test_what_is_not_reached_is_later_than_all_that_is() -> None:
    assert tenths([inf] * 4 + [100] * 46) == (100, 100)
    assert tenths([inf] * 6 + [100] * 44) == (100, inf)
    assert tenths([inf] * 46 + [100] * 4) == (inf, inf)
    with pytest.raises(ValueError, match="no futures"):
        tenths([])


def test_deviations_are_one_at_the_late_value() -> None:
    """Between the sixth and the fifth largest lies the 90th percentile."""
    ranked = sorted(deviations("juvenile_d"))
    assert (ranked[44] + ranked[45]) / 2 == pytest.approx(1.0, abs=0.01)
    assert (ranked[4] + ranked[5]) / 2 == pytest.approx(-1.0, abs=0.01)
    assert quantiles(ranked, n=2) == pytest.approx([0.0], abs=0.01)


def test_an_order_has_each_future_once_and_the_first_is_as_it_is() -> None:
    assert order(0) == tuple(range(COUNT))
    for number in range(10):
        assert sorted(order(number)) == list(range(COUNT))
    assert order(8) == order(0)


def test_the_figures_of_two_varieties_do_not_go_together() -> None:
    for one, other in combinations(range(8), 2):
        for figure in ("critical_h", "width_h", "juvenile_d", "inductive_d", "flowering_d", "harvest_d"):
            taken = ([shares(figure)[n] for n in order(number)] for number in (one, other))
            assert abs(correlation(*taken)) < 0.25, (one, other, figure)


def test_percentiles_of_amounts_are_not_rounded() -> None:
    assert ends([n / 10 for n in range(50)]) == pytest.approx((0.45, 4.45))
    with pytest.raises(ValueError, match="no futures"):
        ends([])


def test_futures_are_parted_at_the_widest_gap_that_leaves_a_tenth_on_each_side() -> None:
    early, late = [100.0, 101.0, 102.0], [140.0] * 7
    assert parted((*late, *early), 14) == ((101.0, 3), (140.0, 7))
    assert parted((*late, *early), 39) == ()
    assert parted((100.0, *[140.0] * 19), 14) == ()  # one of twenty is under a tenth
    assert parted((100.0, 100.0, *[140.0] * 18), 14) == ((100.0, 2), (140.0, 18))
    assert parted(tuple(range(50)), 14) == parted((5.0,), 14) == parted((), 14) == ()


def test_what_is_not_reached_is_an_outcome_of_its_own() -> None:
    assert parted((*[100.0] * 6, *[inf] * 4), 14) == ((100.0, 6), (inf, 4))
    assert parted((inf,) * 10, 14) == ()


@pytest.mark.parametrize(("early", "end"), [(4, 113), (5, 10), (6, 11)])
def test_no_end_of_a_range_lies_where_nothing_comes(early: int, end: float) -> None:
    """Some of fifty futures come within some days, the rest three months later: the tenth part is of either, and not between."""
    days = [2.0 * n for n in range(1, early + 1)] + [110.0 + 2 * n for n in range(1, 51 - early)]
    assert tenths(days)[0] == end
    mirrored = tenths([200 - day for day in days])[1]
    assert mirrored == 200 - end


def test_an_end_between_a_future_that_comes_and_one_that_does_not() -> None:
    assert tenths([1.0] * 5 + [inf] * 45) == (1, inf)
    assert tenths([1.0] * 45 + [inf] * 5) == (1, inf)
    assert tenths([1.0] * 46 + [inf] * 4) == (1, 1)
    assert tenths([1.0] * 4 + [inf] * 46) == (inf, inf)


def test_the_middle_is_a_whole_day() -> None:
    assert middle([1.0, 2.0]) == 2
    assert middle([1.0, 2.0, inf]) == 2
    assert middle([1.0, inf]) == inf
