"""LSD, Tukey and letters, against published and SciPy's figures."""

from __future__ import annotations

from itertools import combinations

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from published_trials import OATS, federer, laid_out, oats_with_gaps, plant_growth, published

from calendar_tui.nature.field_analysis.comparisons import Comparison, compare
from calendar_tui.nature.field_analysis.designs import AUGMENTED, BLOCKS, COMPLETE
from calendar_tui.nature.field_analysis.estimates import Estimates
from calendar_tui.nature.field_analysis.letters import letters
from calendar_tui.nature.field_analysis.plots import Plots, cells_of
from calendar_tui.nature.field_analysis.studentized_range import range_of_tail
from calendar_tui.nature.field_analysis.sums import SumsFit
from calendar_tui.nature.field_analysis.unbalanced import MixedFit


def oats(*factors: str) -> Comparison:
    plots = published("yates.oats", "yield")
    found = compare(SumsFit(plots, OATS.terms()), cells_of(plots, factors), 0.05)
    assert found is not None
    return found


def test_least_differences_of_yates_oats() -> None:
    """Yates 1935; t and the studentized range at 5 % times the errors of differences."""
    (gen,), (nitro,) = oats("gen").kinds, oats("nitro").kinds
    assert gen.lsd == pytest.approx((15.773, 15.773), abs=1e-3)
    assert nitro.lsd == pytest.approx((8.934, 8.934), abs=1e-3)
    assert nitro.tukey == pytest.approx((11.833, 11.833), abs=1e-3)


def test_differences_in_a_split_plot_are_told_by_what_differs() -> None:
    kinds = {kind.differing: kind for kind in oats("gen", "nitro").kinds}
    assert kinds[("nitro",)].sed[1] == pytest.approx(7.6830, abs=1e-4)
    assert kinds[("gen",)].sed[1] == pytest.approx(9.7150, abs=1e-4)
    assert kinds[("gen",)].df[0] == pytest.approx(30.231, abs=1e-3)
    assert set(kinds) == {("gen",), ("nitro",), ("gen", "nitro")}


def test_letters_of_nitrogen_in_yates_oats() -> None:
    nitro = oats("nitro")
    assert nitro.by_lsd[::-1] == ("a", "b", "c", "d")
    assert nitro.by_tukey[::-1] == ("a", "a", "b", "c")


def test_letters_by_insert_and_absorb() -> None:
    """Piepho 2004: A-C, B-D and A-D differ."""
    assert letters([4, 3, 2, 1], [(0, 2), (1, 3), (0, 3)]) == ("a", "ab", "bc", "c")
    assert letters([1, 2, 3], []) == ("a", "a", "a")


@given(
    means=st.lists(st.integers(0, 50), min_size=2, max_size=9),
    least=st.integers(1, 40),
    apart=st.sets(st.tuples(st.integers(0, 8), st.integers(0, 8)), max_size=12),
)
def test_means_share_a_letter_just_where_they_do_not_differ(
    means: list[int], least: int, apart: set[tuple[int, int]]
) -> None:
    pairs = list(combinations(range(len(means)), 2))
    different = {p for p in pairs if abs(means[p[0]] - means[p[1]]) > least or p in apart}
    found = letters(means, sorted(different))
    for i, j in pairs:
        assert bool({*found[i]} & {*found[j]}) == ((i, j) not in different)


def test_tukey_of_plant_growth() -> None:
    """R's page of TukeyHSD: 0.3909, 0.1980, 0.0120."""
    plots = plant_growth()
    fit = SumsFit(plots, laid_out(COMPLETE, treatment="group").terms())
    found = compare(fit, cells_of(plots, ("group",)), 0.05)
    assert found is not None
    assert found.tukey_p == pytest.approx((0.3909, 0.1980, 0.0120), abs=1e-4)
    (kind,) = found.kinds
    assert -0.371 - kind.tukey[0] == pytest.approx(-1.0622, abs=2e-4)
    assert -0.371 + kind.tukey[0] == pytest.approx(0.3202, abs=2e-4)


