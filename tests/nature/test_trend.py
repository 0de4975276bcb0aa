"""The trend of one cohort: what is taken in, what is told, what changes nothing."""

from __future__ import annotations

import subprocess
import sys
from datetime import date, timedelta
from math import exp, inf, log, nan

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from test_trend_vectors import LIMIT, A, B, C, results_of

from calendar_tui.nature.cannabinoid_trend.bands import below, percentile
from calendar_tui.nature.cannabinoid_trend.carried import carried, taught
from calendar_tui.nature.cannabinoid_trend.curve_fit import curve_ahead, fit, result_ahead
from calendar_tui.nature.cannabinoid_trend.prior import MARKS, TOTAL_CBD, TOTAL_THC, Belief, Prior
from calendar_tui.nature.cannabinoid_trend.results import Result, check, log_value, measured
from calendar_tui.nature.cannabinoid_trend.trend import Uncertainty, highest_acceptable, odd_results, trend
from tests.counting import lines_run


def top(results: list[Result], *days: float):
    return trend(results, days, LIMIT).positions[0]


# --- what is told


def test_two_dates_are_points_only_and_the_missing_date_is_counted() -> None:
    rows = results_of(A)[:2]
    shown = top([*rows, measured(28, "top", 0.15)], 35, 42)
    assert (shown.missing, shown.days, shown.limit_days, shown.provisional) == (1, (), None, False)
    assert len(shown.points) == 3
    assert trend([], [30], LIMIT) == ((), None, ())


def test_the_top_decides_and_comes_first_and_without_one_the_highest() -> None:
    made = trend([*results_of(B), measured(20, "whole plant", 0.1)], [], LIMIT)
    assert [one.position for one in made.positions] == ["top", "middle", "bottom", "whole plant"]
    assert made.deciding == "top"
    without = [row for row in results_of(B) if row.position != "top"]
    assert trend(without, [], LIMIT).deciding == "middle"


def test_an_analyte_without_a_limit_has_bands_and_no_chance_over() -> None:
    made = trend(results_of(A), [49], None).positions[0]
    assert made.limit_days is None
    assert made.days[0].p_over is None
    assert made.days[0].likely == top(results_of(A), 49).days[0].likely


def test_an_odd_result_is_named_and_stays_in() -> None:
    rows = results_of(C)
    wrong = measured(34, "top", 0.55)
    odd = [row if row.day != 34 else wrong for row in rows]
    shown = top(odd, 62)
    assert [one.result for one in shown.odd] == [wrong]
    assert wrong in shown.points
    assert shown.days != top([row for row in rows if row.day != 34], 62).days
    assert top(rows).odd == ()


def test_what_the_others_foretell_of_a_result_is_what_a_fit_without_it_does() -> None:
    """The closed form against a second fit, on a result at the edge of being odd."""
    rows = results_of(C)
    for value in (0.5, 0.6, 0.05):
        changed = [*rows[:3], measured(41, "top", value), *rows[4:]]
        (odd,) = [one for one in odd_results(fit(changed, TOTAL_THC)) if one.result.day == 41]
        share = below(result_ahead(fit([*rows[:3], *rows[4:]], TOTAL_THC), "top", [41], ""), value)[0]
        assert odd.chance == pytest.approx(min(share, 1 - share), abs=2e-4)


def test_a_result_that_one_in_fifty_would_exceed_is_not_odd() -> None:
    """Odd is one that lies outside the middle 99 % of what the others foretell, so 1 in 200 at either side."""
    rows = results_of(C)
    without = fit([row for row in rows if row.day != 34], TOTAL_THC)
    ahead = result_ahead(without, "top", [34], "")
    for share, odd in ((0.98, False), (0.992, False), (0.998, True), (0.002, True), (0.008, False)):
        changed = [row for row in rows if row.day != 34] + [measured(34, "top", percentile(ahead, share)[0])]
        assert [one.result.day for one in top(changed).odd] == [34] * odd, share


def test_latest_is_the_first_day_on_which_19_in_20_curves_are_at_the_limit() -> None:
    rows = [measured(day, "top", value) for day, value in ((14, 0.06), (21, 0.13), (28, 0.21), (35, 0.27))]
    fitted = fit(rows, TOTAL_THC)
    low, likely = (percentile(curve_ahead(fitted, "top", range(35, 71)), share) for share in (0.05, 0.5))
    result_high = percentile(result_ahead(fitted, "top", range(35, 71), ""), 0.95)
    _, *days = trend(rows, [], 0.26).positions[0].limit_days
    assert days == [35 + int((edge >= 0.26).argmax()) for edge in (result_high, likely, low)]
    assert days == [35, 35, 41]


