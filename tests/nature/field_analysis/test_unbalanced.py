"""Trials with gaps and of incomplete blocks, by REML and least squares, against published and other programs' figures."""

from __future__ import annotations

from itertools import combinations

import numpy as np
import pytest
from published_trials import OATS, federer, laid_out, oats_with_gaps, published

from calendar_tui.nature.field_analysis.designs import ALPHA, AUGMENTED, BLOCKS, COMPLETE
from calendar_tui.nature.field_analysis.plots import Cells, Floats, Plots, cells_of
from calendar_tui.nature.field_analysis.reml import _together, fit_mixed
from calendar_tui.nature.field_analysis.sums import SumsFit, is_orthogonal
from calendar_tui.nature.field_analysis.unbalanced import MixedFit, NotSeparable, missing_combinations


def pairs(cells: Cells) -> Floats:
    rows = []
    for i, j in combinations(range(len(cells.levels)), 2):
        row = np.zeros(len(cells.levels))
        row[i], row[j] = 1, -1
        rows.append(row)
    return np.array(rows)


def treatment_coded(plots: Plots, *factors: str) -> Floats:
    """The mean and each level but the first, with all products: the columns that R takes."""
    columns = np.ones((len(plots), 1))
    for name in factors:
        own = np.column_stack((np.ones(len(plots)), cells_of(plots, (name,)).indicator()[:, 1:]))
        columns = (columns[:, :, None] * own[:, None, :]).reshape(len(plots), -1)
    return columns


def test_yates_oats_by_reml() -> None:
    """Variances and likelihood as lme4, statsmodels and the mean squares have them."""
    plots = published("yates.oats", "yield")
    model = MixedFit(plots, OATS).model
    assert model.variances == pytest.approx([214.477, 106.062, 177.083], abs=1e-3)
    random = [cells_of(plots, names).indicator() for names in (("block",), ("block", "gen"))]
    coded = fit_mixed(plots.values, treatment_coded(plots, "gen", "nitro"), random)
    assert coded.log_likelihood == pytest.approx(-264.5143, abs=1e-4)
    assert coded.variances == pytest.approx(model.variances, rel=1e-6)


def test_reml_and_sums_agree_where_nothing_is_missing() -> None:
    plots = published("yates.oats", "yield")
    sums, reml = SumsFit(plots, OATS.terms()), MixedFit(plots, OATS)
    for source in reml.sources:
        other = next(s for s in sums.sources if s.term == source.term)
        assert (source.f, source.error_df, source.p) == pytest.approx(
            (other.f, other.error_df, other.p), rel=1e-6
        )
    for factors in (("gen",), ("nitro",), ("gen", "nitro")):
        cells = cells_of(plots, factors)
        for one, other in zip(
            reml.combined(cells, pairs(cells)), sums.combined(cells, pairs(cells)), strict=True
        ):
            assert one == pytest.approx(other, rel=1e-6)


def test_oats_with_nine_plots_missing() -> None:
    """The vignette of R's package emmeans has these means, and by Kenward and Roger SE 7.29 7.14 7.14 7.07."""
    plots = oats_with_gaps()
    assert not is_orthogonal(plots, OATS.terms())
    fit = MixedFit(plots, OATS._replace(interactions=False))
    assert fit.model.variances == pytest.approx([209.440, 76.285, 180.492], abs=1e-3)
    means = fit.means(cells_of(plots, ("nitro",)))
    assert means.value == pytest.approx([78.892, 97.034, 114.198, 124.069], abs=1e-3)
    assert means.se[0] == pytest.approx(7.281, abs=1e-3)
    assert means.df == pytest.approx([7.284, 6.715, 6.716, 6.493], abs=1e-3)
    gen = cells_of(plots, ("gen",))
    differences = fit.combined(gen, pairs(gen)[:2])
    assert differences.value == pytest.approx([-3.229, 8.306], abs=1e-3)
    assert differences.se == pytest.approx([6.546, 6.674], abs=1e-3)
    assert differences.df == pytest.approx([8.69, 8.93], abs=0.01)


