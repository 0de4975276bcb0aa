"""The day to cut goes by what the rules judge: where they take the measurement uncertainty off, a result less the newest one."""

from datetime import date, timedelta

import pytest

from calendar_tui.handing_on.words.cut_text import limit_texts
from tests.planning.cut_farm import TODAY, US, bags, cut, planned
from tests.planning.sampled_farm import FLOWERING

# +7 d after the newest bag of check A, which is cut on day 42.
SEVEN_ON = FLOWERING + timedelta(days=49)


def with_uncertainty(*amounts, kind="absolute"):
    """The bags of check A; amounts: the uncertainty of each report in turn, "" for none."""
    both = bags()
    both["result"] = [
        result | ({"uncertainty": amount, "uncertainty_is": kind} if amount else {})
        for result, amount in zip(both["result"], amounts, strict=True)
    ]
    return both


def limit_of(*amounts, rules=US, kind="absolute"):
    return cut(planned(rules=rules, **with_uncertainty(*amounts, kind=kind))).limit


def test_the_chance_to_be_over_is_that_of_a_result_less_its_uncertainty():
    """US rule, check A +7 d with MU 0.04: P(result - MU <= 0.30) is .888 (facts page of samples, computed)."""
    assert limit_of("0.04", "0.04", "0.04", "0.04").over[SEVEN_ON] == pytest.approx(1 - 0.888, abs=0.001)
    assert limit_of("", "", "", "").over[SEVEN_ON] == pytest.approx(0.322, abs=0.001)


def test_the_earliest_day_is_later_and_the_plain_limits_day_stands_beside_it():
    limit = limit_of("0.04", "0.04", "0.04", "0.04")
    assert limit.judged == pytest.approx(0.34)
    assert limit.plain[0] == date(2027, 4, 8)  # day 43, check A
    assert limit.earliest > limit.plain[0]
    window = cut(planned(**with_uncertainty("0.04", "0.04", "0.04", "0.04"))).window
    assert window.latest.day == limit.earliest
    assert "less 0.04 percentage points, may be over 0.3 % (95 % edge" in window.latest.rule


def test_the_newest_report_that_has_an_uncertainty_counts():
    assert limit_of("0.02", "0.06", "", "0.03").judged == pytest.approx(0.33)
    assert limit_of("0.02", "0.06", "", "").judged == pytest.approx(0.36)


def test_a_relative_uncertainty_is_taken_off_the_result_itself():
    assert limit_of("10", "10", "10", "10", kind="relative").judged == pytest.approx(0.3 / 0.9)


def test_a_limit_that_is_not_reached_at_all_is_told_in_one_phrase():
    limit = limit_of("", "", "", "", rules=US | {"limit_percent": 1.0})
    assert "limit 1 % by the top: not within 35 d of the newest bag" in " ".join(limit_texts(limit, TODAY))


@pytest.mark.parametrize("rule", ["not taken off", "not set"])
def test_where_the_rules_take_nothing_off_the_plain_limit_is_judged(rule):
    limit = limit_of("0.04", "0.04", "0.04", "0.04", rules=US | {"uncertainty": rule})
    assert (limit.judged, limit.plain, limit.uncertainty) == (0.3, None, "")
    assert limit.earliest == date(2027, 4, 8)


def test_an_uncertainty_as_large_as_the_limit_takes_nothing_off():
    assert limit_of("", "", "", "0.3").judged == 0.3


def test_it_is_told_what_is_taken_off_and_that_one_which_is_not_reported_is_not_zero():
    told, plain, *_ = limit_texts(limit_of("", "", "", "0.04"), TODAY)
    assert "limit 0.3 % after 0.04 percentage points are taken off" in told
    assert "up to 0.34 % as reported, by the top: earliest" in told
    assert plain.startswith("by the plain 0.3 %, with nothing taken off: earliest 8 Apr 2027")
    texts = [*limit_texts(limit_of("", "", "", ""), TODAY)]
    assert "no report has one: nothing is taken off, and it is not zero" in texts[1]