@pytest.mark.needs("scipy")
@settings(max_examples=8)
@given(seed=st.integers(0, 10_000), sizes=st.lists(st.integers(2, 6), min_size=2, max_size=5))
def test_tukey_of_unequal_numbers_is_that_of_scipy(seed: int, sizes: list[int]) -> None:
    from scipy import stats

    rng = np.random.default_rng(seed)
    groups = [rng.normal(n, 1, size) for n, size in enumerate(sizes)]
    labels = tuple(str(n) for n, size in enumerate(sizes) for _ in range(size))
    plots = Plots({"group": labels}, np.concatenate(groups))
    fit = SumsFit(plots, laid_out(COMPLETE, treatment="group").terms())
    found = compare(fit, cells_of(plots, ("group",)), 0.05)
    assert found is not None
    other = stats.tukey_hsd(*groups).pvalue
    pairs = zip(found.pairs.first, found.pairs.second, strict=True)
    assert found.tukey_p == pytest.approx([other[i, j] for i, j in pairs], abs=1e-9)


def test_seed_rates_have_the_least_difference_of_the_book() -> None:
    """Gomez and Gomez 1984: LSD 501.1."""
    plots = published("gomez.seedrate", "yield")
    fit = SumsFit(plots, laid_out(BLOCKS, block="rep", treatment="rate").terms())
    found = compare(fit, cells_of(plots, ("rate",)), 0.05)
    assert found is not None
    assert found.kinds[0].lsd[0] == pytest.approx(501.1, abs=0.05)


def test_new_lines_and_checks_differ_by_unequal_errors() -> None:
    """Federer 1956: checks; a new line and a check; new lines in one block and in two."""
    plots = federer()
    fit = MixedFit(plots, laid_out(AUGMENTED, block="block", treatment="gen"))
    found = compare(fit, cells_of(plots, ("gen",)), 0.05, by_plots=True)
    assert found is not None
    seds = {kind.plots: kind.sed for kind in found.kinds}
    assert seds[(3, 3)] == pytest.approx((4.2405, 4.2405), abs=1e-4)
    assert seds[(1, 3)] == pytest.approx((6.3607, 6.3607), abs=1e-4)
    assert seds[(1, 1)] == pytest.approx((7.3447, 8.2116), abs=1e-4)
    assert found.tukey_p is None, "twelve means have too many pairs for a chance each"


def test_a_factor_that_nothing_tests_has_no_errors() -> None:
    plots = published("yates.oats", "yield")
    fit = SumsFit(plots, OATS.terms())
    assert compare(fit, cells_of(plots, ("gen",)), 0.05, ("gen",)) is None
    within = compare(fit, cells_of(plots, ("gen", "nitro")), 0.05, ("gen",))
    assert within is not None
    assert [kind.differing for kind in within.kinds] == [("nitro",)]
    assert set(within.by_tukey) == {""}


def test_an_error_of_less_than_one_degree_of_freedom_tells_no_means_apart() -> None:
    class Scarce:
        def combined(self, cells: object, coefficients: np.ndarray) -> Estimates:
            count = len(coefficients)
            return Estimates(np.ones(count), np.ones(count), np.full(count, 0.2))

    plots = plant_growth()
    assert compare(Scarce(), cells_of(plots, ("group",)), 0.05) is None  # type: ignore[arg-type]


def test_tukey_takes_the_fewest_degrees_of_freedom_of_all_pairs() -> None:
    plots = oats_with_gaps()
    found = compare(MixedFit(plots, OATS._replace(interactions=False)), cells_of(plots, ("gen",)), 0.05)
    assert found is not None
    df = found.pairs.differences.df
    assert df.min() < df.max() - 0.1
    (kind,) = found.kinds
    assert kind.tukey[0] == pytest.approx(range_of_tail(0.05, 3, df.min()) * kind.sed[0] / 2**0.5)
    assert kind.tukey[1] == pytest.approx(range_of_tail(0.05, 3, df.min()) * kind.sed[1] / 2**0.5)
