"""Whole trials analysed: what stands in no mean, what is told of a table, and what changes nothing."""

from __future__ import annotations

from dataclasses import replace

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from published_trials import OATS, laid_out, oats_with_gaps, plots_of, published, unequal_variances

from calendar_tui.nature.field_analysis.analysis import Analysis, Question, analyse
from calendar_tui.nature.field_analysis.designs import BLOCKS, COMPLETE, LATIN, SPLIT
from calendar_tui.nature.field_analysis.diagnostics import spread
from calendar_tui.nature.field_analysis.gathering import TrialProblem
from calendar_tui.nature.field_analysis.plots import Plots
from calendar_tui.nature.field_analysis.sums import SumsFit
from tests.counting import lines_run

SPLIT_OATS = Question(OATS, responses=("nitro",))


def oats() -> Plots:
    return published("yates.oats", "yield")


def figures(analysis: Analysis) -> list[float]:
    """All that an analysis says in numbers."""
    numbers: list[float] = []
    for source in analysis.sources:
        numbers += [n for n in source[1:] if n is not None]
    numbers += [variance for _, variance in analysis.variances]
    for means in analysis.means:
        numbers += [*means.value, *np.nan_to_num(means.se), *means.n]
        if means.comparison is not None:
            numbers += [n for kind in means.comparison.kinds for span in (kind.sed, kind.lsd) for n in span]
    return numbers


def f_and_p(analysis: Analysis) -> list[float]:
    return [n for s in analysis.sources if s.f is not None for n in (s.f, s.p)]


@pytest.mark.slow
@pytest.mark.parametrize("plots", [oats(), oats_with_gaps()], ids=["complete", "with gaps"])
@settings(max_examples=20)
@given(seed=st.integers(0, 2**32 - 1))
def test_the_order_of_rows_changes_nothing(plots: Plots, seed: int) -> None:
    order = np.random.default_rng(seed).permutation(len(plots))
    moved = Plots({k: tuple(v[i] for i in order) for k, v in plots.labels.items()}, plots.values[order])
    assert figures(analyse(moved, SPLIT_OATS)) == figures(analyse(plots, SPLIT_OATS))


@pytest.mark.parametrize("offset", [0.0, 0.1, 12.3, 1e6])
def test_what_rounding_leaves_is_neither_an_error_nor_tested(offset: float) -> None:
    """Effects of blocks and treatments that add up leave nothing for the plots; tenths leave what binary figures cannot hold."""
    cells = [(block, kind) for block in range(4) for kind in range(3)]
    labels = {"block": tuple(str(b) for b, _ in cells), "kind": tuple(str(k) for _, k in cells)}
    plots = Plots(labels, np.array([offset + round(0.1 * b + 0.3 * k, 1) for b, k in cells]))
    found = analyse(plots, Question(laid_out(BLOCKS, block="block", treatment="kind")))
    assert found.sources[-1].ss == 0
    assert all(source.f is None for source in found.sources)
    assert not found.residuals.any()


@pytest.mark.quick(2)
@pytest.mark.parametrize("plots", [oats(), oats_with_gaps()], ids=["complete", "with gaps"])
@pytest.mark.parametrize("factor", [0.01, 3.0, 1e6])
def test_another_unit_changes_figures_in_proportion_and_no_test(plots: Plots, factor: float) -> None:
    one, other = analyse(plots, SPLIT_OATS), analyse(plots.with_values(plots.values * factor), SPLIT_OATS)
    assert f_and_p(other) == pytest.approx(f_and_p(one), rel=1e-6)
    for mine, theirs in zip(one.means, other.means, strict=True):
        assert theirs.value == pytest.approx(mine.value * factor, rel=1e-9)
        assert theirs.comparison.by_tukey == mine.comparison.by_tukey


