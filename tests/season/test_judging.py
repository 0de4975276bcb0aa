"""Results under rule profiles. Expected verdicts: the rules as they are named beside each row; figures by hand (computed)."""

from dataclasses import replace
from datetime import date
from decimal import Decimal

import pytest

from calendar_tui.nature.legal_limits import ABSOLUTE, OVER, UNCLEAR, WITHIN, Uncertainty
from calendar_tui.nature.measured import (
    AS_RECEIVED,
    AS_TESTED,
    DRY,
    OF_TOTAL,
    Amount,
    Interval,
    Water,
    on_dry_matter,
)
from calendar_tui.season.judging import is_negligent, judge_lot, judge_variety, rule_total
from calendar_tui.season.refusal import Refusal
from calendar_tui.season.rules import MEAN_OF_VARIETY, NOT_SET, TAKEN_OFF, Profile

LOT = Profile(
    id="lot",
    name="Lot rule",
    limit=Decimal("0.3"),
    acid_factor=Decimal("0.877"),
    uncertainty=TAKEN_OFF,
    negligence=Decimal(1),
    as_of=date(2026, 11, 28),
)
VARIETY = replace(LOT, name="Variety rule", judged=MEAN_OF_VARIETY, decimals=2, basis=AS_TESTED)


def exact(text):
    return Interval.exactly(Decimal(text))


def dry(text):
    return Amount(exact(text), DRY)


def as_tested(text):
    return Amount(exact(text), AS_TESTED)


def uncertain(text):
    return Uncertainty(Decimal(text), ABSOLUTE)


def test_the_total_of_a_rule():
    """THC 0.05, THCA 0.30: 0.3131 (formula); delta-8 is counted whole where the rule counts it."""
    parts = {"THC": exact("0.05"), "THCA": exact("0.30"), "THC8": exact("0.01"), "CBD": None}
    assert rule_total(parts, LOT) == exact("0.3131")
    assert rule_total(parts, replace(LOT, also_counted=("THC8",))) == exact("0.3231")


@pytest.mark.parametrize(
    ("parts", "also", "words"),
    [
        ({"THC": exact("0.05")}, (), "THCA was not tested; the total under Lot rule needs it"),
        (
            {"THC": None, "THCA": None},
            (),
            "THC and THCA were not tested; the total under Lot rule needs them",
        ),
        ({"THC": exact("0.05"), "THCA": exact("0.3")}, ("THC8",), "THC8 was not tested"),
    ],
)
def test_a_part_that_was_not_tested_is_not_zero(parts, also, words):
    with pytest.raises(Refusal, match=words):
        rule_total(parts, replace(LOT, also_counted=also))


def test_a_rule_without_a_factor_asks_for_it():
    with pytest.raises(
        Refusal, match=r"the acid factor of Lot rule is not set; .*by the masses it is 0.87723"
    ):
        rule_total({"THC": exact("0"), "THCA": exact("0")}, replace(LOT, acid_factor=None))


@pytest.mark.parametrize(
    ("result", "uncertainty", "verdict"),
    [("0.35", "0.06", WITHIN), ("0.37", "0.06", OVER), ("0.33", "0.03", WITHIN)],
)
def test_a_lot_by_the_rule_of_7_cfr_990(result, uncertainty, verdict):
    """7 CFR 990.1 (read) and by the same rule."""
    assert judge_lot(dry(result), uncertain(uncertainty), LOT).verdict == verdict


@pytest.mark.parametrize(("result", "verdict"), [("0.30", WITHIN), ("0.33", UNCLEAR), ("0.37", OVER)])
def test_a_rule_that_does_not_set_the_uncertainty_leaves_only_what_it_would_decide(result, verdict):
    judged = judge_lot(dry(result), uncertain("0.06"), replace(LOT, uncertainty=NOT_SET))
    assert judged.verdict == verdict
    assert ("whether the rule takes the measurement uncertainty off" in judged.missing) == (
        verdict == UNCLEAR
    )


def test_a_lot_at_10_percent_water_is_judged_on_dry_weight():
    """0.27 % as received is 0.300 on dry weight (algebra)."""
    received = Amount(exact("0.27"), AS_RECEIVED)
    with pytest.raises(
        Refusal, match="is as received and Lot rule judges dry; enter the water of the sample"
    ):
        judge_lot(received, None, LOT)
    assert judge_lot(on_dry_matter(received, Water(Decimal(10), OF_TOTAL)), None, LOT).verdict == WITHIN


def test_a_variety_by_the_mean_of_its_samples():
    """0.28, 0.33, 0.31: 0.31, over (computed)."""
    assert judge_variety([as_tested(one) for one in ("0.28", "0.33", "0.31")], VARIETY).verdict == OVER
    assert judge_variety([as_tested("0.28"), as_tested("0.31")], VARIETY).verdict == WITHIN


def test_each_rule_judges_what_it_judges():
    with pytest.raises(Refusal, match="judges the mean of a variety's samples, and no lot"):
        judge_lot(as_tested("0.2"), None, VARIETY)
    with pytest.raises(Refusal, match="judges each lot, and no mean"):
        judge_variety([dry("0.2")], LOT)
    with pytest.raises(Refusal, match="has no result yet"):
        judge_variety([], VARIETY)
    with pytest.raises(Refusal, match="is dry and Variety rule judges as tested"):
        judge_variety([as_tested("0.2"), dry("0.2")], VARIETY)


def test_a_rule_without_a_limit_judges_nothing():
    with pytest.raises(Refusal, match="the limit of Lot rule is not set; enter it"):
        judge_lot(dry("0.2"), None, replace(LOT, limit=None))


@pytest.mark.parametrize(("result", "negligent"), [("0.97", WITHIN), ("1.04", OVER)])
def test_negligence(result, negligent):
    """0.97 is not negligent, 1.04 is (computed; the line as read has no uncertainty)."""
    assert is_negligent(dry(result), LOT) == negligent
    assert is_negligent(dry(result), replace(LOT, negligence=None)) == ""


def test_negligence_too_is_of_the_basis_of_the_rule():
    with pytest.raises(Refusal, match="enter the water"):
        is_negligent(Amount(exact("0.97"), AS_RECEIVED), LOT)