def test_an_alpha_design() -> None:
    """John and Williams 1995; figures of the page john.alpha of agridat, whose means are those of the first replicate."""
    plots = published("john.alpha", "yield")
    fit = MixedFit(plots, laid_out(ALPHA, replicate="rep", block="block", treatment="gen"))
    assert fit.model.variances == pytest.approx([0.06194, 0.08523], abs=1e-5)
    gen = cells_of(plots, ("gen",))
    first_replicate = fit.model.effects[1]
    assert fit.means(gen).value[:2] + first_replicate == pytest.approx([5.146433, 4.517265], abs=1e-6)
    assert (fit.combined(gen, pairs(gen)).se ** 2).mean() == pytest.approx(0.07010875, abs=1e-8)


def test_an_alpha_design_with_random_replicates() -> None:
    """Burgueño et al. 2000, page burgueno.alpha of agridat: 200900, 86900, 133200."""
    plots = published("burgueno.alpha", "yield")
    random = [cells_of(plots, names).indicator() for names in (("rep",), ("rep", "block"))]
    model = fit_mixed(plots.values, treatment_coded(plots, "gen"), random)
    assert model.variances == pytest.approx([200856, 86896, 133217], rel=1e-5)


def test_augmented_blocks() -> None:
    """Federer 1956: adjusted means, and four kinds of differences."""
    plots = federer()
    fit = MixedFit(plots, laid_out(AUGMENTED, block="block", treatment="gen"))
    ((_, mse),) = fit.variances
    assert mse == pytest.approx(26.9722, abs=1e-4)
    gen = cells_of(plots, ("gen",))
    at = {level[0]: n for n, level in enumerate(gen.levels)}
    means = dict(zip(at, fit.means(gen).value, strict=True))
    adjusted = {"e": 78.25, "f": 86.5, "g": 73.25, "h": 93.5, "i": 77.25, "j": 79.5, "k": 78.25, "l": 77.25}
    assert {name: means[name] for name in adjusted} == pytest.approx(adjusted)
    for one, other, sed in (("A", "B", 4.2405), ("e", "i", 7.3447), ("e", "f", 8.2116), ("e", "A", 6.3607)):
        row = np.zeros((1, len(at)))
        row[0, at[one]], row[0, at[other]] = 1, -1
        found = fit.combined(gen, row)
        assert found.se[0] == pytest.approx(sed, abs=1e-4)
        assert found.df[0] == pytest.approx(6)


def test_a_variance_that_would_be_under_0_is_none() -> None:
    """Blocks that differ less than their plots: the fit is that without blocks."""
    rng = np.random.default_rng(4)
    noise = rng.normal(size=(5, 4))
    values = (noise - noise.mean(axis=1, keepdims=True)).ravel() + np.tile([1.0, 2, 3, 4], 5)
    blocks, gens = np.repeat(list("abcde"), 4), np.tile(list("wxyz"), 5)
    plots = Plots({"block": tuple(blocks), "gen": tuple(gens)}, values)
    fit = MixedFit(plots.kept(np.arange(20) != 7), laid_out(BLOCKS, block="block", treatment="gen"))
    plain = MixedFit(plots.kept(np.arange(20) != 7), laid_out(COMPLETE, treatment="gen"))
    assert fit.model.variances[0] == pytest.approx(0, abs=1e-12)
    gen = cells_of(plots, ("gen",))
    for one, other in zip(fit.combined(gen, pairs(gen)), plain.combined(gen, pairs(gen)), strict=True):
        assert one == pytest.approx(other, rel=1e-6)


def test_a_combination_that_no_plot_has_is_not_guessed() -> None:
    plots = published("yates.oats", "yield")
    there = [level != ("Victory", "0.6") for level in plots.levels(("gen", "nitro"))]
    with pytest.raises(NotSeparable, match="gen x nitro"):
        MixedFit(plots.kept(there), OATS)
    term = next(term for term in OATS.terms() if term.factors == ("gen", "nitro"))
    assert list(missing_combinations(plots.kept(there), term)) == [("Victory", "0.6")]


