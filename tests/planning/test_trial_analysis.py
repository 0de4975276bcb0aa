"""Trials of a season analysed: published tables, put into a season, come out with their published figures."""

from __future__ import annotations

import random
from dataclasses import replace

import pytest

from tests.planning.analysed_farm import (
    analysed,
    figures_of,
    means_of,
    plot,
    published_season,
    season_with,
    seen,
    table,
    trial,
)


def test_yates_oats_as_a_split_plot():
    """Yates 1935; figures of the page `oats` of R's package MASS."""
    one = analysed(
        published_season("yates.oats", "split plot", ["gen", "nitro"], "yield", "block", ("row", "col"))
    )
    found = figures_of(one)
    assert found["gen"][:2] == pytest.approx((1.485, 0.272), abs=5e-4)
    assert found["nitro"][:2] == pytest.approx((37.686, 2.458e-12), rel=1e-3)
    assert found["gen nitro"][:2] == pytest.approx((0.303, 0.932), abs=5e-4)
    nitro = one.tables[1]
    assert [row.mean for row in nitro.rows] == pytest.approx([79.3889, 98.8889, 114.2222, 123.3889], abs=1e-4)
    assert [row.lsd for row in nitro.rows] == ["d", "c", "b", "a"]
    assert nitro.lsd == pytest.approx((8.934, 8.934), abs=1e-3)
    assert [len(row.points) for row in nitro.rows] == [18] * 4
    # Levels of nitrogen are numbers, so that there is a response: its linear part by the same page.
    linear = one.analysis.responses[0].parts[0]
    assert (linear.f, linear.p) == pytest.approx((110.323, 1.09e-13), rel=1e-3)


def test_a_strip_plot():
    """Gomez and Gomez 1984, table 3.15."""
    found = figures_of(
        analysed(published_season("gomez.stripplot", "strip plot", ["gen", "nitro"], "yield", "rep"))
    )
    assert found["gen"] == pytest.approx((7.653, 0.00337, 5, 10), rel=2e-3)
    assert found["nitro"] == pytest.approx((34.069, 0.00307, 2, 4), rel=2e-3)
    assert found["gen nitro"] == pytest.approx((5.801, 0.000427, 10, 20), rel=2e-3)


def test_plants_of_a_plot_are_averaged_first():
    """Gomez and Gomez 1984, table 6.11: a split plot with two samples in each plot."""
    rows = table("gomez.splitplot.subsample")
    factors = ("manage", "time")
    keys = list(dict.fromkeys((row["rep"], row["manage"], row["time"]) for row in rows))
    plots = [
        plot(n, {"manage": key[1], "time": key[2]}, block=int(key[0][1:])) for n, key in enumerate(keys, 1)
    ]
    numbers = {key: n for n, key in enumerate(keys, 1)}
    found = [
        seen(
            f"K1-{numbers[row['rep'], row['manage'], row['time']]} {row['sample'][1:]}",
            row["height"],
            "height",
        )
        for row in rows
    ]
    height = {"id": "height", "unit": "cm", "per": "plant", "plants": 2}
    of = trial("split plot", {name: [row[name] for row in rows] for name in factors})
    one = analysed(season_with(of, plots, found, variable=[height]), "height")
    figures = figures_of(one)
    assert figures["manage"] == pytest.approx((2.239, 0.0944, 7, 14), abs=5e-4)
    assert figures["time"] == pytest.approx((7.945, 0.000211, 3, 48), abs=5e-4)
    assert figures["manage time"][:2] == pytest.approx((0.657, 0.852), abs=5e-4)
    assert {value.n for value in one.values} == {2}
    assert one.analysis.gathered.sampling.df == 96


def test_a_completely_randomised_trial():
    """PlantGrowth of R: F 4.846, p 0.01591."""
    groups = {
        "ctrl": "4.17 5.58 5.18 6.11 4.50 4.61 5.17 4.53 5.33 5.14",
        "trt1": "4.81 4.17 4.41 3.59 5.87 3.83 6.03 4.89 4.32 4.69",
        "trt2": "6.31 5.12 5.54 5.50 5.37 5.29 4.92 6.15 5.80 5.26",
    }
    values = [(group, value) for group, text in groups.items() for value in text.split()]
    plots = [plot(n, {"group": group}) for n, (group, _) in enumerate(values, 1)]
    found = [seen(f"K1-{n}", value) for n, (_, value) in enumerate(values, 1)]
    one = analysed(season_with(trial("completely randomised", {"group": groups}), plots, found))
    assert figures_of(one)["group"] == pytest.approx((4.846, 0.01591, 2, 27), rel=1e-3)
    assert one.analysis.gathered.layout.columns == {"treatment": ("group",), "plot": ("plot",)}


