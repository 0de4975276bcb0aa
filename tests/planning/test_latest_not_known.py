"""A last day to cut that no trend gives is not known: it is neither promised nor counted against."""

from datetime import date

from calendar_tui.handing_on.tables.cut_rows import cut_row
from calendar_tui.handing_on.words.cut_text import end_texts, gain_text
from calendar_tui.planning.cutting.gains import gain_of
from calendar_tui.planning.cutting.windows import WhatIf, sight_of
from tests.planning.cut_farm import TODAY, US, bags, cut, planned


def test_trying_an_official_sample_before_there_is_a_trend_counts_no_days_against_the_seasons_end():
    plan = planned()
    gain = gain_of(
        sight_of(plan.season, plan.ripe, plan.today), cut(plan), WhatIf(official=date(2027, 4, 12))
    )
    assert gain.tried.latest.day == date(2027, 5, 12)
    assert gain.days is None
    assert "days gained: not known" in gain_text(gain, TODAY)


def test_the_latest_day_of_a_lot_without_a_trend_is_not_known():
    text = "\n".join(end_texts(cut(planned()), TODAY))
    assert "latest: not known: 3 dates of results of the top missing for a trend" in text
    assert "the season's last day" not in text


def test_a_trend_that_does_not_reach_the_limit_gives_no_last_day():
    low = bags({21: "0.010", 28: "0.011", 35: "0.010", 42: "0.011"})
    text = "\n".join(end_texts(cut(planned(**low)), TODAY))
    assert "latest: not known: by the trend of the top not over 0.3 % within 35 d of the newest bag" in text


def test_the_latest_day_of_a_lot_without_rules_of_a_limit_is_the_seasons_last_day():
    free = {key: value for key, value in US.items() if key != "limit_percent"}
    assert cut(planned(rules=free)).latest.rule == "the season's last day"


def test_json_has_no_latest_day_that_is_not_known():
    plan = planned()
    row = cut_row(plan.season, cut(plan), None)
    assert (row["latest"], row["complete_by"], row["days"]) == (None, None, None)
    assert row["latest_rule"] == "not known: 3 dates of results of the top missing for a trend"
