"""The trend of a cohort from its records: check values, the limit's dates, what is carried in, what changes nothing."""

from __future__ import annotations

from datetime import date, timedelta

import pytest

from calendar_tui.nature.cannabinoid_trend.trend import trend
from calendar_tui.planning.plan import make_plan
from calendar_tui.planning.results.taken_in import results_for
from calendar_tui.planning.results.trend import limit_dates, position_of, trend_of
from tests.planning.farm import season_of
from tests.planning.trended_farm import FLOWERING, RULES, A, B, C, D, bags_of, trended, trended_data

TODAY = FLOWERING + timedelta(days=70)


def on(day: int | None) -> date | None:
    return None if day is None else FLOWERING + timedelta(days=day)


def band_on(shown, day, position="top"):
    return next(band for band in position_of(shown.thc, position).days if band.day == day)


# Computed with the model of nature/cannabinoid_trend/prior.py: curve at 5, 50, 95 %, a new result's at 5 and 95 %, chance over 0.30.
@pytest.mark.parametrize(
    ("totals", "day", "edges", "over"),
    [
        (A, 49, (0.2237, 0.2831, 0.3622, 0.2147, 0.3691), 0.322),
        (A, 56, (0.2109, 0.3000, 0.4161, 0.2021, 0.4304), 0.485),
        (D, 35, (0.1942, 0.2568, 0.3400, 0.1875, 0.3491), 0.187),
        (D, 42, (0.2266, 0.3420, 0.5087, 0.2179, 0.5277), 0.690),
        (C, 69, (0.1591, 0.2239, 0.2809, 0.1528, 0.2912), 0.037),
    ],
)
def test_the_bands_from_records_are_the_check_values(totals, day, edges, over) -> None:
    band = band_on(trend_of(trended(bags_of("A1", totals), today=TODAY), "A1"), day)
    assert band[1:6] == pytest.approx(edges, abs=0.001)
    assert band.p_over == pytest.approx(over, abs=0.001)


@pytest.mark.parametrize(
    ("totals", "days"), [(A, (43, 57, None)), (D, (33, 39, None)), (C, (None, None, None))]
)
def test_the_limit_s_days_are_calendar_dates(totals, days) -> None:
    got = limit_dates(trended(bags_of("A1", totals), today=TODAY), "A1")
    assert got[:3] == tuple(map(on, days))
    assert (got.missing, got.position, got.limit) == (0, "top", 0.30)


def test_three_dates_are_provisional_and_two_have_no_dates_but_a_guess() -> None:
    assert limit_dates(trended(bags_of("A1", D), today=TODAY), "A1").provisional
    two = limit_dates(trended(bags_of("A1", {"top": {14: 0.04, 21: 0.09}}), today=TODAY), "A1")
    assert two[:5] == (None, None, None, 1, False)
    assert two.guess_half_by == on(33)
    assert not two.is_passed


def test_without_any_result_three_dates_are_missing() -> None:
    nothing = limit_dates(trended(today=TODAY), "A1")
    assert nothing[:7] == (None, None, None, 3, False, False, None)
    assert nothing.guess_half_by == on(33)


def test_the_limit_is_passed_once_the_likely_curve_is_there_or_a_result_is_over() -> None:
    assert not limit_dates(trended(bags_of("A1", A), today=on(56)), "A1").is_passed
    assert limit_dates(trended(bags_of("A1", A), today=on(57)), "A1").is_passed
    over = bags_of("A1", {"top": {21: 0.31}})
    assert limit_dates(trended(over, today=on(30)), "A1").is_passed


def test_without_rules_there_is_a_trend_and_no_limit() -> None:
    plan = trended(bags_of("A1", A), today=TODAY, profile=[])
    shown = trend_of(plan, "A1")
    assert (shown.profile, shown.limit, shown.guess) == (None, None, None)
    assert band_on(shown, 49).p_over is None
    assert limit_dates(plan, "A1")[:3] == (None, None, None)


def test_rules_in_force_are_those_of_today() -> None:
    later = dict(RULES) | {"id": "new", "limit_percent": 0.2, "starts": on(60)}
    rules = [dict(RULES), later]
    assert trend_of(trended(bags_of("A1", A), today=on(59), profile=rules), "A1").limit == 0.3
    assert trend_of(trended(bags_of("A1", A), today=on(60), profile=rules), "A1").limit == 0.2


