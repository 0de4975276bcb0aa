"""An own test over the limit stands first in what is to be decided, with its lot and the figure that is judged."""

from __future__ import annotations

from datetime import date

import pytest

from calendar_tui.handing_on.words.decisions_text import brief_decisions_text, decision_text
from calendar_tui.planning.deciding.decision import OVER, RESULT
from calendar_tui.planning.today import today_of
from tests.planning.cut_farm import IDS, TODAY, US, planned
from tests.planning.sampled_farm import FLOWERING

LOTS = [{"id": "A1-east", "cohort": "A1"}, {"id": "A1-north", "cohort": "A1"}]
CUT, IN = date(2027, 4, 2), date(2027, 4, 9)


def bag(name, lot="", position="top", cut=CUT):
    return {"id": name, "date": cut, "cohort": "A1", "position": position, "lot": lot, "laboratory": "lab"}


def found(name, thc, thca="0", day=IN, **more):
    return {"id": f"r{name}", "date": day, "sample": name, "found": {"THC": thc, "THCA": thca}, **more}


def plan_of(samples, results, rules=US, **more):
    return planned(rules=rules, sample=samples, result=results, lot=LOTS, **more)


def over(plan):
    return [decision_text(row, TODAY) for row in plan.decisions if row.kind == OVER]


def test_a_pre_test_seven_times_over_the_limit_stands_first_with_its_lot():
    plan = plan_of(
        [bag(IDS[0], "A1-east"), bag(IDS[1], "A1-north")],
        [found(IDS[0], "0.02"), found(IDS[1], "0.12", "2.31")],
        rules=US | {"negligence_percent": 1},
    )
    first = plan.decisions[0]
    assert (first.kind, first.about, first.record) == (OVER, "A1-north", f"r{IDS[1]}")
    assert first.what == "A1-north OVER: own test 2.1459 %, limit 0.3 %"
    assert "over the 1 % of negligence too" in first.why
    assert "top, cut 2 Apr" in first.why
    assert today_of(plan).decisions[0] == first
    assert brief_decisions_text(plan.decisions, TODAY).endswith(
        "first A1-north OVER: own test 2.1459 %, limit 0.3 %"
    )


def test_a_result_that_is_acceptable_less_its_uncertainty_is_not_over():
    assert over(plan_of([bag(IDS[0])], [found(IDS[0], "0.33", uncertainty="0.03")])) == []
    assert len(over(plan_of([bag(IDS[0])], [found(IDS[0], "0.34", uncertainty="0.03")]))) == 1


def test_without_an_uncertainty_it_is_over_as_reported_and_that_is_told():
    (text,) = over(plan_of([bag(IDS[0], "A1-east")], [found(IDS[0], "0.31")]))
    assert text.startswith("A1-east OVER: own test 0.31 %, limit 0.3 %: ")
    assert "its report has no measurement uncertainty" in text


def test_where_the_mean_of_a_variety_is_judged_a_bag_over_the_limit_is_told_too():
    plan = plan_of(
        [bag(IDS[0], "A1-east")], [found(IDS[0], "0.31")], rules=US | {"judged": "mean of a variety"}
    )
    of_lot, of_variety = over(plan)
    assert of_lot.startswith("A1-east OVER: ")
    assert "the mean of all samples of its variety is judged" in of_lot
    assert "OVER: mean of own tests 0.31 %" in of_variety


def test_a_newer_bag_of_that_place_under_the_limit_takes_the_row_away():
    samples = [bag(IDS[0], cut=date(2027, 3, 26)), bag(IDS[1])]
    assert over(plan_of(samples, [found(IDS[0], "0.40"), found(IDS[1], "0.20")])) == []
    other = [samples[0], bag(IDS[1], position="bottom")]
    assert len(over(plan_of(other, [found(IDS[0], "0.40"), found(IDS[1], "0.20")]))) == 1


def test_a_lot_that_is_cut_has_no_row():
    cut = {"pass": [{"id": "p1", "date": date(2027, 4, 9), "lot": "A1-east", "last": True}]}
    samples, results = [bag(IDS[0], "A1-east")], [found(IDS[0], "0.40")]
    assert len(over(plan_of(samples, results))) == 1
    assert over(plan_of(samples, results, **cut)) == []


def test_results_under_their_limit_of_detection_that_may_be_over_are_not_called_over():
    assert over(plan_of([bag(IDS[0])], [found(IDS[0], "<0.4")])) == []


def test_of_new_results_the_highest_is_told_with_its_lot():
    plan = plan_of(
        [bag(IDS[0], "A1-east"), bag(IDS[1], "A1-north")], [found(IDS[0], "0.1458"), found(IDS[1], "0.1493")]
    )
    (row,) = [row for row in plan.decisions if row.kind == RESULT]
    assert row.what == f"A1 results in: 2, A1-north top 0.1493 % on day {(CUT - FLOWERING).days}"


@pytest.mark.parametrize("ordered", [1, -1])
def test_of_two_positions_over_the_limit_the_higher_one_names_the_lot(ordered):
    samples = [bag(IDS[0], "A1-east"), bag(IDS[1], "A1-east", "middle")]
    (text,) = over(plan_of(samples[::ordered], [found(IDS[0], "0.5"), found(IDS[1], "0.7")]))
    assert "own test 0.7 %" in text
