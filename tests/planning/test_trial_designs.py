"""How trials of a season are asked about: responses, contrasts, light by its places; and what cannot be worked out."""

from __future__ import annotations

import random
from dataclasses import replace
from xml.etree import ElementTree

import numpy as np
import pytest

from calendar_tui.handing_on.report.answers import CURVE
from calendar_tui.handing_on.report.means import density_drawings
from calendar_tui.handing_on.words.trial_analysis_text import analyses_text
from calendar_tui.nature.layouts.designs import COMPLETE
from calendar_tui.planning.trial_analysis.measures import measure_named, measures_of
from calendar_tui.planning.trial_analysis.working_out import analyses_by, every_analysis
from calendar_tui.season.refusal import Refusal
from tests.planning.analysed_farm import (
    YIELD,
    analysed,
    by_factor,
    means_of,
    plot,
    published_season,
    season_with,
    seen,
    small,
    table,
    trial,
)

# --- spacings, dates, contrasts


def test_the_response_to_spacing_is_by_metres():
    values = [3, 5, 4, 3.2, 5.1, 4.2, 2.9, 4.8, 4.1]
    (response,) = analysed(by_factor("spacing", ["1.5x0.6", "1.5x0.9", "1.5x1.2"], values)).analysis.responses
    assert (response.x, response.unit) == ((0.6, 0.9, 1.2), "m in the row")
    assert response.optimum is not None
    assert 0.6 < response.optimum.x < 1.2
    (by_area,) = analysed(by_factor("spacing", ["1.5x0.6", "1.8x0.9", "1.8x1.2"], values)).analysis.responses
    assert (by_area.x, by_area.unit) == ((0.9, 1.62, 2.16), "m2 a plant")


SPACED = {"1x0.5": 2, "1x0.25": 4, "1x0.1666667": 6, "1x0.125": 8}


def _yields():
    return [float(row["yield"]) for row in table("carmer.density") if row["gen"] == "Hy2x0h7"]


def _hybrid_by_density():
    values = [
        round((of + off) / plants, 6)
        for off in (0.01, -0.01)
        for of, plants in zip(_yields(), SPACED.values(), strict=True)
    ]
    return by_factor("spacing", list(SPACED), values, unit="kg a plant")


def test_what_a_plant_gave_is_told_by_the_ground_with_the_best_density():
    """Carmer and Jackobs 1965, table 1: Hy2x0h7 at 2, 4, 6 and 8 plants, here to a square metre, 0.01 more and less in two blocks."""
    season, found = _hybrid_by_density(), _yields()
    assert analysed(season).analysis.densities == ()
    one = analysed(season, "m2:yield")
    assert (one.measure.name, one.measure.unit) == ("yield of a square metre", "kg/m2")
    assert means_of(one) == pytest.approx(dict(zip(SPACED, found, strict=True)), abs=1e-5)
    ((_, curve),) = one.analysis.densities
    assert (curve.a, curve.k, curve.best) == pytest.approx((0.782, 0.865, 6.875), abs=1e-3)


def test_the_curve_of_density_is_drawn_through_its_plots_with_its_top_where_it_was_published():
    """Carmer and Jackobs 1965, as above: y = 0.782 x 0.865^x, whose top is at 6.875 plants; drawn from 2 to 8, as they were tried."""
    one = analysed(_hybrid_by_density(), "m2:yield")
    (drawn,) = density_drawings(one)
    assert drawn.name == "K1-m2-yield-spacing-density"
    root = ElementTree.fromstring(drawn.svg)
    assert len([e for e in root.iter() if e.tag.endswith("circle")]) == 8
    (line,) = (e for e in root.iter() if e.get("stroke-dasharray") == CURVE)
    points = [tuple(map(float, pair.split(","))) for pair in line.get("points", "").split()]
    left, right = points[0][0], points[-1][0]
    density = [2 + 6 * (x - left) / (right - left) for x, _ in points]
    axis = next(e for e in root.iter() if e.tag.endswith("polyline")).get("points", "").split()
    foot = float(axis[1].split(",")[1])
    heights = [foot - y for _, y in points]
    published = [0.782 * x * 0.865**x for x in density]
    assert [h / heights[0] for h in heights] == pytest.approx(
        [y / published[0] for y in published], rel=0.005
    )
    assert density[heights.index(max(heights))] == pytest.approx(6.875, abs=0.2)
    assert list(density_drawings(analysed(_hybrid_by_density()))) == []


