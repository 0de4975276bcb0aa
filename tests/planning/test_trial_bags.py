"""Totals of bags of one plot each, in the analysis of a trial: by position and round, and never a number under a limit."""

from __future__ import annotations

from datetime import date

import pytest

from calendar_tui.planning.plan import make_plan
from calendar_tui.planning.trial_analysis.measures import measure_named, measures_of
from calendar_tui.planning.trial_analysis.working_out import Settings, analyses_by
from tests.planning.analysed_farm import means_of, plot, trial
from tests.planning.farm import season_of
from tests.planning.trended_farm import FLOWERING, bags_of, trended_data

TODAY = date(2027, 5, 1)
# Total THC of plots 1 to 6, of which the even ones have the wider spacing, on two days after flowering.
EARLY = (0.10, 0.14, 0.11, 0.15, 0.12, 0.13)
LATE = (0.20, 0.26, 0.19, 0.27, 0.22, 0.25)
SPACINGS = ("1.5x0.6", "1.5x0.9")


def plan(**changed):
    """changed: keys of the result of plot 2 on the later day."""
    plots = [
        plot(n, {"spacing": SPACINGS[(n + 1) % 2]}, block=(n + 1) // 2, cohort="A1", place="H1")
        for n in range(1, 7)
    ]
    pairs = [
        pair
        for n, (early, late) in enumerate(zip(EARLY, LATE, strict=True), 1)
        for pair in bags_of("A1", {"top": {21: early, 28: late}}, first=10 * n, plot=f"K1-{n}")
    ]
    pairs[3][1].update(changed)
    whole = bags_of("A1", {"top": {28: 0.9}}, first=90)
    data = trended_data(
        pairs, whole, plot=plots, trial=[trial("blocks", {"spacing": SPACINGS}) | {"place": "H1"}]
    )
    for n, result in enumerate(data["result"]):
        result["id"] = f"r{n:03d}"
    return make_plan(season_of({**data, "format": 3}), TODAY)


def analysed(of, measure, **settings):
    k1, used = of.season.trials["K1"], of.results.used
    chosen = measure_named(of.season, k1, measure, used)
    (one,) = analyses_by(of.season, k1, chosen, Settings(used=used, **settings))
    return one


def test_the_totals_of_each_plot_at_a_position_by_round():
    of = plan()
    assert [one.id for one in measures_of(of.season, of.season.trials["K1"], of.results.used)] == [
        "THC:top",
        "CBD:top",
    ]
    late = analysed(of, "thc:top")
    assert late.measure.head == "total THC, top (%)"
    assert [value.value for value in late.values] == pytest.approx(LATE)
    assert means_of(late) == pytest.approx({"1.5x0.6": 0.61 / 3, "1.5x0.9": 0.26})
    early = analysed(of, "THC:top", day=FLOWERING.replace(month=3, day=17))
    assert [value.value for value in early.values] == pytest.approx(EARLY)
    assert [value.value for value in analysed(of, "CBD:top").values] == pytest.approx([20 * x for x in LATE])


def test_a_total_under_its_limit_is_no_number():
    of = plan(found={"THC": "<0.05", "THCA": "0.2", "CBD": "4", "CBDA": "0"})
    one = analysed(of, "THC:top")
    assert one.analysis is None
    assert [(c.level, c.n, c.under) for c in one.counted] == [(("1.5x0.6",), 3, 0), (("1.5x0.9",), 3, 1)]
    assert analysed(of, "CBD:top").analysis is not None


def test_a_result_that_does_not_count_is_not_in_it():
    of = plan(aside="mixed up at the laboratory")
    assert [value.plot.number for value in analysed(of, "THC:top").values] == [1, 3, 4, 5, 6]
