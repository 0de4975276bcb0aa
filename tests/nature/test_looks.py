"""What was seen of a cohort, as an interval of days, and how likely it is."""

from __future__ import annotations

from math import inf

import numpy as np
import pytest

from calendar_tui.nature.looks import (
    NEVER,
    Between,
    error_cdf,
    first_seen,
    likelihood,
    meet,
    not_yet,
    seen_on,
    t4_cdf,
)


# The first: t at 97.5 % with 4 degrees of freedom in printed tables; the second by the incomplete beta function.
@pytest.mark.parametrize(
    ("t", "share"), [(2.776445, 0.975), (-1.0, 0.186950), (0.0, 0.5), (-2.776445, 0.025)]
)
def test_student_s_t_with_4_degrees_of_freedom(t, share):
    assert t4_cdf(np.array([t]))[0] == pytest.approx(share, abs=5e-7)


def test_the_error_of_a_record_is_a_mixture_of_four_scales():
    parts = [(1.5, 0.25), (2.5, 0.40), (4.0, 0.25), (6.0, 0.10)]
    expected = sum(weight * t4_cdf(np.array([5.0 / scale]))[0] for scale, weight in parts)
    assert error_cdf(np.array([5.0]))[0] == pytest.approx(expected)
    assert error_cdf(np.array([-1e6, 1e6])) == pytest.approx([0.0, 1.0], abs=1e-12)


def test_the_days_of_a_record_share_all_there_is():
    """Seen on one of the days up to 60, or not yet on day 60: together 1, wherever the plants are."""
    each = [likelihood(seen_on(n), 90) for n in range(-400, 61)]
    before = likelihood(Between(-inf, -401), 90)
    assert np.sum(each, axis=0) + before + likelihood(not_yet(60), 90) == pytest.approx(1.0)


def test_a_wider_look_is_the_sum_of_its_days():
    looked = likelihood(first_seen(40, last_looked=35), 90)
    assert looked == pytest.approx(sum(likelihood(seen_on(n), 90) for n in range(36, 41)))


def test_plants_that_are_never_induced_are_never_seen_so():
    assert likelihood(seen_on(40), 90)[NEVER] == 0
    assert likelihood(not_yet(40), 90)[NEVER] == 1


def test_records_of_one_cohort_are_one_record():
    assert meet([not_yet(20), seen_on(30), not_yet(25)]) == (29, 30)
    assert meet([not_yet(20), not_yet(25)]) == not_yet(25)
    with pytest.raises(ValueError, match="not yet on day 30, but seen on day 25"):
        meet([not_yet(30), seen_on(25)])
    with pytest.raises(ValueError, match="before it"):
        first_seen(25, last_looked=25)