def test_only_what_is_of_a_plant_is_told_by_the_ground():
    season = by_factor("spacing", ["1.5x0.6", "1.5x0.9", "1.5x1.2"], [3, 5, 4, 3.2, 5.1, 4.2])
    assert [one.id for one in measures_of(season, season.trials["K1"])] == ["yield"]


def test_no_response_to_spacings_that_give_a_plant_as_much():
    values = [3, 5, 3.2, 5.1, 2.9, 4.8]
    assert analysed(by_factor("spacing", ["1.5x1.2", "1.2x1.5"], values)).analysis.responses == ()


def test_no_optimum_outside_what_was_tried_or_where_nothing_differs():
    """Gomez and Gomez 1984: rates of seed from 25 to 150 kg; the parabola turns at 29 kg, and F is 2.17 (p 0.11)."""
    rows = table("gomez.seedrate")
    season = published_season("gomez.seedrate", "blocks", ["rate"], "yield", "rep")
    (response,) = analysed(season).analysis.responses
    assert len(rows) == 24
    assert response.optimum is None
    assert response.turn.x == pytest.approx(29.15, abs=0.01)


def test_dates_become_days_of_delay():
    levels = ["2027-01-04", "2027-01-18", "2027-02-01"]
    season = by_factor("date", levels, [9, 7, 4, 9.2, 7.1, 4.2, 8.9, 7.3, 4.4])
    (response,) = analysed(season).analysis.responses
    assert (response.x, response.from_date) == ((0, 14, 28), "2027-01-04")
    assert response.slope[0] == pytest.approx((np.mean([4, 4.2, 4.4]) - np.mean([9, 9.2, 8.9])) / 28)


def test_contrasts_that_the_trial_names():
    levels = ("amber", "plain", "byage")
    values = [10, 12, 14, 11, 12.5, 14.2, 9.8, 11.9, 15]
    season = by_factor(
        "variety",
        levels,
        values,
        contrasts={"variety": ["amber against plain and byage", "plain against byage"]},
    )
    one, other = analysed(season).analysis.contrasts
    assert one.value == pytest.approx(np.mean(values[::3]) - np.mean([values[1::3], values[2::3]]))
    assert other.value == pytest.approx(np.mean(values[1::3]) - np.mean(values[2::3]))
    gone = replace(
        season, observations=tuple(o for o in season.observations if o.at not in ("K1-3", "K1-6", "K1-9"))
    )
    assert (
        "variety: plain against byage is not worked out; no plot with a value has byage."
        in analysed(gone).remarks
    )


# --- light, by places


def lit(places, inner=("amber", "plain"), blocks=2):
    """Levels of light in places, each with blocks of varieties; the values are higher where it is lit."""
    plots, found, n = [], [], 0
    rng = random.Random(5)
    for level, lights in places.items():
        for place in lights:
            for block in range(1, blocks + 1):
                for variety in inner:
                    n += 1
                    plots.append(
                        plot(
                            n,
                            {"light": level, "variety": variety},
                            block=10 * len(found) + block,
                            place=place,
                            column=1,
                        )
                    )
                    value = 10 + 3 * (level == "long") + 2 * (variety == "plain") + rng.random()
                    found.append(seen(f"K1-{n}", f"{value:.2f}"))
    of = trial("blocks", {"variety": inner}, places={level: list(names) for level, names in places.items()})
    del of["place"]
    for one in plots:
        one["block"] = (one["number"] - 1) // len(inner) + 1
    kinds = [{"id": name, "kind": "greenhouse"} for names in places.values() for name in names]
    return season_with(of, plots, found, place=[*FARM_PLACES, *kinds])


FARM_PLACES = [
    {"id": "N1", "kind": "nursery", "lamps": {"target_h": 18.0}},
    {"id": "H1", "kind": "hoop house", "lamps": {"target_h": 16.0, "kw": 0.9}},
    {"id": "F1", "kind": "field"},
]


