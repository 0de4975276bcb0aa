"""How large a difference a trial can find."""

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from calendar_tui.nature.layouts.comparisons import Comparison, comparisons, df_of_places
from calendar_tui.nature.layouts.designs import (
    ALPHA,
    AUGMENTED,
    BLOCKS,
    COMPLETE,
    LATIN,
    SPLIT,
    SPLIT_SPLIT,
    STRIP,
    Wanted,
)
from calendar_tui.nature.layouts.detectable import chance_found, smallest_difference, t_quantile

DATES = ("date", ("D1", "D2", "D3"))
VARIETIES = ("variety", tuple("ABCDEF"))
SPACINGS = ("spacing", ("wide", "close"))


@pytest.mark.parametrize(("cv", "figures"), [(10, [22, 17, 21]), (20, [45, 35, 42]), (30, [67, 52, 64])])
def test_the_difference_that_four_of_five_trials_find(cv, figures):
    """4 treatments in 4 and in 6 blocks, 6 in 4; % of the mean (computed)."""
    sizes = [(4, 4), (4, 6), (6, 4)]
    differences = [smallest_difference(cv, blocks, (count - 1) * (blocks - 1)) for count, blocks in sizes]
    assert [round(one) for one in differences] == figures


@pytest.mark.parametrize("df", [1, 2, 3, 9, 15, 45, 300])
def test_a_second_library_gives_the_same_chances(df):
    stats = pytest.importorskip("scipy").stats
    critical = t_quantile(0.05, df)
    assert critical == pytest.approx(stats.t.ppf(0.975, df), rel=2e-6)
    for shift in (0.0, 1.0, 3.0):
        other = stats.nct.sf(critical, df, shift) + stats.nct.cdf(-critical, df, shift)
        assert chance_found(shift, critical, df) == pytest.approx(other, abs=2e-6)


def test_without_error_degrees_of_freedom_there_is_no_test():
    assert smallest_difference(10, 4, 0) is None


@pytest.mark.slow
@settings(max_examples=15)
@given(st.floats(1, 60), st.integers(2, 8), st.integers(1, 40))
def test_more_plots_and_more_degrees_of_freedom_find_smaller_differences(cv, plots, df):
    least = smallest_difference(cv, plots, df)
    assert smallest_difference(cv, plots + 1, df) < least
    assert smallest_difference(cv, plots, df + 1) < least


@pytest.mark.parametrize(("cv", "plots"), [(0, 4), (-1, 4), (10, 0)])
def test_a_cv_or_a_number_of_plots_that_is_not_over_0_is_refused(cv, plots):
    with pytest.raises(ValueError, match="both must be over 0"):
        smallest_difference(cv, plots, 9)


def wanted(design, *factors, blocks=4, **more):
    return Wanted(design=design, factors=factors, blocks=blocks, seed=1, **more)


@pytest.mark.parametrize(
    ("trial", "compared"),
    [
        (wanted(COMPLETE, VARIETIES), [Comparison("variety", 4, 18)]),
        (wanted(BLOCKS, VARIETIES), [Comparison("variety", 4, 15)]),
        (
            wanted(BLOCKS, DATES, SPACINGS),
            [Comparison("date", 8, 15), Comparison("spacing", 12, 15), Comparison("date x spacing", 4, 15)],
        ),
        (wanted(LATIN, VARIETIES, blocks=6), [Comparison("variety", 6, 20)]),
        (wanted(SPLIT, DATES, SPACINGS), [Comparison("date", 8, 6, True), Comparison("spacing", 12, 9)]),
        (
            wanted(SPLIT_SPLIT, DATES, SPACINGS, VARIETIES),
            [
                Comparison("date", 48, 6, True),
                Comparison("spacing", 72, 9, True),
                Comparison("variety", 24, 90),
            ],
        ),
        (
            wanted(STRIP, DATES, SPACINGS),
            [Comparison("date", 8, 6, True), Comparison("spacing", 12, 3, True)],
        ),
        (
            wanted(AUGMENTED, ("variety", tuple("ABCDefghijkl")), blocks=3, checks=tuple("ABCD")),
            [
                Comparison("variety, checks", 3, 6),
                Comparison("variety, new ones in one block", 1, 6),
                Comparison("variety, new ones in two blocks", 0.8, 6),
            ],
        ),
    ],
)
def test_each_factor_is_held_against_the_error_of_its_own_plots(trial, compared):
    assert comparisons(trial) == compared


def test_the_standard_errors_of_new_ones_are_those_of_a_published_augmented_design():
    """Federer 1956: error mean square 26.9722; 7.3447 in one block, 8.2116 in two."""
    trial = wanted(AUGMENTED, ("variety", tuple("ABCDefghijkl")), blocks=3, checks=tuple("ABCD"))
    errors = [round((2 * 26.9722 / one.plots) ** 0.5, 4) for one in comparisons(trial)]
    assert errors == [4.2405, 7.3447, 8.2116]


def test_an_alpha_design_compares_as_well_as_fewer_complete_blocks():
    names = tuple(f"V{number}" for number in range(24))
    (one,) = comparisons(wanted(ALPHA, ("variety", names), blocks=3, block_size=4))
    assert one.error_df == 72 - 24 - 18 + 1
    assert one.plots == pytest.approx(3 * 0.7265, abs=0.002)


@pytest.mark.parametrize(("levels", "places", "df"), [(2, 1, 0), (2, 2, 2), (3, 4, 9)])
def test_a_place_is_the_unit_of_its_light(levels, places, df):
    assert df_of_places(levels, places) == df
