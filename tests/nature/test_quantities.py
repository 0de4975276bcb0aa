"""Counts of plants, seeds, trays and cuttings, and fresh weight for dry.

The expected figures are worked out by hand from the definitions (area over the product of the spacings; a target
over the product of the shares), not from an outside source; an acre is 43,560 square feet and a foot 0.3048 m exactly
(NIST Handbook 44, value from memory).
"""

import pytest
from hypothesis import given
from hypothesis import strategies as st

from calendar_tui.nature.quantities import (
    area_of_plants_m2,
    cuttings_needed,
    plants_per_area,
    seeds_needed,
    trays,
    wet_to_dry,
)

FOOT_M = 0.3048
ACRE_M2 = 43_560 * FOOT_M**2
PER_ACRE = [
    (3, 3, 4840),
    (4, 4, 2722),
    (5, 4, 2178),
    (5, 5, 1742),
    (6, 3, 2420),
    (6, 4, 1815),
    (6, 6, 1210),
    (2.5, 2, 8712),
]


@pytest.mark.parametrize(("rows_ft", "in_row_ft", "plants"), PER_ACRE)
def test_plants_to_an_acre(rows_ft, in_row_ft, plants):
    assert plants_per_area(ACRE_M2, rows_ft * FOOT_M, in_row_ft * FOOT_M) == plants


def test_a_spacing_that_divides_the_area_loses_no_plant_to_rounding():
    assert plants_per_area(180, 1.5, 0.6) == 200
    assert plants_per_area(0.9, 0.3, 0.1) == 30


@given(st.integers(1, 10_000), st.floats(0.1, 6), st.floats(0.1, 6))
def test_the_area_of_plants_holds_just_them(plants, rows, in_row):
    assert plants_per_area(area_of_plants_m2(plants, rows, in_row), rows, in_row) == plants


def test_seeds_for_five_hundred_plants():
    assert seeds_needed(500, 0.90, 0.92, 0.95, 1.0) == 636
    assert seeds_needed(500, 0.90, 0.92, 0.95, 0.5) == 1272


def test_a_whole_number_of_seeds_is_not_raised_by_rounding():
    assert seeds_needed(63, 0.9) == 70
    assert seeds_needed(7, 0.7, 0.1) == 100


def test_trays_are_whole():
    assert [trays(n, 72) for n in (0, 1, 72, 73, 636)] == [0, 1, 1, 2, 9]


def test_cuttings():
    assert cuttings_needed(100, 0.8, 0.95) == 132  # 131.6
    assert cuttings_needed(100, 1.0) == 100


@pytest.mark.parametrize(("wet", "dry", "ratio"), [(0.75, 0.10, 3.6), (0.80, 0.10, 4.5), (0.70, 0.12, 2.9)])
def test_fresh_weight_for_dry(wet, dry, ratio):
    assert round(wet_to_dry(wet, dry), 1) == ratio


@given(
    st.integers(1, 5000),
    st.floats(0.05, 1),
    st.floats(0.05, 1),
    st.floats(0.05, 1),
    st.sampled_from([0.5, 1.0]),
)
def test_the_seeds_are_enough_and_one_less_is_not(plants, germination, usable, survival, female):
    share = germination * usable * survival * female
    seeds = seeds_needed(plants, germination, usable, survival, female)
    assert seeds * share >= plants * (1 - 1e-8)
    assert (seeds - 1) * share < plants


@pytest.mark.parametrize("share", [0, -0.1, 1.1, float("nan")])
def test_a_share_out_of_range_is_named(share):
    with pytest.raises(ValueError, match=r"germination is .*over 0 and up to 1"):
        seeds_needed(100, share)
    with pytest.raises(ValueError, match="rooting is"):
        cuttings_needed(100, share)


def test_figures_that_make_no_sense_are_named():
    with pytest.raises(ValueError, match="in_row_m is 0"):
        plants_per_area(100, 1, 0)
    with pytest.raises(ValueError, match="cells is 0"):
        trays(100, 0)
    with pytest.raises(ValueError, match=r"moisture of 0.1 fresh and 0.8 dry"):
        wet_to_dry(0.1, 0.8)


def test_a_crop_as_dry_as_it_is_fresh_loses_nothing_and_one_of_water_alone_is_none():
    assert wet_to_dry(0.5, 0.5) == wet_to_dry(0, 0) == 1
    for fresh, dry in ((1, 0.1), (0.5, 0.6), (0.5, -0.1)):
        with pytest.raises(ValueError, match="give shares of water from 0 to under 1"):
            wet_to_dry(fresh, dry)