def test_a_limit_passed_at_the_last_sample_is_reached_on_that_day() -> None:
    rows = [measured(day, "top", value) for day, value in ((21, 0.2), (28, 0.35), (35, 0.5), (42.5, 0.6))]
    assert top(rows).limit_days[1:] == (43, 43, 43)


# --- laboratories


def test_another_laboratory_is_a_marked_step_and_widens_its_next_result() -> None:
    rows = results_of(A)
    moved = [*rows[:3], rows[3]._replace(laboratory="South")]
    shown, same = top(moved, 49), top(rows, 49)
    assert shown.stepped == ("South",)
    assert same.stepped == ()
    assert shown.days[0].high / shown.days[0].low > same.days[0].high / same.days[0].low


def test_a_new_result_is_one_of_the_laboratory_of_the_latest() -> None:
    rows = [
        row if row.day < 40 else measured(row.day, "top", row.high * 1.4, "South") for row in results_of(C)
    ]
    (band,) = top(rows, 58).days
    ahead = result_ahead(fit(rows, TOTAL_THC), "top", [58], "South")
    assert (band.result_low, band.result_high) == (percentile(ahead, 0.05)[0], percentile(ahead, 0.95)[0])
    assert band.result_high != pytest.approx(
        percentile(result_ahead(fit(rows, TOTAL_THC), "top", [58], ""), 0.95)[0]
    )


def test_a_constant_step_of_the_laboratory_is_partly_taken_for_one() -> None:
    rows = [measured(day, "top", value) for day, value in zip(*C[:1], C[1]["top"], strict=True)]
    higher = [row if row.day < 40 else measured(row.day, "top", row.high * 1.15, "South") for row in rows]
    unnamed = [row._replace(laboratory="") for row in higher]
    assert top(rows, 60).days[0].likely < top(higher, 60).days[0].likely < top(unnamed, 60).days[0].likely


# --- intervals and bad input


def test_an_interval_weighs_less_than_a_measured_middle() -> None:
    middle, spread = log_value(Result(21, "top", 0.2631, 0.3131))
    assert middle == pytest.approx(log((0.2631 * 0.3131) ** 0.5))
    assert spread == pytest.approx(log(0.3131 / 0.2631) ** 2 / 12)
    none_found = (log(0.005 * 0.05) / 2, log(10) ** 2 / 12)
    assert log_value(Result(21, "top", 0.0, 0.05)) == pytest.approx(none_found)
    rows = results_of(A)
    wide = [*rows[:3], rows[3]._replace(low=0.24 / 2, high=0.24 * 2)]
    (there,), (here,) = top(rows, 49).days, top(wide, 49).days
    assert here.high / here.low > 1.1 * there.high / there.low


def test_a_narrow_interval_is_nearly_its_middle_and_a_result_under_the_limit_hardly_moves_the_band() -> None:
    rows = results_of(A)
    (there,) = top(rows, 49).days
    (narrow,) = top([rows[0]._replace(low=0.0799, high=0.0801), *rows[1:]], 49).days
    assert narrow[1:] == pytest.approx(there[1:], rel=1e-3)
    (early,) = top([Result(7, "top", 0.0, 0.05), *rows], 49).days
    assert early.likely == pytest.approx(there.likely, rel=0.05)


@pytest.mark.parametrize(
    ("result", "words"),
    [
        (measured(21, "top", -0.02), "not negative"),
        (measured(21, "top", 0.0), "finds less than its limit"),
        (measured(21, "top", 270.0), "mg/g"),
        (Result(21, "top", 0.3, 0.2), "low end comes first"),
        (measured(21, "top", nan), "must be numbers"),
        (measured(inf, "top", 0.2), "must be numbers"),
    ],
)
def test_a_value_that_no_crop_has_is_refused_with_what_would_be_right(result, words) -> None:
    with pytest.raises(ValueError, match=words):
        trend([*results_of(A), result], [49], LIMIT)
    check(results_of(A))


