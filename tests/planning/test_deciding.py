"""What is to be decided, by the day on which it is too late: one list of sprays, results, samples, cuts, batches and dates."""

from __future__ import annotations

from copy import deepcopy
from dataclasses import replace
from datetime import date, timedelta

import pytest

from calendar_tui.handing_on.words.decisions_text import (
    brief_decisions_text,
    decision_text,
    decisions_text,
)
from calendar_tui.planning.deciding.decision import (
    CLOSED,
    CUT,
    LOOK,
    RECORD,
    RELIGHT,
    RESULT,
    SPRAY,
    STAGE,
    Decision,
)
from calendar_tui.planning.plan import Plan, make_plan
from calendar_tui.planning.today import today_of
from calendar_tui.season.records import Outage
from calendar_tui.season.wording import full_day_text
from tests.planning.farm import season_of
from tests.planning.sampled_farm import TODAY, sampled_data
from tests.planning.test_today_of_lamps import after

RULES = {
    "id": "rules",
    "name": "Rules of the valley",
    "limit_percent": "0.3",
    "sample_before_harvest_d": 30,
    "harvest_within_d": 30,
    "after_failure": ["re-test", "disposal"],
    "spray_write_d": 14,
    "as_of": date(2026, 11, 28),
}
SPRAYED = {
    "id": "s1",
    "date": TODAY,
    "place": "H1",
    "product": "Oil of the field",
    "start": "07:00",
    "end": "08:00",
    "reentry": "12 h",
    "preharvest": "3 d",
    "registration": "1-23",
    "total": "2 L",
    "area_m2": 100,
    "who": "ana",
}


def day(offset: int) -> date:
    return TODAY + timedelta(days=offset)


def plan(today: date = TODAY, **more) -> Plan:
    """Two cohorts in flower, with rules in force; A1 was sampled by the authority last week."""
    data = sampled_data(profile=[RULES], **more)
    return make_plan(season_of(deepcopy(data)), today)


def rows(kind: str, today: date = TODAY, **more) -> list[Decision]:
    return [row for row in plan(today, **more).decisions if row.kind == kind]


def words(kind: str, today: date = TODAY, **more) -> list[str]:
    return [decision_text(row, today) for row in rows(kind, today, **more)]


def test_a_place_that_may_not_be_entered_says_until_when_and_after_what():
    (row,) = rows(CLOSED, spray=[SPRAYED])
    assert (row.what, row.where, row.by, row.why) == (
        "H1 closed until Tue 16 Mar 20:00",
        "H1",
        TODAY,
        "Oil of the field",
    )
    assert rows(CLOSED, today=day(1), spray=[SPRAYED]) == []


def test_a_place_without_an_interval_stays_closed_until_it_is_recorded():
    (row,) = rows(CLOSED, spray=[{k: v for k, v in SPRAYED.items() if k != "reentry"}])
    assert "closed until it is recorded: Oil of the field: its re-entry interval is not set" in row.what
    assert row.record == "s1"
    other = SPRAYED | {"id": "s2", "product": "Soap", "start": "09:00", "end": "09:30"}
    (row,) = rows(CLOSED, spray=[{k: v for k, v in SPRAYED.items() if k != "reentry"}, other])
    assert row.why == ""  # The sentence names what is waited for; the longest of the other waits is not it.


def test_a_spray_to_come_is_listed_by_its_day_and_with_the_hour_it_begins():
    (row,) = rows(CLOSED, spray=[SPRAYED | {"date": day(2)}])
    assert (row.by, row.what) == (day(2), "H1 closed from Thu 18 Mar 07:00 until Thu 18 Mar 20:00")
    assert rows(CLOSED, spray=[SPRAYED | {"date": day(8)}]) == []


def test_a_record_that_lacks_the_total_is_written_within_the_days_of_the_rules():
    lacks = {key: value for key, value in SPRAYED.items() if key != "total"} | {"date": day(-15)}
    (row,) = rows(SPRAY, spray=[lacks])
    assert (row.by, row.past_since(TODAY)) == (day(-1), TODAY)
    assert decision_text(row, TODAY).startswith(
        "record of Oil of the field, 1 Mar, late since Tue 16 Mar: missing: total"
    )
    assert rows(SPRAY, spray=[SPRAYED]) == []
    assert "certificate" in rows(SPRAY, spray=[SPRAYED | {"restricted": True}])[0].why


BAG = {
    "id": "26A1TA",
    "date": day(-14),
    "cohort": "A1",
    "state": "sent",
    "sent": day(-14),
    "laboratory": "lab",
}