def test_light_with_one_place_a_level_has_means_and_no_test():
    one = analysed(lit({"long": ["G1"], "short": ["G2"]}, blocks=3))
    light, variety, both = one.tables
    assert (light.f, light.p, light.is_significant) == (None, None, None)
    assert means_of(one)["long"] > means_of(one)["short"]
    assert variety.p < 0.05
    # 12 plots: 11 df, less 1 of places, 2 of the blocks in each of two, 1 of varieties and 1 of these with light.
    assert variety.error_df == 4
    assert both.p is None
    assert [place for place, _ in one.maps] == ["G1", "G2"]


def without_blocks(season):
    """The trial as plots that were drawn all over each place."""
    plots = {name: replace(one, block=None) for name, one in season.plots.items()}
    return replace(season, trials={"K1": replace(season.trials["K1"], design=COMPLETE)}, plots=plots)


def test_plots_without_blocks_are_themselves_where_a_level_of_light_has_one_place():
    one = analysed(without_blocks(lit({"long": ["G1"], "short": ["G2"]}, blocks=3)))
    light, variety, _ = one.tables
    assert (one.problem, light.p) == ("", None)
    assert variety.error_df == 8  # as above, without the 4 of blocks


def test_of_plots_that_were_drawn_place_by_place_each_place_is_a_block():
    """F of varieties beside places, by least squares with and without varieties."""
    season = without_blocks(lit({"long": ["G1", "G2"]}, blocks=3))
    plots = {
        name: replace(one, treatment={"variety": one.treatment["variety"]})
        for name, one in season.plots.items()
    }
    one = analysed(replace(season, plots=plots))
    values, places, varieties = (
        np.array([of(v) for v in one.values])
        for of in (
            lambda v: v.value,
            lambda v: plots[v.plot.id].place == "G2",
            lambda v: plots[v.plot.id].treatment["variety"] == "plain",
        )
    )
    base = np.column_stack((np.ones(len(values)), places))
    rest, all_rest = (
        float(np.linalg.lstsq(columns, values, rcond=None)[1][0])
        for columns in (base, np.column_stack((base, varieties)))
    )
    (table,) = one.tables
    assert (table.df, table.error_df) == (1, len(values) - 3)
    assert table.f == pytest.approx((rest - all_rest) / (all_rest / (len(values) - 3)))


def test_light_is_tested_by_its_places():
    one = analysed(lit({"long": ["G1", "G2", "G3"], "short": ["G4", "G5", "G6"]}))
    light = one.tables[0]
    assert (light.df, light.error_df) == (1, 4)
    assert light.p < 0.05
    # Three places a level, each with a mean of two varieties: no six places, and not the twelve plots.
    assert [row.n for row in light.rows] == [6, 6]
    text = " ".join(" ".join(analyses_text([one])).split())
    assert "12 place means. Values are averaged, 2 in each place mean" in text
    assert "Means of 6 place means each." in text
    assert "plots each" not in text
    assert one.maps == ()


def test_a_place_of_one_plot_a_treatment_is_no_mean():
    one = analysed(lit({"long": ["G1", "G2", "G3"], "short": ["G4", "G5", "G6"]}, blocks=1))
    text = " ".join(" ".join(analyses_text([one])).split())
    assert "12 plots." in text
    assert "averaged" not in text


def lit_split(places):
    season = lit(places, inner=("amber", "plain"), blocks=4)
    of = season.trials["K1"]
    split = replace(of, design="split plot", factors={"half": ("a", "b"), **of.factors})
    plots = {
        name: replace(
            one, treatment={**one.treatment, "half": "ab"[one.block % 2]}, block=(one.block + 1) // 2
        )
        for name, one in season.plots.items()
    }
    season = replace(season, trials={"K1": split}, plots=plots)
    return analyses_by(season, split, measure_named(season, split, "yield"))


