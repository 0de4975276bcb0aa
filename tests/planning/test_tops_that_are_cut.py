"""After the tops are cut, or where that is tried: what stands decides once it was sampled on enough dates; until then the tops do."""

from datetime import date, timedelta

import pytest

from calendar_tui.handing_on.words.cut_text import limit_texts
from calendar_tui.handing_on.words.trend_text import sentences
from calendar_tui.planning.cutting.gains import gain_of
from calendar_tui.planning.cutting.windows import LIMIT, WhatIf, sight_of
from calendar_tui.planning.results.trend import trend_of
from calendar_tui.season.sample_ids import check_sign
from tests.planning.cut_farm import TODAY, bags, cut, planned

TOPS = [{"id": "p1", "date": date(2027, 4, 9), "lot": "A1", "part": "top"}]
REACHED = date(2027, 4, 8)  # check A
MIDDLE = {21: "0.03", 28: "0.05", 35: "0.07", 42: "0.08"}
IDS = tuple(plain + check_sign(plain) for plain in ("A1T08", "K7Q3R", "26B1T", "11111"))


def plan_of(dates=0, passes=()):
    """The tops sampled as in check A, the middle on the first so many dates."""
    tops, middle = bags(), bags(dict([*MIDDLE.items()][:dates]), position="middle")
    for sample, result, name in zip(middle["sample"], middle["result"], IDS, strict=False):
        sample["id"] = result["sample"] = name
        result["id"] = f"m{name}"
    both = {key: tops[key] + middle[key] for key in tops}
    return planned(**both, **{"pass": [*passes]})


def limit_end(one):
    return next((end.day for kind, end in one.ends if kind == LIMIT), None)


@pytest.mark.parametrize("dates", [0, 1, 2])
def test_a_rest_that_was_hardly_sampled_has_the_limits_day_of_the_tops(dates):
    one = cut(plan_of(dates, TOPS))
    assert (one.limit.position, one.limit.is_cut, one.limit.missing) == ("top", True, 0)
    assert limit_end(one) == REACHED


@pytest.mark.parametrize("dates", [3, 4])
def test_a_rest_with_results_of_three_dates_decides_by_itself(dates):
    one = cut(plan_of(dates, TOPS))
    assert (one.limit.position, one.limit.is_cut) == ("middle", False)
    assert limit_end(one) is None or limit_end(one) > REACHED + timedelta(days=14)


def test_tops_first_promises_no_days_of_a_rest_that_was_never_sampled():
    plan = plan_of()
    one = cut(plan)
    gain = gain_of(sight_of(plan.season, plan.ripe, plan.today), one, WhatIf(tops_first=True))
    assert limit_end(gain.tried) == limit_end(one) == REACHED
    assert gain.days == 0


def test_the_trend_goes_by_the_same_position_and_tells_why():
    shown = trend_of(plan_of(2, TOPS), "A1")
    assert shown.thc.deciding == "top"
    assert "Cut already: top; it decides until what stands has results of 3 dates." in [
        *sentences(shown, "top")
    ]
    later = trend_of(plan_of(3, TOPS), "A1")
    assert later.thc.deciding == "middle"
    assert "Cut already: top; what still stands decides." in [*sentences(later, "middle")]


def test_the_day_to_cut_tells_that_the_tops_decide_though_they_are_cut():
    text = " ".join(limit_texts(cut(plan_of(1, TOPS)).limit, TODAY))
    assert "the top is cut, and decides until what stands has results of 3 dates" in text
    assert "is cut" not in " ".join(limit_texts(cut(plan_of(3, TOPS)).limit, TODAY))