def test_a_sample_from_before_flowering_is_kept_aside_and_changes_nothing() -> None:
    early = measured(-3, "top", 0.01)
    with_it, without = trend([early, *results_of(A)], [49], LIMIT), trend(results_of(A), [49], LIMIT)
    assert with_it.aside == (early,)
    assert with_it.positions == without.positions


def test_a_sample_of_the_day_of_flowering_itself_counts() -> None:
    shown = trend([measured(0, "top", 0.02), *results_of(A)], [49], LIMIT)
    assert shown.aside == ()
    assert len(shown.positions[0].points) == 5


@pytest.mark.parametrize("limit", [0.0, -0.3, 300.0])
def test_a_limit_that_is_none_is_refused(limit) -> None:
    with pytest.raises(ValueError, match="limit"):
        trend(results_of(A), [49], limit)


def test_an_uncertainty_says_whether_it_is_relative() -> None:
    assert highest_acceptable(0.3, Uncertainty(0.06)) == pytest.approx(0.36)
    assert highest_acceptable(0.3, Uncertainty(10, relative=True)) == pytest.approx(0.3 / 0.9)
    with pytest.raises(ValueError, match=r"is it 10 % of the result\?"):
        highest_acceptable(0.3, Uncertainty(10))
    with pytest.raises(ValueError, match="not negative"):
        highest_acceptable(0.3, Uncertainty(-0.01))


# --- what changes nothing


@pytest.mark.slow
@given(st.permutations(results_of(B)))
@settings(max_examples=10)
def test_the_order_of_results_changes_nothing(rows) -> None:
    assert trend(rows, [46, 53], LIMIT) == trend(results_of(B), [46, 53], LIMIT)
    assert trend(rows, [53], LIMIT, joint=True) == trend(results_of(B), [53], LIMIT, joint=True)


@given(st.floats(0.1, 20))
@settings(max_examples=10)
def test_values_limit_and_plateau_scaled_together_scale_the_band(by) -> None:
    prior = TOTAL_THC._replace(
        plateau_log=Belief(TOTAL_THC.plateau_log.mean + log(by), TOTAL_THC.plateau_log.sd)
    )
    scaled = [row._replace(low=row.low * by, high=row.high * by) for row in results_of(A)]
    there = trend(results_of(A), [49], LIMIT).positions[0]
    here = trend(scaled, [49], LIMIT * by, prior).positions[0]
    assert here.days[0].p_over == pytest.approx(there.days[0].p_over, abs=1e-6)
    assert here.limit_days[1:] == there.limit_days[1:]
    assert here.days[0][1:6] == pytest.approx([edge * by for edge in there.days[0][1:6]], rel=1e-6)


def test_a_result_of_another_position_changes_nothing_but_its_own() -> None:
    more = [*results_of(A), measured(21, "bottom", 0.9)]
    assert top(more, 49) == top(results_of(A), 49)


def test_another_cohort_changes_nothing_and_the_same_results_give_the_same_bytes() -> None:
    before = repr(trend(results_of(A), [42, 49], LIMIT))
    trend(results_of(C), [60], LIMIT)
    assert repr(trend(results_of(A), [42, 49], LIMIT)) == before


def test_the_work_of_a_day_does_not_grow_with_the_points_of_the_grid() -> None:
    """Points and percentiles are worked out by arrays of some days, not one after another: a day has some thousand points."""
    rows = [measured(14 + 7 * n, "top", 0.05 + 0.03 * n) for n in range(8)]
    top(rows, 70)
    few, many = lines_run(lambda: top(rows, *range(70, 78))), lines_run(lambda: top(rows, *range(70, 150)))
    assert len(fit(rows, TOTAL_THC).kept) > 500
    assert many - few < 100 * 72


def test_edges_stand_in_order_and_the_chance_over_grows_with_a_lower_limit() -> None:
    for vector in (A, C):
        bands = top(results_of(vector), *range(14, 90, 3)).days
        assert all(one.low < one.likely < one.high and one.result_low < one.result_high for one in bands)
    (low,), (high,) = (trend(results_of(A), [49], limit).positions[0].days for limit in (0.25, 0.35))
    assert low.p_over > high.p_over


# --- earlier cohorts


def test_without_earlier_cohorts_the_prior_is_as_it_was() -> None:
    assert carried(TOTAL_THC, []) is TOTAL_THC
    nothing = taught(fit([], TOTAL_THC))
    after = carried(TOTAL_THC, [nothing])
    assert after.plateau_log == pytest.approx(TOTAL_THC.plateau_log)
    assert after.falls == tuple(pytest.approx(fall) for fall in TOTAL_THC.falls)


