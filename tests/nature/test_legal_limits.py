"""A result against a limit. Sources and marks stand beside each row."""

from decimal import Decimal

import pytest
from hypothesis import given
from hypothesis import strategies as st

from calendar_tui.nature.legal_limits import (
    ABSOLUTE,
    OVER,
    RELATIVE,
    UNCLEAR,
    WITHIN,
    Uncertainty,
    judge_mean,
    judge_negligence,
    judge_result,
    written,
)
from calendar_tui.nature.measured import (
    ABSOLUTELY_DRY,
    AS_TESTED,
    OF_TOTAL,
    Amount,
    Interval,
    Water,
    on_dry_matter,
    total,
)

LIMIT = Decimal("0.30")
AMOUNTS = st.decimals(0, 2, places=3)


def exact(text):
    return Interval.exactly(Decimal(text))


def absolute(text):
    return Uncertainty(Decimal(text), ABSOLUTE)


# --- the uncertainty is taken off


@pytest.mark.parametrize(
    ("result", "uncertainty", "low", "high", "verdict"),
    [
        ("0.35", "0.06", "0.29", "0.41", WITHIN),  # 7 CFR 990.1, read
        ("0.37", "0.06", "0.31", "0.43", OVER),  # by the same rule
        ("0.33", "0.03", "0.30", "0.36", WITHIN),  # exactly at the limit, by the same rule
        ("0.3131", "0.04", "0.2731", "0.3531", WITHIN),  # formula
    ],
)
def test_results_with_an_absolute_uncertainty(result, uncertainty, low, high, verdict):
    judged = judge_result(exact(result), LIMIT, absolute(uncertainty), taken_off=True)
    assert (judged.low, judged.high, judged.verdict) == (Decimal(low), Decimal(high), verdict)


def test_binary_fractions_would_have_failed_the_sample_at_the_limit():
    assert 0.33 - 0.03 > 0.3
    assert Decimal("0.33") - Decimal("0.03") == LIMIT


def test_a_relative_uncertainty_is_a_share_of_the_result():
    """10 % of 0.33 is 0.033, low end 0.297, acceptable (computed)."""
    judged = judge_result(exact("0.33"), LIMIT, Uncertainty(Decimal(10), RELATIVE), taken_off=True)
    assert (judged.low, judged.verdict) == (Decimal("0.297"), WITHIN)


def test_a_relative_uncertainty_that_was_taken_as_an_absolute_one_is_refused():
    with pytest.raises(
        ValueError, match=r"more than the result of 0.33 % itself; 10 % of the result would be 0.033 %"
    ):
        judge_result(exact("0.33"), LIMIT, absolute("10"), taken_off=True)


def test_a_small_result_near_its_limit_of_quantification_may_have_a_larger_uncertainty():
    judged = judge_result(exact("0.01"), LIMIT, absolute("0.02"), taken_off=True)
    assert (judged.low, judged.high, judged.verdict) == (0, Decimal("0.03"), WITHIN)


@pytest.mark.parametrize(("result", "verdict"), [("0.30", WITHIN), ("0.31", UNCLEAR)])
def test_an_uncertainty_that_the_report_does_not_give_is_not_zero(result, verdict):
    judged = judge_result(exact(result), LIMIT, None, taken_off=True)
    assert judged.verdict == verdict
    assert ("acceptable only if that is 0.01 percentage points or more" in judged.missing) == (
        verdict == UNCLEAR
    )


@pytest.mark.parametrize(
    ("uncertainty", "verdict"), [(None, OVER), (Uncertainty(Decimal("0.05"), ABSOLUTE), OVER)]
)
def test_where_the_rule_takes_no_uncertainty_off_it_does_not_count(uncertainty, verdict):
    assert judge_result(exact("0.31"), LIMIT, uncertainty, taken_off=False).verdict == verdict


@pytest.mark.parametrize(("acid", "verdict"), [("0.30", UNCLEAR), ("0.28", WITHIN), ("0.35", OVER)])
def test_a_total_that_straddles_the_limit_is_unclear(acid, verdict):
    """THC < 0.05 with THCA 0.30: 0.2631-0.3131, straddles; 0.28: 0.2456-0.2956 (computed)."""
    whole = total(Interval.below(Decimal("0.05")), exact(acid), Decimal("0.877"))
    assert judge_result(whole, LIMIT, absolute("0"), taken_off=True).verdict == verdict


