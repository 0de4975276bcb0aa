"""Amounts, totals and their basis in exact decimals.

Expected figures: computed by hand from total = neutral + 0.877 x acid (7 CFR 990, read), dry = as received / (1 - M) for water of
the total and x (1 + M) for water of dry matter (algebra).
"""

from decimal import Decimal

import pytest
from hypothesis import given
from hypothesis import strategies as st

from calendar_tui.nature.measured import (
    ABSOLUTELY_DRY,
    AS_RECEIVED,
    AS_TESTED,
    DRY,
    OF_DRY,
    OF_TOTAL,
    Amount,
    Interval,
    Water,
    in_percent,
    on_dry_matter,
    total,
    total_gap,
    totals_disagree,
)

US_FACTOR = Decimal("0.877")
AMOUNTS = st.decimals(0, 30, places=4)


def exact(text):
    return Interval.exactly(Decimal(text))


def rounded(figure, places):
    return round(figure, places)


# --- totals (computed)


def test_a_total_of_two_measured_parts():
    assert total(exact("0.05"), exact("0.30"), US_FACTOR) == exact("0.3131")


@pytest.mark.parametrize(("acid", "ends"), [("0.30", ("0.2631", "0.3131")), ("0.28", ("0.2456", "0.2956"))])
def test_a_part_below_its_limit_leaves_both_ends(acid, ends):
    whole = total(Interval.below(Decimal("0.05")), exact(acid), US_FACTOR)
    assert tuple(rounded(end, 4) for end in (whole.low, whole.high)) == tuple(map(Decimal, ends))


def test_other_substances_that_a_rule_counts_are_added_whole():
    assert total(exact("0.05"), exact("0.20"), US_FACTOR, [exact("0.02")]) == exact("0.24540")


@pytest.mark.parametrize("factor", ["0", "-1", "1.1"])
def test_a_factor_that_is_no_share_is_refused(factor):
    with pytest.raises(ValueError, match="over 0 up to 1"):
        total(exact("0.1"), exact("0.1"), Decimal(factor))


@given(AMOUNTS, AMOUNTS, AMOUNTS)
def test_a_total_holds_every_value_that_its_parts_may_have(limit, acid, share):
    inside = limit * min(share / 30, Decimal(1))
    whole = total(Interval.below(limit), Interval.exactly(acid), US_FACTOR)
    one = total(Interval.exactly(inside), Interval.exactly(acid), US_FACTOR)
    assert whole.low <= one.low <= whole.high


# --- water (computed)


@pytest.mark.parametrize(
    ("received", "of", "dry"),
    [
        ("0.24048", OF_TOTAL, "0.2672"),
        ("0.24048", OF_DRY, "0.264528"),
        ("0.27", OF_TOTAL, "0.3"),
        ("0.27", OF_DRY, "0.297"),
    ],
)
def test_water_is_taken_out_by_its_own_basis(received, of, dry):
    amount = on_dry_matter(Amount(exact(received), AS_RECEIVED), Water(Decimal(10), of))
    assert amount == Amount(exact(dry), DRY, corrected=True)


def test_the_total_is_worked_out_first_and_corrected_once():
    """THC 0.03, THCA 0.24 as received: 0.24048, and 0.2672 at 10 % of the total (computed)."""
    received = Amount(total(exact("0.03"), exact("0.24"), US_FACTOR), AS_RECEIVED)
    assert on_dry_matter(received, Water(Decimal(10), OF_TOTAL)).percent == exact("0.2672")


def test_a_second_correction_is_refused():
    """It would give 0.2969 (computed)."""
    once = on_dry_matter(Amount(exact("0.24048"), AS_RECEIVED), Water(Decimal(10), OF_TOTAL))
    for basis in (DRY, ABSOLUTELY_DRY):
        with pytest.raises(ValueError, match="water is taken out once"):
            on_dry_matter(once, Water(Decimal(10), OF_TOTAL), basis)


@pytest.mark.parametrize("basis", [DRY, ABSOLUTELY_DRY])
def test_what_the_laboratory_reports_as_dry_is_not_corrected_again(basis):
    with pytest.raises(ValueError, match=f"reported as {basis}; its water is out already"):
        on_dry_matter(Amount(exact("0.3"), basis), Water(Decimal(10), OF_TOTAL), basis)


def test_as_tested_material_at_10_percent_water_is_more_when_absolutely_dry():
    """0.29 -> 0.322 (computed): the EU's basis is not the US's."""
    dry = on_dry_matter(Amount(exact("0.29"), AS_TESTED), Water(Decimal(10), OF_TOTAL), ABSOLUTELY_DRY)
    assert rounded(dry.percent.low, 3) == Decimal("0.322")
    assert dry.basis == ABSOLUTELY_DRY