def test_a_result_is_asked_for_once_its_latest_day_is_past():
    assert rows(RESULT, today=day(-7), sample=[BAG]) == []
    (row,) = rows(RESULT, today=day(-6), sample=[BAG])
    assert decision_text(row, day(-6)) == (
        "A1 result of bag 26A-1TA, overdue since Wed 10 Mar: ask the laboratory"
    )


FOUND = {"id": "r1", "date": day(-3), "sample": "26A1TA", "found": {"THC": "0.02", "THCA": "0.10"}}


def test_results_of_late_are_told_once_a_cohort_and_those_kept_aside_with_why():
    (row,) = rows(RESULT, sample=[BAG | {"date": day(-10)}], result=[FOUND])
    assert (row.what, row.by) == ("A1 results in: 1, top 0.1077 % on day 10", None)
    assert rows(RESULT, today=day(5), sample=[BAG], result=[FOUND]) == []
    newest = {"sample": [BAG | {"date": day(-10)}], "result": [FOUND]}
    assert len(rows(RESULT, today=day(3), **newest)) == 1
    assert rows(RESULT, today=day(4), **newest) == []  # a week after it came
    (odd,) = rows(RESULT, sample=[BAG | {"date": day(-40)}], result=[FOUND])
    assert odd.what == "A1 result r1 kept aside"
    assert odd.why.startswith("its bag was cut before 50 % flowering")
    assert rows(RESULT, sample=[BAG], result=[FOUND | {"aside": "mould"}]) == []


@pytest.mark.parametrize(
    # 0.145764, 0.30004 and 0.3 in the units that laboratories write; the limit is 0.3 %.
    ("thc", "told"),
    [("0.145764", "0.1458 %"), ("0.30004", "0.30004 %"), ("0.3000", "0.3 %"), ("10.0", "10 %")],
)
def test_a_new_result_is_told_to_four_decimals_and_never_onto_the_limit(thc, told):
    result = FOUND | {"found": {"THC": thc, "THCA": "0"}}
    (row,) = rows(RESULT, sample=[BAG | {"date": day(-10)}], result=[result])
    assert row.what == f"A1 results in: 1, top {told} on day 10"


TAKEN = {"id": "o1", "lot": "A1", "state": "taken", "date": day(-20), "outcome": "passed"}


def test_a_sampled_lot_is_cut_by_the_last_day_of_its_window_or_sooner_by_the_growers_own():
    (row,) = rows(CUT, official=[TAKEN])
    assert (row.about, row.by) == ("A1", day(10))
    assert row.why == "official sample taken 24 Feb 2027 + 30 d"
    west = {"id": "west", "cohort": "A1", "harvest_by": day(4)}
    (own,) = rows(CUT, official=[TAKEN | {"lot": "west"}], lot=[west])
    assert (own.what, own.by, own.why) == ("west cut", day(4), "your last day for west")


def test_a_window_that_is_past_says_since_when_it_is_too_late_and_stands_first():
    late = plan(day(12), official=[TAKEN]).decisions
    (row,) = [r for r in late if r.kind == CUT]
    assert decision_text(row, day(12)).startswith("A1 cut, too late since Sat 27 Mar: official sample taken")
    days = [r.by for r in late if r.by is not None]
    assert days == sorted(days)
    assert [r.by for r in late][len(days) :] == [None] * (len(late) - len(days))


def test_a_failed_sample_opens_no_window_and_a_last_pass_ends_it():
    assert rows(CUT, official=[TAKEN | {"outcome": "failed"}]) == []
    last = {"id": "p1", "date": day(-1), "lot": "A1", "last": True}
    assert rows(CUT, official=[TAKEN], **{"pass": [last]}) == []
    assert rows(CUT, official=[TAKEN], **{"pass": [last | {"last": False}]}) != []


def test_a_lot_whose_harvest_was_ticked_between_passes_keeps_its_last_day_to_cut():
    cohorts = deepcopy(sampled_data()["cohort"])
    cohorts[0]["recorded"]["harvest"] = day(-1)
    first = {"id": "p1", "date": day(-1), "lot": "A1"}
    (row,) = rows(CUT, official=[TAKEN], cohort=cohorts, **{"pass": [first]})
    assert (row.about, row.by) == ("A1", day(10))
    assert rows(CUT, official=[TAKEN], cohort=cohorts) == []