def test_a_split_plot_in_lit_places_is_worked_out_place_by_place_and_light_by_whole_places():
    whole, *found = lit_split({"long": ["G1"], "short": ["G2"]})
    assert [one.place for one in found] == ["G1", "G2"]
    assert [one.problem for one in (whole, *found)] == ["", "", ""]
    assert all(any(text.startswith("light is compared") for text in one.remarks) for one in found)
    (light,) = whole.tables
    assert (whole.place, light.factors, light.p, whole.maps) == ("", ("light",), None, ())
    assert [one.units for one in (whole, *found)] == [("place mean", "place means"), *[("plot", "plots")] * 2]
    assert means_of(whole)["long"] > means_of(whole)["short"]
    assert not any(text.startswith("Places have different plots") for text in whole.remarks)


def test_light_over_split_plots_is_tested_by_its_places():
    """The t of two samples, each of the means of three places, by SciPy."""
    stats = pytest.importorskip("scipy.stats")
    whole, *found = lit_split({"long": ["G1", "G2", "G3"], "short": ["G4", "G5", "G6"]})
    (light,) = whole.tables
    assert (light.df, light.error_df, len(found)) == (1, 4, 6)
    by_place = [float(np.mean([plot.value for plot in one.values])) for one in found]
    second = stats.ttest_ind(by_place[:3], by_place[3:])
    assert light.f == pytest.approx(second.statistic**2)
    assert light.p == pytest.approx(second.pvalue)


def test_a_place_that_lacks_plots_is_told_where_light_is_compared():
    season = lit({"long": ["G1", "G2"], "short": ["G3", "G4"]})
    split = replace(season.trials["K1"], design="latin square")
    short = replace(season, observations=season.observations[1:], trials={"K1": split})
    whole = analyses_by(short, split, measure_named(short, split, "yield"))[0]
    assert any(text.startswith("Places have different plots with a value") for text in whole.remarks)


# --- what cannot be worked out


def test_a_trial_without_plots():
    season = season_with(trial("blocks", {"variety": ("amber", "plain")}), [], [])
    with pytest.raises(Refusal, match="trial K1 has no plots yet; trial K1 --draw makes them"):
        every_analysis(season, season.trials["K1"])


def test_what_nobody_measured_is_refused_with_what_was():
    season = season_with(
        trial("blocks", {"variety": ("amber", "plain")}),
        [plot(n, {"variety": "amber" if n % 2 else "plain"}, block=1) for n in (1, 2)],
        [seen("K1-1", 3)],
        variable=[YIELD, {"id": "height", "unit": "cm"}],
    )
    of = season.trials["K1"]
    with pytest.raises(Refusal, match="height: no plot of trial K1 has a value of it; there are yield"):
        measure_named(season, of, "height")
    with pytest.raises(Refusal, match='"yeild" is not measured in trial K1; did you mean "yield"'):
        measure_named(season, of, "yeild")
    with pytest.raises(Refusal, match="nothing is recorded in the plots of trial K1 yet"):
        measure_named(replace(season, observations=()), of, "yield")


@pytest.mark.parametrize(
    ("values", "problem"),
    [
        ((10.2, None, None, None, None, None), "one value only; what is compared needs two or more"),
        ((10.2, None, 9, None, 8, None), "variety has one level, amber; what is compared needs two or more"),
    ],
)
def test_too_few_values(values, problem):
    assert problem in analysed(small(values)).problem


@pytest.mark.parametrize("values", [(5, 5, 5, 5, 5, 5), (4, 6, 4, 6, 4, 6), (3.5, 8)])
def test_nothing_to_test_by_gives_means_alone(values):
    """All equal, no scatter within a treatment, one block."""
    one = analysed(small(values))
    if one.problem:
        assert "nothing is left to measure the error by" in one.problem
        return
    assert one.tables[0].p is None
    assert len(means_of(one)) == 2


def test_a_plot_without_its_block_is_named():
    season = small()
    bare = {**season.plots, "K1-3": replace(season.plots["K1-3"], block=None)}
    assert (
        analysed(replace(season, plots=bare)).problem
        == "plot K1-3: block is not set, and the design needs it"
    )


def test_a_factor_may_be_called_as_a_column_of_the_ground():
    season = by_factor("block", ["a", "b"], [3, 5, 3.2, 5.1, 2.9, 4.8])
    one = analysed(season)
    assert one.problem == ""
    assert one.analysis.gathered.layout.columns["block"] == ("block of the ground",)
