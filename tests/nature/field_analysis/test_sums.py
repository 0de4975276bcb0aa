"""Analyses of variance by sums, against published ones."""

from __future__ import annotations

import numpy as np
import pytest
from published_trials import OATS, laid_out, plant_growth, plots_of, published, unequal_variances

from calendar_tui.nature.field_analysis.designs import (
    BLOCKS,
    COMPLETE,
    DESIGNS,
    LATIN,
    SPLIT,
    SPLIT_SPLIT,
    STRIP,
    Layout,
)
from calendar_tui.nature.field_analysis.plots import Plots, cells_of
from calendar_tui.nature.field_analysis.sums import SumsFit, is_orthogonal
from calendar_tui.nature.layouts import designs as drawn
from tests.packaged import packaged


def fitted(plots: Plots, layout: Layout) -> SumsFit:
    terms = layout.terms()
    assert is_orthogonal(plots, terms)
    return SumsFit(plots, terms)


def rows(fit: SumsFit) -> dict[str, tuple[float, ...]]:
    """Each source by its name, the residual as "": df, SS, MS, F, p."""
    return {" ".join(s.term.factors): (s.df, s.ss, s.ms, s.f, s.p) for s in fit.sources}


def assert_row(row: tuple[float, ...], df: int, rel: float = 1e-4, **figures: float) -> None:
    assert row[0] == df
    for name, figure in figures.items():
        assert row[("df", "ss", "ms", "f", "p").index(name)] == pytest.approx(figure, rel=rel), name


def test_yates_oats_as_a_split_plot() -> None:
    """Yates 1935; Venables and Ripley, the page `oats` of R's package MASS."""
    found = rows(fitted(published("yates.oats", "yield"), OATS))
    assert_row(found["block"], 5, ss=15875.28)
    assert_row(found["gen"], 2, ss=1786.36, f=1.48534, p=0.27239)
    assert_row(found["block gen"], 10, ss=6013.31, ms=601.331)
    assert_row(found["nitro"], 3, ss=20020.5, f=37.6856, p=2.4577e-12)
    assert_row(found["gen nitro"], 6, ss=321.75, f=0.302824, p=0.93220)
    assert_row(found[""], 45, ss=7968.75, ms=177.083)


def test_the_errors_of_differences_of_yates_oats() -> None:
    """Varieties, nitrogen, nitrogen in one variety, varieties at one nitrogen; worked out by hand from the two errors."""
    plots = published("yates.oats", "yield")
    fit = fitted(plots, OATS)
    for factors, other, sed, df in (
        (("gen",), 1, 7.0789, 10),
        (("nitro",), 1, 4.4358, 45),
        (("gen", "nitro"), 1, 7.6830, 45),
        (("gen", "nitro"), 4, 9.7150, 30.231),
    ):
        cells = cells_of(plots, factors)
        pair = np.zeros((1, len(cells.levels)))
        pair[0, 0], pair[0, other] = 1, -1
        found = fit.combined(cells, pair)
        assert found.se[0] == pytest.approx(sed, abs=1e-4)
        assert found.df[0] == pytest.approx(df, abs=1e-3)


def test_the_means_of_yates_oats() -> None:
    plots = published("yates.oats", "yield")
    fit = fitted(plots, OATS)
    assert fit.means(cells_of(plots, ("gen",))).value == pytest.approx([104.5, 109.7917, 97.625], abs=1e-4)
    nitro = fit.means(cells_of(plots, ("nitro",)))
    assert nitro.value == pytest.approx([79.3889, 98.8889, 114.2222, 123.3889], abs=1e-4)
    assert nitro.se == pytest.approx([4.4358 / 2**0.5] * 4, abs=1e-4)
    assert np.isnan(fit.means(cells_of(plots, ("gen", "nitro"))).se).all(), (
        "two errors have no one standard error"
    )


def test_a_strip_plot() -> None:
    """Gomez and Gomez 1984, table 3.15."""
    layout = laid_out(STRIP, block="rep", main="gen", sub="nitro")
    found = rows(fitted(published("gomez.stripplot", "yield"), layout))
    assert_row(found["gen"], 5, f=7.653, p=0.00337, rel=1e-3)
    assert_row(found["nitro"], 2, f=34.069, p=0.00307, rel=2e-3)
    assert_row(found["gen nitro"], 10, f=5.801, p=0.000427, rel=1e-3)
    assert [found[name][0] for name in ("rep gen", "rep nitro", "")] == [10, 4, 20]