@pytest.mark.slow
@given(
    values=st.lists(st.one_of(st.floats(-1e9, 1e9), st.just(np.nan)), min_size=5, max_size=5),
    at=st.integers(0, 72),
)
def test_a_guard_never_enters_a_mean(values: list[float], at: int) -> None:
    plots = oats()
    labels = {k: (*v[:at], *v[:5], *v[at:]) for k, v in plots.labels.items()}
    with_guards = Plots(labels, np.concatenate((plots.values[:at], values, plots.values[at:])))
    guards = np.zeros(77, dtype=bool)
    guards[at : at + 5] = True
    found = analyse(with_guards, SPLIT_OATS, guards)
    assert found.gathered.guards == 5
    assert figures(found) == figures(analyse(plots, SPLIT_OATS))


def test_samples_are_averaged_to_plots() -> None:
    """Gomez and Gomez 1984, table 6.11; their sums of squares are of single samples, twice those of means of two."""
    rows = published("gomez.splitplot.subsample", "height")
    question = Question(laid_out(SPLIT, block="rep", main="manage", sub="time"), sampled=True)
    found = analyse(rows, question)
    tests = {" ".join(s.term.factors): (s.f, s.p, s.df, s.error_df) for s in found.sources if s.f is not None}
    assert tests["manage"] == pytest.approx((2.239, 0.0944, 7, 14), rel=1e-3)
    assert tests["time"] == pytest.approx((7.945, 0.000211, 3, 48), rel=1e-3)
    assert tests["manage time"] == pytest.approx((0.657, 0.852, 21, 48), rel=1e-3)
    sampling = found.gathered.sampling
    assert sampling is not None
    assert (sampling.fewest, sampling.most, sampling.df) == (2, 2, 96)
    assert sampling.ms == pytest.approx(1.7436, abs=1e-4)


def test_a_plot_that_stands_twice_is_no_second_plot() -> None:
    plots = oats()
    twice = Plots({k: (*v, v[10]) for k, v in plots.labels.items()}, np.append(plots.values, 3.0))
    with pytest.raises(
        TrialProblem, match=r"the plot block B5, gen GoldenRain, nitro 0.2|stands here more than once"
    ) as wrong:
        analyse(twice, SPLIT_OATS)
    assert wrong.value.rows == (10, 72)


