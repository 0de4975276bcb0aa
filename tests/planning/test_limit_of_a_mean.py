"""Where the rules judge the mean of a variety's samples, what is told of the limit of one lot says so."""

from calendar_tui.handing_on.words.cut_text import limit_texts
from calendar_tui.handing_on.words.trend_text import sentences
from calendar_tui.planning.deciding.decision import CUT, OVER
from calendar_tui.planning.results.trend import trend_of
from calendar_tui.planning.today import today_of
from tests.planning.cut_farm import TODAY, US, bags, cut, planned

MEAN = US | {"judged": "mean of a variety", "uncertainty": "not set"}
ALONE = "of this lot alone: the rules judge the mean of its variety"


def test_the_end_by_the_limit_and_the_decision_tell_that_the_mean_is_judged():
    plan = planned(rules=MEAN, **bags())
    assert cut(plan).window.latest.rule.endswith(f"; {ALONE}")
    (row,) = [one for one in plan.decisions if one.kind == CUT]
    assert ALONE in row.why


def test_the_day_to_cut_and_the_trend_tell_it_beside_the_limit():
    plan = planned(rules=MEAN, **bags())
    assert f"the limit's days are {ALONE}" in [*limit_texts(cut(plan).limit, TODAY)]
    assert f"The limit's days are {ALONE}." in [*sentences(trend_of(plan, "A1"), "top")]


def test_where_the_lot_is_judged_nothing_of_a_mean_is_told():
    plan = planned(**bags())
    texts = [*limit_texts(cut(plan).limit, TODAY), *sentences(trend_of(plan, "A1"), "top")]
    assert not [text for text in [*texts, cut(plan).window.latest.rule] if "mean" in text]


def over(rules, totals):
    plan = planned(rules=rules, **bags(totals))
    return plan, [one for one in plan.decisions if "mean of own tests" in one.what]


def test_a_variety_whose_mean_is_over_the_limit_is_decided_on_with_what_the_rules_allow():
    plan, (row,) = over(MEAN, {21: "0.2", 28: "0.35"})
    variety = plan.season.cohorts["A1"].variety
    assert row.what == f"{variety} OVER: mean of own tests 0.35 %, limit 0.3 %"
    assert (row.kind, row.by, row.cohorts) == (OVER, None, ("A1",))
    assert row.why == "another test, or disposal; ask your authority before a cut"
    assert row in today_of(plan).decisions


def test_a_mean_within_the_limit_and_a_lot_that_is_judged_by_itself_ask_for_no_such_decision():
    assert over(MEAN, {21: "0.2", 28: "0.25"})[1] == []
    assert over(US, {21: "0.2", 28: "0.35"})[1] == []
