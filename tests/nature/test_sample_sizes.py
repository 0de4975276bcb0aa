"""How widely the result of a bag scatters, by its plants (computed)."""

import pytest
from hypothesis import given
from hypothesis import strategies as st

from calendar_tui.nature.sample_sizes import plants_for_error, plants_of_lot, plants_to_meet_one, pooled_cv


@pytest.mark.parametrize(
    ("cv", "by_plants"),
    [
        (25, {1: 26.0, 3: 16.1, 5: 13.2, 10: 10.6, 20: 9.0}),
        (15, {1: 16.6, 3: 11.2, 5: 9.7, 10: 8.5, 20: 7.8}),
        (8, {1: 10.7, 3: 8.4, 5: 7.9, 10: 7.5, 20: 7.3}),
    ],
)
def test_the_spread_of_one_pooled_result(cv, by_plants):
    """Sub-sample and laboratory 5 % each (computed)."""
    assert {k: round(pooled_cv(cv, k, 5, 5), 1) for k in by_plants} == by_plants


def test_two_bags_of_five_beat_one_of_ten():
    """9.4 against 10.6 % (computed)."""
    assert round(pooled_cv(25, 5, 5, 5, bags=2), 1) == 9.4
    assert round(pooled_cv(25, 10, 5, 5), 1) == 10.6


@pytest.mark.parametrize(
    ("cv", "error", "plants"),
    [(25, 15, (11, 14)), (25, 10, (25, 27)), (15, 15, (4, 7)), (15, 10, (9, 12)), (35, 15, (21, 24))],
)
def test_plants_for_a_mean_within_an_error_by_a_known_spread_and_by_their_own(cv, error, plants):
    """95 % sure (computed)."""
    assert plants_for_error(cv, error) == plants


@pytest.mark.parametrize(("share", "plants"), [(1, 299), (5, 59), (10, 29)])
def test_plants_to_meet_one_that_is_over_the_limit(share, plants):
    """95 % sure: ln 0.05 / ln(1 - i), such as 298.07 and 28.43, up to the next plant (computed)."""
    assert plants_to_meet_one(share) == plants


@pytest.mark.parametrize(("acres", "plants"), [(11, 11), (20, 19), (50, 43), (173, 110)])
def test_plants_to_cut_of_a_lot_by_its_acres(acres, plants):
    """The scheme of the USDA (memory): n0 / (1 + (n0 - 1) / N) with n0 = 299; 10.65, 18.82, 42.96 and 109.82 (computed)."""
    assert plants_of_lot(acres) == plants


@given(st.integers(1, 5000))
def test_a_larger_lot_never_needs_fewer_plants_and_never_more_than_a_large_one(acres):
    assert plants_of_lot(acres) <= plants_of_lot(acres + 1) <= plants_to_meet_one(1)


def test_a_lot_without_an_acre_is_named():
    with pytest.raises(ValueError, match="acres is 0; it must be 1 or more"):
        plants_of_lot(0)


@pytest.mark.parametrize("share", [0, 100, -1])
def test_a_share_that_makes_no_sense_is_named(share):
    with pytest.raises(ValueError, match="over 0 and under 100"):
        plants_to_meet_one(share)


@given(st.floats(1, 60), st.integers(1, 50))
def test_more_plants_never_widen_a_result(cv, plants):
    assert pooled_cv(cv, plants + 1, 5, 5) <= pooled_cv(cv, plants, 5, 5)


def test_figures_that_make_no_sense_are_named():
    with pytest.raises(ValueError, match="plants is 0; it must be over 0"):
        pooled_cv(25, 0, 5, 5)
