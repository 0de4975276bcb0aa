"""How many fits of results a season takes: only those that decide a date, none twice, and none for the first picture."""

from __future__ import annotations

from datetime import date, timedelta
from typing import Any

import pytest

from calendar_tui.nature.cannabinoid_trend.results import Result
from calendar_tui.planning.plan import Plan, make_first_plan, make_plan
from calendar_tui.planning.results import fits
from calendar_tui.planning.results.trend import limit_dates, trend_of
from tests.planning.cut_farm import TODAY, A, bags, cut_data
from tests.planning.farm import season_of
from tests.planning.trended_farm import FLOWERING, B, D, bags_of, trended

Fits = list[tuple[set[str], int]]


@pytest.fixture
def made(monkeypatch: pytest.MonkeyPatch) -> Fits:
    """The positions and the count of the results of each fit from here on, with none kept from before."""
    for kept in (fits.prior_after, fits.fit_after, fits.limit_after, fits.guess_after):
        kept.cache_clear()
    made: Fits = []
    fit = fits.fit

    def noted(rows: tuple[Result, ...], prior: Any) -> Any:
        made.append(({row.position for row in rows}, len(rows)))
        return fit(rows, prior)

    monkeypatch.setattr(fits, "fit", noted)
    return made


def in_three_positions(today: date = FLOWERING + timedelta(days=60)) -> Plan:
    return trended(bags_of("A1", B), today=today)


def test_dates_take_one_fit_of_the_position_that_decides(made: Fits) -> None:
    plan = in_three_positions()
    assert made == []
    assert plan.timelines["A1"].likely("harvest")
    assert made == [({"top"}, 5)]


def test_a_trend_takes_the_other_fits_and_none_again(made: Fits) -> None:
    plan = in_three_positions()
    harvest = plan.timelines["A1"].likely("harvest")
    shown = trend_of(plan, "A1")
    assert len(made) == 6  # three positions of THC, the same of CBD
    again = in_three_positions()
    assert again.timelines["A1"].likely("harvest") == harvest
    assert trend_of(again, "A1") == shown
    assert len(made) == 6


def test_the_dates_of_the_trend_are_those_that_the_cutting_goes_by(made: Fits) -> None:
    from calendar_tui.planning.cutting.windows import lot_cut, sight_of
    from calendar_tui.season.lots import lots_of_cohort

    plan = in_three_positions()
    sight = sight_of(plan.season, plan.ripe, plan.today, plan.results)
    limit = lot_cut(sight, lots_of_cohort(plan.season, "A1")[0]).limit
    told = limit_dates(plan, "A1")
    assert limit is not None
    assert (limit.earliest, limit.likely, limit.latest) == told[:3]
    deciding = trend_of(plan, "A1").deciding
    assert deciding is not None
    over = {FLOWERING + timedelta(days=int(band.day)): band.p_over for band in deciding.days}
    assert limit.over == {day: pytest.approx(over[day], abs=1e-12) for day in limit.over}
    assert len(limit.over) == 36


def test_earlier_cohorts_take_a_fit_each(made: Fits) -> None:
    later = FLOWERING + timedelta(days=14)
    pairs = bags_of("A1", B), bags_of("B1", D, 50, later)
    plan = trended(*pairs, today=later + timedelta(days=60))
    assert plan.timelines["B1"].likely("harvest")
    assert made == [({"top", "middle", "bottom"}, 15), ({"top"}, 3)]


def test_two_dates_of_samples_take_none(made: Fits) -> None:
    plan = make_plan(season_of(cut_data(**bags({21: "0.08", 28: "0.14"}))), TODAY)
    assert all(timeline.likely("harvest") for timeline in plan.timelines.values())
    assert plan.decisions
    assert made == []


def test_a_lot_that_is_cut_takes_none(made: Fits) -> None:
    whole = {"id": "p1", "date": TODAY - timedelta(days=1), "lot": "A1", "last": True}
    plan = make_plan(season_of(cut_data(**bags(A)) | {"pass": [whole]}), TODAY)
    assert all(timeline.likely("harvest") for timeline in plan.timelines.values())
    assert plan.decisions is not None
    assert made == []
    standing = make_plan(season_of(cut_data(**bags(A))), TODAY)
    assert standing.timelines["A1"].likely("harvest")
    assert len(made) == 1


def test_the_plan_by_ripeness_takes_none_and_has_the_dates_without_results(made: Fits) -> None:
    season = season_of(cut_data(**bags(A)))
    without = make_plan(season_of(cut_data()), TODAY)
    for make in (make_plan, make_first_plan):
        plan = make(season, TODAY)
        drawn = plan.by_ripeness.timelines
        assert all(
            drawn[name].likely("harvest") == at.likely("harvest") for name, at in without.timelines.items()
        )
        assert made == []
        assert plan.by_ripeness.by_ripeness is plan.by_ripeness
        assert plan.timelines["A1"].likely("harvest") != without.timelines["A1"].likely("harvest")
        made.clear()
        fits.fit_after.cache_clear()
        fits.limit_after.cache_clear()
    assert without.by_ripeness is without