def test_plots_that_are_named_may_share_block_and_treatment() -> None:
    rows = [{"plot": n, "block": n % 2, "gen": "ab"[n // 4], "y": float(n * n % 7)} for n in range(8)]
    layout = laid_out(BLOCKS, block="block", treatment="gen", plot="plot")
    found = analyse(plots_of(rows, "y"), Question(layout))
    assert [s.df for s in found.sources] == [1, 1, 5]
    rows[1]["plot"] = 0
    with pytest.raises(TrialProblem, match="more than once"):
        analyse(plots_of(rows, "y"), Question(layout))
    with pytest.raises(
        TrialProblem, match="plot 0 is block 0, gen a and block 1, gen a; a plot has one of each"
    ):
        analyse(plots_of(rows, "y"), Question(layout, sampled=True))


def test_missing_plots_are_named_and_taken_by_reml() -> None:
    plots = oats()
    values = plots.values.copy()
    values[[4, 20]] = np.nan
    found = analyse(plots.with_values(values), SPLIT_OATS)
    assert found.gathered.missing == (4, 20)
    assert not found.by_sums
    there = plots.levels(("block", "gen", "nitro"))
    assert sorted(found.gathered.absent) == sorted((there[4], there[20]))
    assert [term.factors for term, _ in found.variances] == [("block",), ("block", "gen"), ()]


def test_a_missing_plot_and_a_row_left_out_are_the_same() -> None:
    plots = oats()
    values = plots.values.copy()
    values[7] = np.nan
    assert figures(analyse(plots.with_values(values), SPLIT_OATS)) == figures(
        analyse(plots.kept(np.arange(72) != 7), SPLIT_OATS)
    )


@pytest.mark.parametrize(
    ("keep", "message"),
    [
        (
            lambda labels, n: labels["gen"][n] == "Victory",
            "gen has one level, Victory; what is compared needs two",
        ),
        (lambda labels, n: False, "no plot has a value"),
        (
            lambda labels, n: (labels["gen"][n], labels["nitro"][n]) != ("Victory", "0"),
            "the effect of gen x nitro cannot be told apart from the others: no plot has Victory 0; leave the interactions out",
        ),
    ],
)
def test_a_table_that_is_no_such_trial_is_refused(keep: object, message: str) -> None:
    plots = oats()
    with pytest.raises(TrialProblem, match=message):
        analyse(plots.kept([keep(plots.labels, n) for n in range(72)]), SPLIT_OATS)  # type: ignore[operator]


# --- light, whose unit is the place


def lit(places: dict[str, str]) -> Plots:
    """Two blocks of three varieties in each place; places: the light of each."""
    rows = [
        {
            "light": light,
            "place": place,
            "block": block,
            "gen": gen,
            "y": 10 + n + 3 * g + 0.5 * ((n * g + block) % 3),
        }
        for n, (place, light) in enumerate(places.items())
        for block in (1, 2)
        for g, gen in enumerate("abc")
    ]
    return plots_of(rows, "y")


LIT = laid_out(SPLIT, main="light", unit="place", block="block", sub="gen")


def test_one_place_a_light_level_gives_means_and_no_test() -> None:
    found = analyse(lit({"H1": "12", "H2": "14"}), Question(LIT))
    by_factors = {means.factors: means for means in found.means}
    light, gen, both = by_factors[("light",)], by_factors[("gen",)], by_factors[("light", "gen")]
    assert (light.source.p, light.comparison, list(light.n)) == (None, None, [6, 6])
    assert np.isnan(light.se).all()
    assert gen.source.p is not None
    assert both.source.p is None
    assert [kind.differing for kind in both.comparison.kinds] == [("gen",)], (
        "varieties can be compared in a place"
    )


def test_one_place_a_level_is_not_tested_where_a_plot_is_missing_either() -> None:
    plots = lit({"H1": "12", "H2": "14"})
    found = analyse(plots.kept(np.arange(len(plots)) != 4), Question(LIT))
    by_factors = {means.factors: means for means in found.means}
    assert not found.by_sums
    assert (by_factors[("light",)].source.p, by_factors[("light",)].comparison) == (None, None)
    assert np.isnan(by_factors[("light",)].se).all()
    assert by_factors[("gen",)].source.p is not None


def test_light_in_several_places_is_tested_by_places() -> None:
    """Levels x (places a level - 1) degrees of freedom."""
    found = analyse(
        lit({"H1": "12", "H2": "14", "H3": "12", "H4": "14", "H5": "12", "H6": "14"}), Question(LIT)
    )
    light = next(s for s in found.sources if s.term.factors == ("light",))
    assert light.error_df == 2 * (3 - 1)
    assert light.p is not None
    assert len(found.gathered.plots) == 18, "two blocks of a place are one mean of it"


def test_pots_on_one_bench_are_samples_of_the_bench() -> None:
    rows = [
        {"light": light, "bench": f"{light}{bench}", "y": y + bench}
        for light, y in (("a", 1.0), ("b", 2.0))
        for bench in (1, 2)
        for _ in range(5)
    ]
    layout = laid_out(COMPLETE, treatment="light", unit="bench")
    found = analyse(plots_of(rows, "y"), Question(layout))
    assert [s.df for s in found.sources] == [1, 2]
    single = analyse(plots_of([row for row in rows if row["bench"][-1] == "1"], "y"), Question(layout))
    assert [s.p for s in single.sources] == [None, None]
    assert single.means[0].comparison is None


def test_a_place_has_one_light() -> None:
    plots = lit({"H1": "12", "H2": "14"})
    places = ("H1", *plots.labels["place"][1:-1], "H1")
    with pytest.raises(TrialProblem, match="place H1 has light 12 and light 14"):
        analyse(Plots({**plots.labels, "place": places}, plots.values), Question(LIT))


# --- residuals


def test_unequal_spread_is_found_with_the_levels() -> None:
    """Gomez and Gomez 1984, table 7.28: hybrids scatter more than the checks."""
    found = analyse(
        unequal_variances(), Question(laid_out(BLOCKS, block="rep", treatment="gen"), groups=("group",))
    )
    one = found.spreads[-1]
    assert (one.factor, one.narrow[0], one.wide[0]) == ("group", "check", "hybrid")
    assert one.p < 0.05


def test_alike_spread_of_few_plots_is_not_told_apart() -> None:
    """35 varieties in 3 blocks of one spread: under 1 % are under 0.01, give or take, and not 4 in 10 as by Levene's test."""
    rng = np.random.default_rng(20261208)
    rows = [{"block": b, "gen": g} for b in range(3) for g in range(35)]
    told = 0
    for _ in range(60):
        plots = plots_of([dict(row, y=y) for row, y in zip(rows, rng.normal(size=105), strict=True)], "y")
        fit = SumsFit(plots, laid_out(BLOCKS, block="block", treatment="gen").terms())
        found = spread(plots, fit.residuals, fit.residual_df, "gen")
        told += found is not None and found.p < 0.01
    assert told <= 3


@pytest.mark.needs("scipy")
def test_the_test_of_spread_is_that_of_scipy_where_there_are_no_blocks() -> None:
    from scipy import stats

    rows = published("gomez.seedrate", "yield")
    found = analyse(rows, Question(laid_out(COMPLETE, treatment="rate"))).spreads[0]
    groups = [
        rows.values[[rate == r for r in rows.labels["rate"]]] for rate in dict.fromkeys(rows.labels["rate"])
    ]
    other = stats.bartlett(*groups)
    assert (found.chi_square, found.p) == pytest.approx((other.statistic, other.pvalue))


def test_a_wet_corner_shows_in_the_map_of_residuals() -> None:
    plots = published("cochran.latin", "diff")
    wet = [r == "1" and c == "6" for r, c in zip(plots.labels["row"], plots.labels["col"], strict=True)]
    question = Question(laid_out(LATIN, row="row", column="col", treatment="operator"))
    found = analyse(plots.with_values(plots.values - 20.0 * np.array(wet)), question).residual_map
    assert found is not None
    assert min(found.at, key=lambda at: found.at[at]) == (0, 5)
    assert sum(v * v for v in found.at.values()) / 36 == pytest.approx(1)


def test_contrasts_are_refused_unless_they_compare() -> None:
    question = replace(SPLIT_OATS, contrasts={"gen": ((1, 1, -2), (1, -1, 0))})
    first = analyse(oats(), question).contrasts[0]
    assert first.value == pytest.approx(104.5 + 109.7917 - 2 * 97.625, abs=1e-3)
    assert first.se == pytest.approx(7.0789 * 3**0.5, abs=1e-3)
    for row, message in (
        ((1, 1, 1), "add up to 3; they must add up to 0"),
        ((1, -1), "write 3, in the order GoldenRain"),
    ):
        with pytest.raises(TrialProblem, match=message):
            analyse(oats(), replace(SPLIT_OATS, contrasts={"gen": (row,)}))


def test_values_that_are_all_alike_have_no_test() -> None:
    plots = oats()
    found = analyse(plots.with_values(np.full(72, 5.0)), SPLIT_OATS)
    assert all(s.p is None for s in found.sources)


def test_a_table_of_thousands_of_plots_is_refused_before_the_work() -> None:
    rows = [{"block": b, "gen": g, "y": float((3 * b + g) % 7)} for b in range(300) for g in range(20)]
    question = Question(laid_out(BLOCKS, block="block", treatment="gen"))
    with pytest.raises(TrialProblem, match="6,000 plots; up to 5,000 are analysed"):
        analyse(plots_of(rows, "y"), question)
    with pytest.raises(TrialProblem, match="1,199 plots in a trial with plots missing"):
        analyse(plots_of(rows[:1200], "y").kept(np.arange(1200) != 8), question)


# --- work


def test_the_work_of_a_trial_grows_no_faster_than_its_plots() -> None:
    """Lines of Python run for 192 plots against 48: what is left is in NumPy."""

    def rows(reps: int) -> Plots:
        return plots_of(
            [
                {"block": b, "gen": g, "nitro": n, "y": float((7 * b + 5 * g + 3 * n) % 11)}
                for b in range(reps)
                for g in range(4)
                for n in range(3)
            ],
            "y",
        )

    small, large = (lines_run(lambda r=r: analyse(rows(r), SPLIT_OATS)) for r in (4, 16))
    assert large < 4 * small