@pytest.mark.parametrize(("amount", "kind"), [("-0.1", ABSOLUTE), ("100", RELATIVE), ("NaN", ABSOLUTE)])
def test_an_uncertainty_that_cannot_be_is_refused(amount, kind):
    with pytest.raises(ValueError, match="0 to under 100"):
        Uncertainty(Decimal(amount), kind)


def test_an_uncertainty_without_its_kind_is_refused():
    with pytest.raises(ValueError, match="write one of: absolute, relative"):
        Uncertainty(Decimal("0.1"), "")


@given(AMOUNTS, AMOUNTS, st.decimals(0, "0.5", places=3))
def test_more_thc_never_makes_a_result_acceptable(less, more, uncertainty):
    verdicts = [
        judge_result(Interval.exactly(one), LIMIT, Uncertainty(uncertainty, ABSOLUTE), taken_off=True).verdict
        for one in sorted((less, more))
    ]
    assert verdicts != [OVER, WITHIN]


# --- negligence


@pytest.mark.parametrize(
    ("result", "uncertainty", "negligent"),
    [("0.97", "0.05", WITHIN), ("1.04", "0.03", OVER), ("1.00", "0.03", WITHIN)],
)
def test_the_negligence_line(result, uncertainty, negligent):
    """0.97 +- 0.05 is over the limit and not negligent, 1.04 +- 0.03 is (computed; no uncertainty in the line as read)."""
    assert judge_result(exact(result), LIMIT, absolute(uncertainty), taken_off=True).verdict == OVER
    assert judge_negligence(exact(result), Decimal("1.0")) == negligent


def test_negligence_of_a_straddling_total_is_unclear():
    assert judge_negligence(Interval(Decimal("0.98"), Decimal("1.03")), Decimal("1.0")) == UNCLEAR


# --- the mean of a variety


def test_the_mean_of_a_variety_in_the_eu():
    """0.28, 0.33, 0.31: mean 0.3067, written 0.31, over (computed)."""
    judged = judge_mean([exact("0.28"), exact("0.33"), exact("0.31")], LIMIT, 2)
    assert judged.verdict == OVER
    assert round(judged.low, 4) == Decimal("0.3067")
    assert written(judged.low, 2) == Decimal("0.31")


def test_a_mean_that_is_over_only_before_it_is_written_is_unclear():
    judged = judge_mean([exact("0.30"), exact("0.30"), exact("0.31")], LIMIT, 2)
    assert judged.verdict == UNCLEAR
    assert "as worked out or as written with 2 decimals" in judged.missing


def test_a_mean_at_the_limit_keeps_it():
    assert judge_mean([exact("0.29"), exact("0.31")], LIMIT, 2).verdict == WITHIN


def test_a_mean_of_quotients_at_the_limit_is_not_a_hair_over():
    water = Water(Decimal(10), OF_TOTAL)
    dry = [
        on_dry_matter(Amount(exact(one), AS_TESTED), water, ABSOLUTELY_DRY).percent
        for one in ("0.26", "0.27", "0.28")
    ]
    assert judge_mean(dry, LIMIT, None).verdict == WITHIN


def test_each_sample_is_written_with_two_decimals_halves_up():
    assert [written(Decimal(one), 2) for one in ("0.305", "0.3049", "0.315")] == [
        Decimal("0.31"),
        Decimal("0.30"),
        Decimal("0.32"),
    ]


def test_a_sample_below_its_limit_leaves_the_mean_open():
    judged = judge_mean([Interval(Decimal("0.20"), Decimal("0.30")), exact("0.35")], LIMIT, 2)
    assert judged.verdict == UNCLEAR
    assert judged.missing == "a value of the part that is below its limit"


@pytest.mark.parametrize(
    ("samples", "plain"), [(("10", "10"), "10"), (("20.0", "20.0"), "20"), (("0.30", "0.30"), "0.3")]
)
def test_a_mean_of_whole_tens_is_written_without_an_exponent(samples, plain):
    judged = judge_mean([exact(one) for one in samples], LIMIT, None)
    assert (str(judged.low), str(judged.high)) == (plain, plain)


def test_a_mean_of_no_samples_is_refused():
    with pytest.raises(ValueError, match="there is no result"):
        judge_mean([], LIMIT, 2)


@given(st.lists(AMOUNTS, min_size=1, max_size=6))
def test_the_order_of_samples_is_all_one(figures):
    forward = judge_mean([Interval.exactly(one) for one in figures], LIMIT, 2)
    assert forward == judge_mean([Interval.exactly(one) for one in reversed(figures)], LIMIT, 2)