def test_earlier_cohorts_of_the_variety_are_carried_in_and_no_other() -> None:
    """One result more of another variety, or of a later cohort, changes nothing; of an earlier one, the bands."""
    later = FLOWERING + timedelta(days=14)
    own = tuple(bags_of("B1", D, flowering=later))
    alone = trend_of(trended(own, today=TODAY), "B1")
    high = {"top": {21: 0.28, 28: 0.6, 35: 0.9, 42: 1.2}}
    beside = trend_of(trended(own, bags_of("P1", high, 50, later), today=TODAY), "B1")
    assert beside == alone
    with_earlier = trend_of(trended(own, bags_of("A1", high, 50), today=TODAY), "B1")
    assert with_earlier.earlier == ("A1",)
    assert band_on(with_earlier, 42).likely > band_on(alone, 42).likely
    first = trend_of(trended(bags_of("A1", D), today=TODAY), "A1")
    assert trend_of(trended(own, bags_of("A1", D, 50), today=TODAY), "A1")[8:] == first[8:]


def test_a_cohort_of_another_variety_that_flowered_earlier_changes_nothing() -> None:
    """P1, of another variety, is in flower two weeks before B1; made one of B1's variety, it is carried in."""
    own = tuple(bags_of("B1", D, flowering=FLOWERING + timedelta(days=14)))
    alone = trend_of(trended(own, today=TODAY), "B1")
    for variety, same in (("plain", True), ("amber", False)):
        data = trended_data(own, bags_of("P1", {"top": {21: 0.28, 28: 0.6, 35: 0.9, 42: 1.2}}, 50))
        (first,) = (cohort for cohort in data["cohort"] if cohort["id"] == "P1")
        first["variety"] = variety
        first["recorded"]["flowering"] = FLOWERING
        shown = trend_of(make_plan(season_of(data), TODAY), "B1")
        assert shown.earlier == (() if same else ("P1",))
        assert (shown.thc.positions == alone.thc.positions) is same


def test_the_order_of_the_results_in_the_file_changes_nothing() -> None:
    pairs = list(bags_of("A1", B))
    assert trend_of(trended(pairs, today=TODAY), "A1") == trend_of(trended(pairs[::-1], today=TODAY), "A1")


def test_a_result_that_is_not_in_yet_is_not_known() -> None:
    """Known today is last week's cut: the report of the last bag is of day 48."""
    plan = trended(bags_of("A1", A), today=on(47))
    assert len(trend_of(plan, "A1").used) == 3
    assert limit_dates(plan, "A1").provisional


def test_another_laboratory_is_a_step() -> None:
    plan = trended(bags_of("A1", A, laboratories=("lab", "lab", "other")), today=TODAY)
    assert trend_of(plan, "A1").deciding.stepped == ("other",)


def test_a_total_that_no_crop_can_have_is_left_out_with_why() -> None:
    plan = trended(bags_of("A1", A | {"middle": {21: 0.0}}), today=TODAY)
    shown = trend_of(plan, "A1")
    ((one, why),) = shown.left_out
    assert one.sample.position == "middle"
    assert "never nothing" in why
    assert len(shown.used) == 4


def test_a_lot_has_the_bags_of_its_own_and_those_of_no_lot() -> None:
    lots = [{"id": "east", "cohort": "A1", "part": "e"}, {"id": "west", "cohort": "A1", "part": "w"}]
    east = bags_of("A1", A, lot="east")
    west = bags_of("A1", D, 50, lot="west")
    plan = trended(east, west, bags_of("A1", {"top": {49: 0.25}}, 90), today=TODAY, lot=lots)
    assert [one.day for one in trend_of(plan, "east").used] == [21, 28, 35, 42, 49]
    assert len(trend_of(plan, "west").used) == 4
    assert len(trend_of(plan, "A1").used) == 8


def test_cbd_stands_beside_it_without_a_limit() -> None:
    shown = trend_of(trended(bags_of("A1", A), today=TODAY), "A1")
    (top,) = shown.cbd.positions
    assert [point.low for point in top.points] == pytest.approx([1.6, 2.8, 4.0, 4.8])
    assert top.days[-1].p_over is None


def test_a_plan_works_a_trend_out_once(monkeypatch) -> None:
    import calendar_tui.planning.results.trend as module

    made = []
    monkeypatch.setattr(module, "trend", lambda *a, _do=module.trend, **k: made.append(a) or _do(*a, **k))
    plan = trended(bags_of("A1", A), today=TODAY)
    limit_dates(plan, "A1")
    limit_dates(plan, "A1")
    assert len(made) == 2  # THC and CBD


def test_where_the_rules_take_the_uncertainty_off_the_chance_to_be_over_is_less() -> None:
    """Check value of the model: A + 7 d with 0.04 percentage points is acceptable in 0.888."""
    pairs = [(bag, row | {"uncertainty": "0.04"}) for bag, row in bags_of("A1", A)]
    taken_off = dict(RULES) | {"uncertainty": "taken off"}
    allowed = trend_of(trended(pairs, today=TODAY, profile=[taken_off]), "A1").allowance
    assert allowed.highest == pytest.approx(0.34)
    assert 1 - allowed.p_over[49] == pytest.approx(0.888, abs=0.001)
    assert trend_of(trended(pairs, today=TODAY), "A1").allowance is None
    assert trend_of(trended(bags_of("A1", A), today=TODAY, profile=[taken_off]), "A1").allowance is None


