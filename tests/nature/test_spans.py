"""Spans made anew from records: worked examples, Student's t, and what no record may do."""

from __future__ import annotations

import pytest
from hypothesis import assume, given
from hypothesis import strategies as st

from calendar_tui.nature.spans import span_with_records, t_cdf, t_late

INDUCED_TO_FLOWERING = (10.0, 14.0, 20.0)

# Computed apart by the formulas of Gelman et al. 2013, section 3.3. Student's t agrees with scipy's for 1 to 39 df.
WORKED = [
    (INDUCED_TO_FLOWERING, [17], (12.2, 15.5, 20.4)),
    (INDUCED_TO_FLOWERING, [17, 19], (13.5, 16.7, 21.4)),
    (INDUCED_TO_FLOWERING, [17, 19, 18, 16], (14.2, 16.8, 20.7)),
    (INDUCED_TO_FLOWERING, [21, 23, 22], (16.0, 20.0, 26.1)),
    ((38.0, 45.0, 54.0), [41, 43, 40, 42, 41, 44], (38.8, 42.3, 46.8)),
]


@pytest.mark.parametrize(("span", "records", "expected"), WORKED)
def test_a_span_after_records(span, records, expected):
    assert span_with_records(span, records) == pytest.approx(expected, abs=0.05)


def test_without_records_a_span_stays_as_it_is():
    assert span_with_records(INDUCED_TO_FLOWERING, []) == INDUCED_TO_FLOWERING


def test_records_that_contradict_a_range_do_not_narrow_it():
    early, _likely, late = span_with_records(INDUCED_TO_FLOWERING, [21, 23, 22])
    assert late - early >= 10


# Percentiles: the usual printed tables (Abramowitz and Stegun, table 26.10), 97.5 % and 90 %.
@pytest.mark.parametrize(
    ("df", "t"), [(1, 12.706), (2, 4.303), (4, 2.776445), (5, 2.571), (10, 2.228), (60, 2.000)]
)
def test_student_s_t_against_printed_tables(df, t):
    assert t_cdf(t, df) == pytest.approx(0.975, abs=2e-5)
    assert t_cdf(-t, df) == pytest.approx(0.025, abs=2e-5)


@pytest.mark.parametrize(
    ("df", "t"), [(1, 3.078), (4, 1.533), (5, 1.476), (6, 1.440), (30, 1.310), (120, 1.289)]
)
def test_the_90th_percentile_of_student_s_t_against_printed_tables(df, t):
    assert t_late(df) == pytest.approx(t, abs=6e-4)


spans = st.lists(st.floats(0, 90), min_size=3, max_size=3).map(sorted).map(tuple)


@given(spans, st.lists(st.floats(0, 120), min_size=1, max_size=12))
def test_a_span_stays_in_order_and_its_likely_day_between_what_it_was_and_the_records(span, records):
    early, likely, late = span_with_records(span, records)
    assert 0 <= early <= likely + 1e-9
    assert likely <= late + 1e-9
    known = [span[1], *records]
    assert min(known) - 1e-9 <= likely <= max(known) + 1e-9


@given(spans, st.integers(1, 12))
def test_records_of_the_likely_day_never_widen_a_range(span, count):
    early, likely, late = span_with_records(span, [span[1]] * count)
    assert likely == pytest.approx(span[1])
    assert late - early <= span[2] - span[0] + 1e-9


def test_many_records_leave_little_of_what_was_believed_before():
    early, likely, late = span_with_records(INDUCED_TO_FLOWERING, [24, 26] * 200)
    assert likely == pytest.approx(25, abs=0.05)
    assert late - early == pytest.approx(
        2 * 1.2816 * 1.14, abs=0.2
    )  # sd 1, and the prior's share of the squares


@pytest.mark.parametrize(
    ("span", "records", "wrong"),
    [
        ((14.0, 10.0, 20.0), [12], "14, 10, 20 d: give early, likely and late"),
        ((-1.0, 10.0, 20.0), [12], "-1, 10, 20 d"),
        (INDUCED_TO_FLOWERING, [12, -3], "-3 d: it must be a number of days"),
        (INDUCED_TO_FLOWERING, [float("nan")], "nan d"),
    ],
)
def test_a_span_out_of_order_and_a_record_under_0_are_refused(span, records, wrong):
    with pytest.raises(ValueError, match=wrong):
        span_with_records(span, records)


@given(spans, st.floats(1.2, 6), st.sampled_from([-1, 1]))
def test_one_record_far_outside_a_range_never_narrows_it(span, times, side):
    """Further from the likely day than half the range and a fifth of that: below the 10th percentile, or over the 90th."""
    early, likely, late = span
    record = likely + side * times * (late - early) / 2
    assume(late - early > 0.5 and record >= 0)
    first, middle, last = span_with_records(span, [record])
    assume(first > 0)  # an early day under 0 is cut there
    assert last - first >= (late - early) - 1e-9
    assert middle == pytest.approx((likely + record) / 2)
