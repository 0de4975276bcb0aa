"""Rules that begin within the days to cut: each day goes by those that hold on it, and they are told before they begin."""

from datetime import date, timedelta

import pytest

from calendar_tui.handing_on.tables.cut_rows import cut_row
from calendar_tui.handing_on.words.cut_text import cut_facts
from calendar_tui.handing_on.words.trend_text import sentences
from calendar_tui.planning.deciding.decision import CUT
from calendar_tui.planning.plan import make_plan
from calendar_tui.planning.results.trend import trend_of
from calendar_tui.season.lots import lot_named, rules_reason
from tests.planning.cut_farm import TODAY, US, bags, cut, cut_data
from tests.planning.farm import season_of

# By check A a new result may be over 0.3 % from 8 April on, and over 1 % on no day.
REACHED = date(2027, 4, 8)
DAY = timedelta(days=1)


def plan_of(starts, before=1.0, after=0.3, lot=None, then=None):
    """before: the limit, %, up to the day on which another begins; after: that one. then: from when a third one of 1 % holds."""
    profiles = [
        dict(US) | {"id": "old", "name": "old rules", "limit_percent": before},
        dict(US) | {"id": "new", "name": "new rules", "limit_percent": after, "starts": starts},
    ]
    if then is not None:
        profiles.append(dict(US) | {"id": "last", "name": "last rules", "limit_percent": 1.0, "starts": then})
    data = cut_data(**bags()) | {"profile": profiles}
    return make_plan(season_of(data | ({"lot": [lot]} if lot else {})), TODAY)


def latest(plan, lot="A1"):
    return cut(plan, lot).window.latest


def words(plan):
    return " ".join(cut_facts(cut(plan), plan.today))


def test_a_lot_that_is_over_the_limit_to_come_is_cut_before_that_begins():
    plan = plan_of(date(2027, 4, 20))
    assert latest(plan).day == date(2027, 4, 19)
    assert latest(plan).rule.startswith(
        "other rules (new) begin on 20 Apr 2027, and a new result of the top may be over 0.3 %"
    )


def test_a_limit_to_come_that_is_reached_later_gives_its_own_day():
    plan = plan_of(date(2027, 4, 12), after=0.36)
    own = cut(plan_of(date(2027, 1, 2), after=0.36)).limit.earliest
    assert own > date(2027, 4, 12)
    assert latest(plan).day == own


def test_a_limit_that_no_more_holds_when_it_would_be_reached_ends_nothing():
    assert latest(plan_of(date(2027, 4, 12), before=0.36, after=1.0)).rule == "the season's last day"
    assert latest(plan_of(date(2027, 4, 12), before=0.3, after=1.0)).day == REACHED


# A limit holds up to the day before the next one begins: that day itself goes by the next.
@pytest.mark.parametrize("later_d", [0, 1])
def test_a_limit_ends_the_cutting_only_where_it_still_holds_when_it_is_reached(later_d):
    reached = cut(plan_of(date(2027, 1, 2), after=0.36)).limit.earliest
    of_today = plan_of(reached + later_d * DAY, before=0.36, after=1.0)
    to_come = plan_of(date(2027, 4, 12), after=0.36, then=reached + later_d * DAY)
    ends = reached if later_d else date(2027, 6, 30)  # the season's last day
    assert (latest(of_today).day, latest(to_come).day) == (ends, ends)


def test_rules_that_begin_after_the_season_or_of_a_lot_with_its_own_change_nothing():
    assert latest(plan_of(date(2028, 1, 1))).rule == "the season's last day"
    own = plan_of(date(2027, 4, 20), lot={"id": "A1-e", "cohort": "A1", "rules": "old"})
    assert latest(own, "A1-e").rule == "the season's last day"


def test_the_harvest_and_the_decisions_go_by_that_day_too():
    plan = plan_of(date(2027, 4, 12) - DAY)
    assert "other rules (new) begin on 11 Apr 2027" in plan.timelines["A1"].stages["harvest"].reason
    (row,) = [one for one in plan.decisions if one.kind == CUT]
    assert row.by == date(2027, 4, 10)


def test_what_is_to_come_is_told_beside_the_limit_of_today():
    text = words(plan_of(date(2027, 4, 20)))
    assert "limit 1 % by the top: not within 35 d of the newest bag" in text
    assert (
        "from 20 Apr 2027 on other rules hold: new rules, as of 28 Nov 2026: check with your authority"
        in text
    )
    assert "by them limit 0.3 % by the top: earliest 8 Apr 2027" in text


def test_the_data_have_the_rules_to_come():
    plan = plan_of(date(2027, 4, 20))
    (row,) = cut_row(plan.season, cut(plan), None)["rules_to_come"]
    assert (row["rules"], row["starts"], row["limit"]["earliest"]) == ("new", date(2027, 4, 20), REACHED)


def test_the_trend_tells_of_them_and_goes_by_those_of_today():
    shown = trend_of(plan_of(date(2027, 4, 20)), "A1")
    assert shown.limit == 1.0
    text = " ".join(sentences(shown, "top"))
    assert (
        "From 20 Apr 2027 on other rules hold, with a limit of 0.3 %: new rules, as of 28 Nov 2026: check"
        in text
    )
    assert "what is shown here goes by those of today" in text


def test_the_reason_why_rules_hold_tells_until_when():
    plan = plan_of(date(2027, 4, 20))
    reason = rules_reason(plan.season, lot_named(plan.season, "A1"), TODAY)
    assert reason == "the newest that holds, since 1 Jan 2026, until new begins on 20 Apr 2027"
