"""What the authority's own samples of a lot ask of the grower: to be booked, to be taken, and what follows a failure."""

from __future__ import annotations

from datetime import timedelta

import pytest

from calendar_tui.handing_on.words.decisions_text import decision_text
from calendar_tui.planning.deciding.decision import OFFICIAL
from calendar_tui.planning.plan import make_plan
from calendar_tui.planning.today import today_of
from tests.planning.farm import season_of
from tests.planning.sampled_farm import TODAY, sampled_data
from tests.planning.test_deciding import RULES, day, plan, rows


def test_an_official_sample_is_booked_before_the_harvest_that_must_wait_for_it():
    a1, _b1 = rows(OFFICIAL)
    harvest = plan().timelines["A1"].likely("harvest")
    earliest = plan().timelines["A1"].stages["harvest"].range.earliest
    assert (a1.what, a1.by) == ("A1 official sample to be booked", earliest - timedelta(days=1))
    assert a1.why.startswith("no harvest before it: earliest ")
    assert a1.rules == "Rules of the valley, as of 28 Nov 2026: check with your authority"
    assert harvest is not None
    assert rows(OFFICIAL, today=harvest - timedelta(days=45)) == []


def test_an_official_sample_is_booked_by_the_day_of_its_open_task():
    task = {
        "id": "bcdf",
        "date": day(6),
        "what": "Official sample",
        "cohort": "A1",
        "chore": "official-sample",
    }
    (a1, _b1) = rows(OFFICIAL, task=[task])
    assert a1.by == day(6)
    done = task | {"state": "done", "done_on": day(-1)}
    assert rows(OFFICIAL, task=[done])[0].by != day(6)


def test_what_follows_a_failed_sample_is_overdue_from_the_day_after_its_report():
    failed = {"id": "o1", "lot": "A1", "state": "taken", "date": day(-5), "outcome": "failed"}
    (a1, _b1) = rows(OFFICIAL, official=[failed | {"reported": day(-1)}])
    assert (a1.by, a1.past_since(day(-1)), a1.past_since(TODAY)) == (day(-1), None, TODAY)
    assert decision_text(a1, TODAY).startswith(
        "A1 official sample of 11 Mar failed: decide what follows, overdue since Tue 16 Mar: "
    )


def test_rules_that_ask_for_no_sample_ask_for_none():
    data = sampled_data(profile=[RULES | {"sampling": "none"}])
    assert [r for r in make_plan(season_of(data), TODAY).decisions if r.kind == OFFICIAL] == []


@pytest.mark.parametrize(
    ("official", "what", "by"),
    [
        ({"state": "asked", "date": day(3)}, "A1 official sample to be booked", day(3)),
        ({"state": "booked", "date": day(3)}, "A1 official sample to be taken", day(3)),
        (
            {"state": "taken", "date": day(-5), "outcome": "failed"},
            "A1 official sample of 11 Mar failed: decide what follows",
            day(-5),
        ),
    ],
)
def test_an_official_sample_asks_for_what_comes_next(official, what, by):
    row = next(
        r for r in rows(OFFICIAL, official=[{"id": "o1", "lot": "A1"} | official]) if "A1" in r.cohorts
    )
    assert (row.what, row.by, row.record) == (what, by, "o1")


def test_what_follows_a_failed_sample_is_no_more_asked_once_it_is_recorded():
    failed = {"id": "o1", "lot": "A1", "state": "taken", "date": day(-5), "outcome": "failed"}
    assert rows(OFFICIAL, official=[failed])[0].why == "re-test, or disposal"
    for ended in ("disposal", "flowers removed"):
        assert [r.about for r in rows(OFFICIAL, official=[failed | {"after": ended}])] == ["B1"]


FAILED = {
    "id": "o1",
    "lot": "A1",
    "state": "taken",
    "date": day(-5),
    "outcome": "failed",
    "reported": day(-3),
}


def test_biomass_of_a_remediated_lot_is_to_be_sampled_again_until_that_is_booked():
    """7 CFR 990.24(f): samples after the harvest are of remediated biomass."""
    remediated = FAILED | {"after": "remediation"}
    (row,) = [r for r in rows(OFFICIAL, official=[remediated]) if r.about == "A1"]
    assert (row.what, row.by) == ("A1 official sample of the biomass to be booked again", day(-3))
    assert row.past_since(TODAY) == day(-2)
    assert row.why.startswith(
        "remediation, as the official sample of 11 Mar failed; biomass of shredded plants"
    )
    booked = {"id": "o2", "lot": "A1", "state": "booked", "date": day(3)}
    (then,) = [r for r in rows(OFFICIAL, official=[remediated, booked]) if r.about == "A1"]
    assert then.what == "A1 official sample to be taken"


@pytest.mark.parametrize("after", [{}, {"after": "re-test"}, {"after": "remediation"}])
def test_a_lot_that_was_cut_before_its_sample_failed_is_still_to_be_decided(after):
    last = {"pass": [{"id": "p1", "date": day(-4), "lot": "A1", "last": True}]}
    assert [r.about for r in rows(OFFICIAL, official=[FAILED | after], **last)] == ["A1", "B1"]
    passed = FAILED | {"outcome": "passed"}
    assert [r.about for r in rows(OFFICIAL, official=[passed], **last)] == ["B1"]


def test_a_re_test_that_the_authority_has_follow_is_to_be_booked_until_it_is():
    failed = {
        "id": "o1",
        "lot": "A1",
        "state": "taken",
        "date": day(-5),
        "outcome": "failed",
        "after": "re-test",
    }
    told = plan(official=[failed])
    (row,) = [one for one in told.decisions if one.kind == OFFICIAL and one.about == "A1"]
    assert (row.what, row.by) == ("A1 official sample to be booked again", day(-5))
    assert row.past_since(TODAY) == day(-4)
    assert row.why == "re-test, as the official sample of 11 Mar failed"
    assert row in today_of(told).decisions
    booked = {"id": "o2", "lot": "A1", "state": "booked", "date": day(3)}
    (then,) = [r for r in rows(OFFICIAL, official=[failed, booked]) if r.about == "A1"]
    assert then.what == "A1 official sample to be taken"