def test_low_earlier_cohorts_bring_a_lower_and_narrower_prior_but_never_a_narrow_one() -> None:
    one = taught(fit(results_of(C), TOTAL_THC))
    first, many = carried(TOTAL_THC, [one]), carried(TOTAL_THC, [one] * 50)
    plateaus = [prior.plateau_log for prior in (TOTAL_THC, first, many)]
    assert plateaus[0].mean > plateaus[1].mean > plateaus[2].mean > log(0.2)
    assert plateaus[0].sd > plateaus[1].sd > plateaus[2].sd > 0.70 * plateaus[0].sd
    falls = [
        (fall.weight + cohort + cohort) / 3 for fall, cohort in zip(TOTAL_THC.falls, one.falls, strict=True)
    ]
    assert [fall.weight for fall in carried(TOTAL_THC, [one, one]).falls] == pytest.approx(falls)
    likely = [
        percentile(curve_ahead(fit([], prior), "top", [60]), 0.5)[0] for prior in (TOTAL_THC, first, many)
    ]
    assert likely[0] > likely[1] > likely[2]


def test_a_cohort_sampled_at_the_bottom_alone_teaches_the_top_less_surely() -> None:
    rows = results_of(C)
    bottom = [measured(row.day, "bottom", row.high * 0.835) for row in rows]  # 0.835 is the prior's e^-0.18
    by_top, by_bottom = taught(fit(rows, TOTAL_THC)), taught(fit(bottom, TOTAL_THC))
    assert by_bottom.plateau_log.mean == pytest.approx(by_top.plateau_log.mean, abs=0.1)
    assert by_bottom.plateau_log.sd > by_top.plateau_log.sd


def test_cbd_at_twenty_times_the_level_has_the_same_trend_twenty_times_as_high() -> None:
    higher = [measured(row.day, "top", row.high * 20) for row in results_of(A)]
    (cbd,) = trend(higher, [49], None, TOTAL_CBD).positions[0].days
    (thc,) = trend(results_of(A), [49], None).positions[0].days
    assert cbd[1:6] == pytest.approx([20 * edge for edge in thc[1:6]], rel=1e-6)


def test_every_figure_of_the_prior_has_its_mark() -> None:
    assert set(MARKS) == set(Prior._fields)


def test_the_prior_is_read_without_numpy() -> None:
    code = "import sys, calendar_tui.nature.cannabinoid_trend.prior, calendar_tui.nature.cannabinoid_trend.results"
    ran = subprocess.run(
        [sys.executable, "-c", f"{code}; print('numpy' in sys.modules)"],
        capture_output=True,
        text=True,
        check=True,
    )
    assert ran.stdout == "False\n"


def test_cbd_at_the_limit_of_thc_lies_between_the_published_slopes() -> None:
    """CBD on THC has a slope of 16.8 to 22.8 (Sandhu et al. 2022, Agronomy 12:2845, read): 5.04 to 6.84 % CBD at 0.3 % THC."""
    assert pytest.approx((5.04, 6.84)) == (LIMIT * 16.8, LIMIT * 22.8)
    assert 5.04 < LIMIT * exp(TOTAL_CBD.plateau_log.mean - TOTAL_THC.plateau_log.mean) < 6.84


@pytest.mark.parametrize(("after_initiation_d", "passed"), [(41, date(2021, 9, 15)), (50, date(2021, 9, 24))])
def test_published_days_of_passing_the_limit_lie_within_the_belief_about_a_rise(
    after_initiation_d: int, passed: date
) -> None:
    """Two cultivars passed 0.3 % total THC 41 and 50 d after flower initiation (read); initiation on 5 Aug as an example.

    From initiation to 50 % flowering, where the trend's days begin, go 10 to 20 d (placeholder).
    """
    assert date(2021, 8, 5) + timedelta(days=after_initiation_d) == passed
    share = LIMIT / exp(TOTAL_THC.plateau_log.mean)
    crossing_d = TOTAL_THC.midpoint_d.mean + exp(TOTAL_THC.pace_log.mean) * log(share / (1 - share))
    for to_flowering_d in (10, 20):
        assert abs(after_initiation_d - to_flowering_d - crossing_d) < 2 * TOTAL_THC.midpoint_d.sd
