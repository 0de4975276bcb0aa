"""When half had come to a stage, from shares of two days: logistic between them, with 95 % where plants were counted."""

from __future__ import annotations

from datetime import date
from math import exp

import pytest

from calendar_tui.nature.rises import Share, around_half, half_date


def day(n):
    return date(2027, 1, n)


def test_shares_alike_on_both_sides_of_a_half_give_the_day_in_the_middle():
    half = half_date(Share(day(10), 0.3), Share(day(16), 0.7))
    assert half.likely == day(13)
    assert (half.first, half.last, half.counted) == (day(11), day(16), False)


@pytest.mark.parametrize("middle", [12, 14, 17])
def test_the_middle_of_a_logistic_curve_is_found_again(middle):
    def share(n):
        return 1 / (1 + exp(-0.5 * (n - middle)))

    assert half_date(Share(day(10), share(10)), Share(day(18), share(18))).likely == day(middle)


def test_more_plants_give_a_narrower_interval_round_the_same_day():
    few = half_date(Share(day(10), 0.3, 10), Share(day(16), 0.7, 10))
    many = half_date(Share(day(10), 0.3, 1000), Share(day(16), 0.7, 1000))
    assert few.likely == many.likely == day(13)
    assert few.first < many.first <= many.likely <= many.last < few.last


def test_the_interval_is_that_of_the_delta_method():
    # Logits of 3.5/7.5 and 7.5/3.5 are -0.7621 and 0.7621; each has the variance 1/3.5 + 1/7.5 = 0.41905. The day is
    # 3 +- 1.96 * 6 / 1.5243^2 * sqrt(2 * 0.7621^2 * 0.41905) = 3 +- 3.53 days after the first.
    half = half_date(Share(day(10), 0.3, 10), Share(day(16), 0.7, 10))
    assert (half.first, half.last) == (day(9), day(17))


def test_none_and_all_of_few_plants_are_no_certainty():
    half = half_date(Share(day(10), 0.0, 5), Share(day(14), 1.0, 5))
    assert half.likely == day(12)
    assert half.first <= day(11)
    assert half.last >= day(13)


def test_the_last_look_under_a_half_counts_where_shares_fall_once():
    looks = [Share(day(1), 0.2), Share(day(3), 0.6), Share(day(5), 0.4), Share(day(7), 0.8)]
    assert around_half(looks) == (looks[2], looks[3])
    assert around_half(looks[:3]) is None
    assert around_half(looks[1:2]) is None