def test_a_latin_square_by_the_rows_and_columns_of_its_ground():
    """Cochran and Cox 1957; F of the facts, computed."""
    season = published_season("cochran.latin", "latin square", ["operator"], "diff", ground=("row", "col"))
    assert figures_of(analysed(season))["operator"][:2] == pytest.approx((9.350, 0.000103), rel=5e-3)


def test_an_alpha_design_by_replicates_and_incomplete_blocks():
    """John and Williams 1995, as the page `john.alpha` of agridat has it."""
    rows = table("john.alpha")
    plots = [
        plot(n, {"gen": row["gen"]}, block=int(row["rep"][1:]), main=int(row["block"][1:]))
        for n, row in enumerate(rows, 1)
    ]
    found = [seen(one["id"], row["yield"]) for one, row in zip(plots, rows, strict=True)]
    one = analysed(
        season_with(trial("alpha", {"gen": [row["gen"] for row in rows]}, block_size=4), plots, found)
    )
    variances = {" ".join(term.factors): figure for term, figure in one.analysis.variances}
    assert (variances["block incomplete block"], variances[""]) == pytest.approx((0.06194, 0.08523), rel=1e-3)
    # That page has its means in the first replicate, where each is as much higher.
    assert means_of(one)["G01"] - means_of(one)["G02"] == pytest.approx(5.146433 - 4.517265, abs=1e-5)


@pytest.mark.needs("statsmodels")
def test_unequal_numbers_agree_with_statsmodels():
    """Least squares of statsmodels as a second opinion: a trial without blocks of which plots are missing."""
    import pandas as pd
    from statsmodels.formula.api import ols
    from statsmodels.stats.anova import anova_lm

    rng = random.Random(20261208)
    rows = [
        {"a": a, "b": b, "y": round(rng.gauss(10 + 2 * (a == "x") + (b == "q"), 1.5), 2)}
        for a in "xyz"
        for b in "pq"
        for _ in range(5)
    ]
    rows = [row for n, row in enumerate(rows) if n not in (0, 4, 7, 11, 12, 29)]
    plots = [plot(n, {"a": row["a"], "b": row["b"]}) for n, row in enumerate(rows, 1)]
    found = [seen(one["id"], row["y"]) for one, row in zip(plots, rows, strict=True)]
    one = analysed(season_with(trial("completely randomised", {"a": "xyz", "b": "pq"}), plots, found))
    fitted = anova_lm(ols("y ~ C(a, Sum) * C(b, Sum)", pd.DataFrame(rows)).fit(), typ=3)
    theirs = {"a": "C(a, Sum)", "b": "C(b, Sum)", "a b": "C(a, Sum):C(b, Sum)"}
    for name, (f, p, *_) in figures_of(one).items():
        row = fitted.loc[theirs[name]]
        assert (f, p) == pytest.approx((row["F"], row["PR(>F)"]), rel=1e-6), name


@pytest.mark.needs("statsmodels")
def test_plots_missing_from_blocks_agree_with_statsmodels():
    """REML of statsmodels as a second opinion, on the oats of one variety without five of its plots."""
    import pandas as pd
    from statsmodels.formula.api import mixedlm

    season = published_season("yates.oats", "split plot", ["gen", "nitro"], "yield", "block")
    of = replace(
        season.trials["K1"], design="blocks", factors={"nitro": season.trials["K1"].factors["nitro"]}
    )
    kept = {name: one for name, one in season.plots.items() if one.treatment["gen"] == "Victory"}
    gone = [name for n, name in enumerate(kept) if n in (1, 6, 7, 15, 20)]
    seen_there = tuple(one for one in season.observations if one.unit in kept and one.unit not in gone)
    one = analysed(replace(season, trials={"K1": of}, plots=kept, observations=seen_there))
    frame = pd.DataFrame(
        {
            "y": float(found.value),
            "nitro": kept[found.unit].treatment["nitro"],
            "block": kept[found.unit].block,
        }
        for found in seen_there
    )
    theirs = mixedlm("y ~ 0 + nitro", frame, groups="block").fit(reml=True)
    assert list(means_of(one).values()) == pytest.approx(list(theirs.fe_params), rel=1e-5)
    variances = [figure for _, figure in one.analysis.variances]
    assert variances == pytest.approx([float(theirs.cov_re.iloc[0, 0]), theirs.scale], rel=1e-3)
    assert "5 plots" not in " ".join(one.remarks)
    assert any(text.endswith(": no value.") for text in one.remarks)
