"""Trials of a season analysed: published tables come out with their published figures."""

from __future__ import annotations

import pytest

from calendar_tui.planning.trial_analysis.measures import measure_named
from calendar_tui.planning.trial_analysis.working_out import analyses_by
from tests.planning.analysed_farm import published_season


def analysed(season, measure="yield", **settings):
    of = season.trials["K1"]
    (one,) = analyses_by(season, of, measure_named(season, of, measure), **settings)
    return one


def figures_of(one):
    """F, p and the degrees of freedom of each factor and combination."""
    return {" ".join(table.factors): (table.f, table.p, table.df, table.error_df) for table in one.tables}


def test_yates_oats_as_a_split_plot_of_a_season():
    """Yates 1935; figures of the page `oats` of R's package MASS."""
    one = analysed(
        published_season("yates.oats", "split plot", ["gen", "nitro"], "yield", "block", ("row", "col"))
    )
    assert one.problem == ""
    found = figures_of(one)
    assert found["gen"][:2] == pytest.approx((1.485, 0.272), abs=5e-4)
    assert found["nitro"][:2] == pytest.approx((37.686, 2.458e-12), rel=2e-3)
    assert found["gen nitro"][:2] == pytest.approx((0.303, 0.932), abs=5e-4)
    nitro = one.tables[1]
    assert [row.mean for row in nitro.rows] == pytest.approx([79.3889, 98.8889, 114.2222, 123.3889], abs=1e-4)
    assert [row.lsd for row in nitro.rows] == ["d", "c", "b", "a"]
    assert nitro.lsd == pytest.approx((8.934, 8.934), abs=1e-3)
    assert [len(row.points) for row in nitro.rows] == [18] * 4


def test_a_strip_plot():
    """Gomez and Gomez 1984, table 3.15."""
    one = analysed(published_season("gomez.stripplot", "strip plot", ["gen", "nitro"], "yield", "rep"))
    found = figures_of(one)
    assert found["gen"] == pytest.approx((7.653, 0.00337, 5, 10), rel=2e-3)
    assert found["nitro"] == pytest.approx((34.069, 0.00307, 2, 4), rel=2e-3)
    assert found["gen nitro"] == pytest.approx((5.801, 0.000427, 10, 20), rel=2e-3)