def test_several_t_tests_as_one_f_have_the_degrees_of_freedom_of_all() -> None:
    """Fai and Cornelius 1996: 2 E / (E - q), E the sum of v / (v - 2)."""
    assert _together(np.array([10.0, 10.0])) == 10
    expected = 4 / 2 + 12 / 10
    assert _together(np.array([4.0, 12.0])) == pytest.approx(2 * expected / (expected - 2))
    assert _together(np.array([1.5, 2.5])) == 1.5


def test_too_few_plots_for_an_error_are_told() -> None:
    with pytest.raises(ValueError, match="3 means and only 3 plots"):
        fit_mixed(np.array([1.0, 2, 4]), np.eye(3), [])


def test_an_error_that_nothing_measures_is_no_test() -> None:
    """One block with a plot missing: main plots are confounded with their own error."""
    plots = published("yates.oats", "yield")
    one = plots.kept([b == "B1" and n != 5 for n, b in enumerate(plots.labels["block"])])
    gap = one.kept([n != 3 for n in range(len(one))])
    with pytest.raises(
        ValueError, match="the error block x gen has no degrees of freedom; more blocks are needed"
    ):
        MixedFit(gap, OATS._replace(interactions=False))


def test_values_that_are_all_accounted_for_have_no_error() -> None:
    plots = published("yates.oats", "yield")
    sums = [float(b[1]) * 1e8 + len(g) + float(n) for b, g, n in plots.levels(("block", "gen", "nitro"))]
    exact = plots.with_values(np.array(sums)).kept(np.arange(72) != 5)
    with pytest.raises(ValueError, match="treatments and ground account for all of the values"):
        MixedFit(exact, OATS)


@pytest.mark.needs("statsmodels", "pandas")
@pytest.mark.parametrize("gone", [(), (3,), (0, 11, 12, 50)])
def test_statsmodels_finds_the_same_variances_and_means(gone: tuple[int, ...]) -> None:
    import pandas as pd
    import statsmodels.formula.api as smf

    whole = published("yates.oats", "yield")
    plots = whole.kept([n not in gone for n in range(len(whole))])
    fit = MixedFit(plots, OATS._replace(interactions=False))
    frame = pd.DataFrame({**plots.labels, "y": plots.values})
    other = smf.mixedlm(
        "y ~ gen + nitro", frame, groups="block", re_formula="1", vc_formula={"plot": "0 + gen"}
    ).fit(reml=True, gtol=1e-10)
    assert fit.model.variances == pytest.approx(
        [float(other.cov_re.iloc[0, 0]), float(other.vcomp[0]), float(other.scale)], rel=2e-3
    )
    gen = cells_of(plots, ("gen",))
    found = fit.combined(gen, -pairs(gen)[:1])
    assert found.value[0] == pytest.approx(other.params["gen[T.Marvellous]"], rel=1e-4)
    assert found.se[0] == pytest.approx(other.bse["gen[T.Marvellous]"], rel=1e-3)


@pytest.mark.needs("statsmodels", "pandas")
def test_unequal_numbers_of_two_factors_are_those_of_statsmodels() -> None:
    """Least squares with effects against the mean: the third type of sums of squares."""
    import pandas as pd
    import statsmodels.api as sm
    import statsmodels.formula.api as smf

    plots = oats_with_gaps()
    fit = MixedFit(plots, laid_out(COMPLETE, treatment="gen nitro"))
    frame = pd.DataFrame({**plots.labels, "y": plots.values})
    model = smf.ols("y ~ C(gen, Sum) * C(nitro, Sum)", frame).fit()
    table = sm.stats.anova_lm(model, typ=3)
    assert [s.f for s in fit.sources] == pytest.approx(list(table["F"][1:4]), rel=1e-8)
    assert [s.p for s in fit.sources] == pytest.approx(list(table["PR(>F)"][1:4]), rel=1e-8)
    assert fit.sources[0].error_df == pytest.approx(model.df_resid)