def test_a_lot_whose_official_sample_failed_is_not_to_be_cut_by_any_day():
    west = {"id": "west", "cohort": "A1", "harvest_by": day(4)}
    failed = TAKEN | {"lot": "west", "outcome": "failed"}
    assert rows(CUT, official=[failed], lot=[west]) == []
    again = {"id": "o2", "lot": "west", "date": day(2), "state": "booked"}
    (row,) = rows(CUT, official=[failed, again], lot=[west])
    assert (row.by, row.why.partition("; ")[0]) == (day(4), "your last day for west")


def test_a_lot_that_may_not_be_cut_yet_says_what_it_waits_for():
    west = {"id": "west", "cohort": "A1", "harvest_by": day(4)}
    (row,) = rows(CUT, lot=[west])
    assert row.why == (
        "your last day for west; waits for the official sample, which is not asked for yet; only an authorised agent takes it"
    )


def test_the_list_counts_what_is_to_be_decided_and_to_be_recorded_as_today_does():
    told = after(2)
    heading = next(iter(decisions_text("Farm", told.decisions, told.today, 200))).text
    counts = today_of(told).counts
    assert counts.to_record > len([row for row in told.decisions if row.kind == RECORD])
    assert f"{counts.to_record} to record" in heading
    assert (
        heading.startswith(f"Farm  {full_day_text(told.today)}: {counts.to_decide} to decide")
        or not counts.to_decide
    )


def test_cohorts_with_the_same_date_stand_in_one_row():
    of_record = [row for row in after(2).decisions if row.kind == RECORD]
    both = [row for row in of_record if row.cohorts == ("A1", "A2")]
    assert [row.stage for row in both] == ["emergence", "transplant"]
    assert both[1].why == "planned for 26 Nov, 71 days ago"


def test_after_a_long_outage_a_cohort_stands_in_one_part_of_today():
    today = today_of(after(12))
    assert [w.cohorts for w in today.relight] == [("A1", "A2")]
    assert today.looks == ()
    assert today.failed == ()
    kinds = [row.kind for row in after(12).decisions]
    assert kinds.count(RELIGHT) == 1
    assert LOOK not in kinds


def test_once_the_lamps_burn_the_tips_are_looked_at_and_the_failure_is_not_told_again():
    today = today_of(after(12, later=3))
    assert (today.relight, today.failed) == ((), ())
    assert {look.cohort for look in today.looks} == {"A1", "A2"}


def test_a_failure_that_did_no_harm_says_so():
    (failed,) = today_of(after(2, later=1)).failed
    assert failed.harmless


def test_a_failure_elsewhere_is_told_beside_one_that_asks_for_work():
    base = after(12)
    season = base.season
    h2 = replace(season.places["H1"], id="H2")
    b1 = replace(season.cohorts["A1"], id="B1", place="H2")
    outage = Outage(place="H2", first=date(2027, 2, 10), last=date(2027, 2, 10))
    more = replace(
        season,
        places={**season.places, "H2": h2},
        cohorts={**season.cohorts, "B1": b1},
        outages=(*season.outages, outage),
    )
    assert [(f.light, f.harmless) for f in today_of(make_plan(more, base.today)).failed] == [("H2", True)]


def test_the_brief_line_counts_what_is_urgent_and_names_the_first():
    made = plan(official=[TAKEN])
    assert brief_decisions_text(made.decisions, TODAY).startswith("decide: ")
    of_cut = [row for row in made.decisions if row.kind == CUT]
    assert brief_decisions_text(of_cut, TODAY) == "decide: 1, first by 26 Mar: A1 cut"
    assert brief_decisions_text(of_cut, day(12)) == "decide: 1, first too late since 27 Mar: A1 cut"
    assert brief_decisions_text([], TODAY) == ""


def test_the_brief_line_words_a_result_that_is_late_as_the_list_does():
    late = rows(RESULT, today=day(-6), sample=[BAG])
    assert brief_decisions_text(late, day(-6)) == (
        "decide: 1, first overdue since 10 Mar: A1 result of bag 26A-1TA"
    )


def test_nothing_to_decide_says_so():
    assert [line.text for line in decisions_text("Farm", [], TODAY)] == [
        "Farm  Tue 16 Mar 2027: nothing to decide"
    ]


def test_a_date_to_come_is_listed_by_its_day_with_its_place():
    made = after(12)
    (row,) = [r for r in made.decisions if r.kind == STAGE]
    assert (row.what, row.where) == ("A1 A2 lights off", "H1")
    listed = [line.text for line in decisions_text("", made.decisions, made.today, 120)]
    assert "  H1: A1 A2 lights off by Sat 20 Feb, in 5 days" in listed
