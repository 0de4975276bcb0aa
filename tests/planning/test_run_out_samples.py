"""Official samples whose days ran out with something left to cut: a new one is waited for, and once booked its days bind."""

from datetime import date

import pytest

from calendar_tui.handing_on.words.official_text import official_facts
from calendar_tui.planning.deciding.decision import CUT
from calendar_tui.season.lots import lot_named, rules_for
from tests.planning.cut_farm import cut, official, planned

TAKEN = official(date(2027, 3, 5), outcome="passed")  # until 4 April
LAST, AFTER = date(2027, 4, 4), date(2027, 4, 5)
BOOKED = official(date(2027, 4, 9), "booked")


def facts(plan):
    lot = lot_named(plan.season, "A1")
    return " ".join(official_facts(plan, lot, rules_for(plan.season, lot, plan.today), None))


def test_on_the_last_day_of_a_sample_the_lot_may_still_be_cut():
    window = cut(planned(LAST, official=[TAKEN, BOOKED])).window
    assert (window.earliest.day, window.latest.day) == (date(2027, 3, 5), LAST)


def test_the_day_after_it_another_sample_is_waited_for_and_there_is_no_day_to_cut():
    window = cut(planned(AFTER, official=[TAKEN])).window
    assert window.earliest is None
    assert window.latest.day == LAST
    assert window.waits_for == (
        "another official sample: that of Fri 5 Mar 2027 held until Sun 4 Apr 2027; only an authorised agent takes it",
    )


def test_once_another_is_booked_its_days_bind_at_both_ends():
    window = cut(planned(AFTER, official=[TAKEN, BOOKED])).window
    assert window.earliest.rule == "official sample, booked for 9 Apr 2027"
    assert (window.earliest.day, window.latest.day) == (date(2027, 4, 9), date(2027, 5, 9))
    assert window.waits_for == ()


def test_one_that_was_booked_and_not_taken_in_time_is_waited_for():
    window = cut(planned(AFTER, official=[TAKEN, official(date(2027, 4, 2), "booked")])).window
    assert window.earliest is None
    assert "booked for Fri 2 Apr 2027, and is not recorded as taken" in window.waits_for[0]


def test_a_sample_that_ran_out_holds_no_harvest_once_another_is_booked():
    plan = planned(AFTER, official=[TAKEN, BOOKED])
    assert plan.timelines["A1"].stages["harvest"] == plan.ripe["A1"].stages["harvest"]


def test_what_is_left_of_a_lot_that_was_cut_in_time_waits_for_another_sample_too():
    passes = [{"id": "p1", "date": date(2027, 4, 3), "lot": "A1", "part": "top"}]
    assert cut(planned(AFTER, official=[TAKEN], **{"pass": passes})).window.earliest is None


def test_the_list_of_decisions_names_the_sample_that_is_needed():
    (row,) = [one for one in planned(AFTER, official=[TAKEN]).decisions if one.kind == CUT]
    assert "waits for another official sample" in row.why


@pytest.mark.parametrize(
    ("today", "words"),
    [
        (LAST, "valid until Sun 4 Apr 2027: the harvest complete by then, or a new sample"),
        (AFTER, "was valid until Sun 4 Apr 2027: what is left is cut only after a new sample"),
    ],
)
def test_the_official_samples_tell_whether_one_still_holds(today, words):
    assert words in facts(planned(today, official=[TAKEN]))


def test_after_it_ran_out_the_days_of_the_next_one_are_told():
    assert "no further one is asked for to be taken from" in facts(planned(AFTER, official=[TAKEN]))
    assert "no further one" not in facts(planned(LAST, official=[TAKEN]))
