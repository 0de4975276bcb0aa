"""From when to when a lot may be cut. Sources and marks stand beside each row."""

from datetime import date

import pytest
from hypothesis import given
from hypothesis import strategies as st

from calendar_tui.nature.cutting_days import (
    Bound,
    cut_window,
    earliest_sample,
    flowering_window,
    harvest_complete_by,
    last_start,
    needs_new_sample,
)

SAMPLED = date(2026, 9, 1)
DAYS = st.dates(date(2026, 8, 1), date(2026, 11, 1))
BOUNDS = st.builds(Bound, DAYS, st.sampled_from(["sample", "spray", "limit", "frost"]))


@pytest.mark.parametrize(
    ("sampled", "by"),
    [
        (date(2026, 9, 1), date(2026, 10, 1)),
        (date(2028, 2, 10), date(2028, 3, 11)),  # leap year
        (date(2027, 2, 10), date(2027, 3, 12)),
    ],
)
def test_harvest_is_complete_30_days_after_the_sample(sampled, by):
    """7 CFR 990.26, read."""
    assert harvest_complete_by(sampled, 30) == by


def test_a_day_later_needs_another_sample():
    """2026-10-02 needs one, 10-01 does not (7 CFR 990.26, read)."""
    assert not needs_new_sample(date(2026, 10, 1), SAMPLED, 30)
    assert needs_new_sample(date(2026, 10, 2), SAMPLED, 30)


@pytest.mark.parametrize(
    ("first", "second", "needed"),
    [
        (date(2026, 9, 8), date(2026, 9, 22), [False, False]),
        (date(2026, 9, 20), date(2026, 10, 4), [False, True]),
    ],
)
def test_two_passes_after_one_sample(first, second, needed):
    """Both by 1 Oct: 8 and 22 Sep fit; after 20 Sep the second on 4 Oct needs a new sample (computed)."""
    assert [needs_new_sample(day, SAMPLED, 30) for day in (first, second)] == needed


def test_a_pass_before_its_official_sample_has_none():
    """No harvest before sampling (7 CFR 990, read)."""
    assert needs_new_sample(date(2026, 8, 31), SAMPLED, 30)
    assert not needs_new_sample(SAMPLED, SAMPLED, 30)


def test_the_earliest_sample_of_a_harvest():
    """2026-10-15: 2026-09-15 (7 CFR 990.24(a), read)."""
    assert earliest_sample(date(2026, 10, 15), 30) == date(2026, 9, 15)


def test_the_last_start_of_a_cutting_of_five_days():
    """Sampled 2026-09-01: 2026-09-27 (computed)."""
    assert last_start(harvest_complete_by(SAMPLED, 30), 5) == date(2026, 9, 27)
    assert last_start(date(2026, 10, 1), 1) == date(2026, 10, 1)
    with pytest.raises(ValueError, match="1 or more"):
        last_start(date(2026, 10, 1), 0)


def test_the_window_of_procedure_a_in_the_eu():
    """Flowering 2026-08-01 to 09-05: 2026-08-21 to 09-15 (639/2014 and 809/2014, read)."""
    assert flowering_window(date(2026, 8, 1), date(2026, 9, 5), 20, 10) == (
        date(2026, 8, 21),
        date(2026, 9, 15),
    )
    with pytest.raises(ValueError, match="change them round"):
        flowering_window(date(2026, 9, 5), date(2026, 8, 1), 20, 10)


# --- the window


def test_the_binding_rule_is_named_at_each_end():
    window = cut_window(
        [Bound(date(2026, 9, 1), "official sample"), Bound(date(2026, 9, 3), "pre-harvest interval")],
        [Bound(date(2026, 10, 1), "30 days after the sample"), Bound(date(2026, 9, 20), "limit")],
    )
    assert (window.earliest, window.latest) == (
        Bound(date(2026, 9, 3), "pre-harvest interval"),
        Bound(date(2026, 9, 20), "limit"),
    )
    assert (window.conflict, window.days) == (None, 18)


def test_a_conflict_names_both_rules_and_moves_nothing():
    window = cut_window([Bound(date(2026, 9, 21), "spray")], [Bound(date(2026, 9, 20), "limit")])
    assert window.conflict == (Bound(date(2026, 9, 21), "spray"), Bound(date(2026, 9, 20), "limit"))
    assert window.days == 0


def test_one_day_is_a_window():
    window = cut_window([Bound(SAMPLED, "sample")], [Bound(SAMPLED, "limit")])
    assert (window.conflict, window.days) == (None, 1)


def test_what_is_not_known_leaves_an_end_open():
    window = cut_window([], [Bound(SAMPLED, "limit")], ["no official sample is taken"])
    assert (window.earliest, window.days, window.waits_for) == (None, None, ("no official sample is taken",))


@given(st.lists(BOUNDS), st.lists(BOUNDS), BOUNDS)
def test_one_more_bound_never_widens_the_window(not_before, not_after, more):
    window = cut_window(not_before, not_after)
    later, sooner = cut_window([*not_before, more], not_after), cut_window(not_before, [*not_after, more])
    assert window.earliest is None or later.earliest.day >= window.earliest.day
    assert window.latest is None or sooner.latest.day <= window.latest.day