def test_water_whose_basis_nobody_knows_is_refused():
    with pytest.raises(ValueError, match="of total or of dry matter: look which"):
        Water(Decimal(10), "")


@pytest.mark.parametrize(("share", "of"), [("-1", OF_TOTAL), ("100", OF_TOTAL), ("-1", OF_DRY)])
def test_water_that_cannot_be_is_refused(share, of):
    with pytest.raises(ValueError, match="from 0 to under 100"):
        Water(Decimal(share), of)


def test_more_water_than_dry_matter_can_be_of_dry_matter():
    assert Water(Decimal(300), OF_DRY).to_dry(Decimal("0.1")) == Decimal("0.4")


def test_a_basis_that_is_not_known_is_refused():
    with pytest.raises(ValueError, match="write one of: as received, as tested, dry, absolutely dry"):
        Amount(exact("0.3"), "wet")
    with pytest.raises(ValueError, match="water is taken out to dry or absolutely dry"):
        on_dry_matter(Amount(exact("0.3"), AS_RECEIVED), Water(Decimal(10), OF_TOTAL), AS_TESTED)


# --- units (computed)


@pytest.mark.parametrize(
    ("figure", "unit", "percent"),
    [
        ("3.1", "mg/g", "0.31"),
        ("2900", "ppm", "0.29"),
        ("2900", "mg/kg", "0.29"),
        ("3.1", "g/kg", "0.31"),
        ("0.31", "%", "0.31"),
        ("100", "%", "100"),
    ],
)
def test_units(figure, unit, percent):
    assert in_percent(Decimal(figure), unit) == Decimal(percent)


@pytest.mark.parametrize(
    ("figure", "unit", "words"),
    [
        ("-0.1", "%", "must be 0 or more"),
        ("NaN", "%", "must be 0 or more"),
        ("100.1", "%", "is over 100 %; look at the figure and at its unit"),
        ("1001", "mg/g", "is over 100 %"),
        ("3", "mg", 'unit "mg" is not known; write one of: %, mg/g'),
    ],
)
def test_amounts_that_cannot_be_are_refused(figure, unit, words):
    with pytest.raises(ValueError, match=words):
        in_percent(Decimal(figure), unit)


@given(st.decimals(0, 1000, places=3))
def test_mg_per_g_and_ppm_are_the_same_amount(mg_per_g):
    assert in_percent(mg_per_g, "mg/g") == in_percent(mg_per_g * 1000, "ppm")


def test_an_interval_has_its_lower_end_first():
    with pytest.raises(ValueError, match="the lower end first"):
        Interval(Decimal("0.2"), Decimal("0.1"))
    with pytest.raises(ValueError, match="0 or more"):
        Interval(Decimal("-0.2"), Decimal("0.1"))


def test_the_words_of_an_interval():
    assert exact("0.30").text == "0.30 %"
    assert Interval.below(Decimal("0.05")).text == "0-0.05 %"


# --- totals that a file gives, and means


@pytest.mark.parametrize(
    ("reported", "gap", "told"),
    [
        ("0.3131", "0", False),
        ("0.318", "0.0049", False),
        ("0.3181", "0.005", False),
        ("0.3182", "0.0051", True),
        ("0.3080", "0.0051", True),
    ],
)
def test_a_reported_total_over_0_005_from_ours_is_told(reported, gap, told):
    ours = exact("0.3131")
    assert total_gap(exact(reported), ours) == Decimal(gap)
    assert totals_disagree(exact(reported), ours) is told


def test_a_reported_total_inside_our_interval_agrees():
    assert not totals_disagree(exact("0.27"), Interval(Decimal("0.2631"), Decimal("0.3131")))


def test_a_reported_total_below_its_limit_agrees_where_ours_may_be_as_low():
    reported = Interval.below(Decimal("0.05"))
    assert not totals_disagree(reported, Interval(Decimal("0.02"), Decimal("0.09")))
    assert total_gap(reported, exact("0.06")) == Decimal("0.01")


@pytest.mark.parametrize(
    ("low", "high", "text"),
    [("1E+1", "1E+1", "10 %"), ("0", "1E-7", "0-0.0000001 %"), ("0.31310", "0.31310", "0.31310 %")],
)
def test_an_amount_is_written_out_and_never_with_an_exponent(low, high, text):
    assert Interval(Decimal(low), Decimal(high)).text == text