def test_a_split_split_plot() -> None:
    """Gomez and Gomez 1984, chapter 4: nitrogen, management, variety of rice in 3 replicates."""
    layout = laid_out(SPLIT_SPLIT, block="rep", main="nitro", sub="management", subsub="gen")
    found = rows(fitted(published("gomez.splitsplit", "yield"), layout))
    assert_row(found["nitro"], 4, f=27.695)
    assert_row(found["rep nitro"], 8, ss=4.4514)
    assert_row(found["management"], 2, f=81.997)
    assert_row(found["nitro management"], 8, f=0.527, rel=1e-3)
    assert_row(found["rep nitro management"], 20, ss=5.2363)
    assert_row(found["gen"], 2, f=207.867)
    assert_row(found["nitro gen"], 8, f=3.568, p=0.00192, rel=5e-3)
    assert_row(found["management gen"], 4, f=1.943, rel=1e-3)
    assert_row(found["nitro management gen"], 16, f=0.467, rel=1e-3)
    assert_row(found[""], 60, ss=29.7325)


def test_blocks_of_35_varieties() -> None:
    """Gomez and Gomez 1984, table 7.28."""
    found = rows(fitted(unequal_variances(), laid_out(BLOCKS, block="rep", treatment="gen")))
    # Blocks are laid out and not tested; the book divides their mean square by the error's.
    assert found["rep"][2] / found[""][2] == pytest.approx(5.6164, rel=1e-4)
    assert_row(found["gen"], 34, f=3.9992, p=5.806e-07, rel=2e-4)
    assert_row(found[""], 68, ms=0.29432)


def test_seed_rates_in_blocks() -> None:
    """Gomez and Gomez 1984, chapter 2."""
    found = rows(
        fitted(published("gomez.seedrate", "yield"), laid_out(BLOCKS, block="rep", treatment="rate"))
    )
    assert_row(found["rate"], 5, f=2.168, p=0.113, rel=2e-3)
    assert_row(found[""], 15, ms=110558)


def test_a_latin_square() -> None:
    """Cochran and Cox 1957: shoot heights of wheat by six operators."""
    plots = published("cochran.latin", "diff")
    found = rows(fitted(plots, laid_out(LATIN, row="row", column="col", treatment="operator")))
    assert_row(found["operator"], 5, f=9.350, p=0.000103, rel=4e-3)
    assert_row(found[""], 20)
    assert found["row"][2] / found[""][2] == pytest.approx(1.719, rel=1e-3)
    assert found["col"][2] / found[""][2] == pytest.approx(4.740, rel=1e-3)


def test_one_way() -> None:
    """PlantGrowth of R."""
    found = rows(fitted(plant_growth(), laid_out(COMPLETE, treatment="group")))
    assert_row(found["group"], 2, f=4.8461, p=0.01591, rel=1e-3)


@pytest.mark.needs("vega_datasets")
def test_barley_of_six_sites_in_two_years() -> None:
    """Immer et al. 1934, as the table barley of vega_datasets has it: varieties, with site and year as blocks."""
    import json

    text = packaged("vega_datasets", "_data", "barley.json").read_text(encoding="utf-8")
    rows_read = [dict(row, ground=f"{row['site']} {row['year']}") for row in json.loads(text)]
    found = rows(fitted(plots_of(rows_read, "yield"), laid_out(BLOCKS, block="ground", treatment="variety")))
    assert_row(found["variety"], 9, f=5.5826)
    assert_row(found[""], 99, ms=20.949)


def test_main_units_in_places_are_tested_by_places() -> None:
    """Two levels of light in two places each: 2 degrees of freedom for its error, by levels x (places - 1)."""
    plots = plots_of(
        [
            {"light": light, "place": place, "variety": variety, "y": y}
            for light, place, ys in (
                ("12", "H1", (3, 5, 6)),
                ("12", "H2", (4, 5, 8)),
                ("14", "H3", (7, 9, 8)),
                ("14", "H4", (6, 9, 9)),
            )
            for variety, y in zip("abc", ys, strict=True)
        ],
        "y",
    )
    layout = laid_out(SPLIT, main="light", unit="place", sub="variety")
    found = rows(fitted(plots, layout))
    assert found["light place"][0] == 2
    assert found["light"][3] == pytest.approx(found["light"][2] / found["light place"][2])
    assert found[""][0] == 4


def test_two_factors_in_the_sub_plots_are_crossed() -> None:
    """Gomez and Gomez 1984, the split-split plot taken as a split plot: a(r - 1)(bc - 1) degrees of freedom for all below."""
    layout = laid_out(SPLIT, block="rep", main="nitro", sub="management gen")
    found = rows(fitted(published("gomez.splitsplit", "yield"), layout))
    assert list(found) == [
        "rep",
        "nitro",
        "rep nitro",
        "management",
        "gen",
        "management gen",
        "nitro management",
        "nitro gen",
        "nitro management gen",
        "",
    ]
    assert_row(found["nitro"], 4, f=27.695)
    assert_row(found[""], 5 * 2 * 8, ss=5.23633 + 29.7325)


def test_trials_are_analysed_by_the_designs_by_which_they_are_drawn() -> None:
    assert list(DESIGNS) == list(drawn.DESIGNS)