def test_an_uncertainty_as_large_as_the_limit_allows_nothing() -> None:
    pairs = [(bag, row | {"uncertainty": "0.3"}) for bag, row in bags_of("A1", A)]
    taken_off = dict(RULES) | {"uncertainty": "taken off"}
    assert trend_of(trended(pairs, today=TODAY, profile=[taken_off]), "A1").allowance is None


def test_a_relative_uncertainty_is_of_the_result() -> None:
    relative = {"uncertainty": "10", "uncertainty_is": "relative"}
    pairs = [(bag, row | relative) for bag, row in bags_of("A1", A)]
    taken_off = dict(RULES) | {"uncertainty": "taken off"}
    allowed = trend_of(trended(pairs, today=TODAY, profile=[taken_off]), "A1").allowance
    assert allowed.highest == pytest.approx(0.3333, abs=1e-4)


def test_three_positions_at_once_are_the_check_values_of_the_engine_s_joint_fit() -> None:
    """The command fits each position by itself; the records give the engine what its joint fit needs as well."""
    used = trend_of(trended(bags_of("A1", B), today=TODAY), "A1").used
    (band,) = trend(results_for(used, "thc"), [53], 0.30, joint=True).positions[0].days
    assert band[1:6] == pytest.approx((0.1992, 0.2476, 0.3137, 0.1927, 0.3220), abs=0.001)
    assert band.p_over == pytest.approx(0.108, abs=0.001)


# --- what is cut


def passed(*records):
    return {"pass": [{"id": f"p{n}", "lot": "A1"} | one for n, one in enumerate(records)]}


def test_a_lot_that_is_cut_has_its_day_and_is_not_passed_by_what_would_have_come_later() -> None:
    """The likely curve of A is at the limit on day 57; the lot was cut on day 50."""
    standing = trended(bags_of("A1", A), today=TODAY)
    assert trend_of(standing, "A1").cut is None
    assert limit_dates(standing, "A1").is_passed
    plan = trended(bags_of("A1", A), today=TODAY, **passed({"date": on(50), "last": True}))
    assert trend_of(plan, "A1").cut == on(50)
    assert not limit_dates(plan, "A1").is_passed
    late = trended(bags_of("A1", A), today=TODAY, **passed({"date": on(58), "last": True}))
    assert limit_dates(late, "A1").is_passed


def test_with_the_tops_cut_the_trend_goes_by_the_position_that_the_day_to_cut_goes_by() -> None:
    from calendar_tui.planning.cutting.windows import lot_cut, sight_of
    from calendar_tui.season.lots import lots_of_cohort

    plan = trended(bags_of("A1", B), today=TODAY, **passed({"date": on(50), "part": "top"}))
    lot = lots_of_cohort(plan.season, "A1")[0]
    limit = lot_cut(sight_of(plan.season, plan.ripe, plan.today, plan.results), lot).limit
    shown = trend_of(plan, "A1")
    assert (shown.thc.deciding, shown.cut, shown.parts_cut) == ("middle", None, ("top",))
    assert (limit.position, limit.earliest) == ("middle", limit_dates(plan, "A1").earliest)


def test_a_lot_of_which_all_is_cut_still_shows_what_decided() -> None:
    parts = passed(
        {"date": on(50), "part": "top"}, {"date": on(52), "part": "middle"}, {"date": on(55), "last": True}
    )
    shown = trend_of(trended(bags_of("A1", B), today=TODAY, **parts), "A1")
    assert (shown.thc.deciding, shown.cut) == ("top", on(55))


def test_with_the_uncertainty_taken_off_the_earliest_day_is_the_one_that_the_day_to_cut_goes_by() -> None:
    from calendar_tui.planning.cutting.windows import lot_cut, sight_of
    from calendar_tui.season.lots import lots_of_cohort

    pairs = [(bag, row | {"uncertainty": "0.04"}) for bag, row in bags_of("A1", A)]
    plan = trended(pairs, today=TODAY, profile=[dict(RULES) | {"uncertainty": "taken off"}])
    cut = lot_cut(
        sight_of(plan.season, plan.ripe, plan.today, plan.results), lots_of_cohort(plan.season, "A1")[0]
    )
    shown = trend_of(plan, "A1")
    assert cut.limit is not None
    assert shown.on(shown.allowance.earliest) == cut.limit.earliest
    assert cut.limit.earliest > limit_dates(plan, "A1").earliest == on(43)
