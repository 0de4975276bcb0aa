"""Bags that were not cut on their day: overdue until the next trip, unless they are lost, left out or noted as not cut."""

from __future__ import annotations

from calendar_tui.handing_on.words.decisions_text import decision_text
from calendar_tui.planning.deciding.decision import BAGS
from tests.planning.test_deciding import day, rows


def test_bags_that_were_not_cut_on_their_day_are_overdue_until_the_next_trip():
    """The plan cuts on Tuesdays, from the first after flowering on a Wednesday."""
    for offset in range(1, 7):
        a1, b1 = rows(BAGS, today=day(offset))
        assert (a1.about, a1.by, a1.past_since(day(offset))) == ("A1", day(0), day(1))
    assert decision_text(a1, day(1)) == "A1 3 bags to cut, overdue since Wed 17 Mar: top, middle, bottom"
    assert {row.by for row in rows(BAGS, today=day(0))} == {day(-7)}
    assert b1.about == "B1"


def test_a_trip_that_was_cut_leaves_no_bags_overdue_not_even_of_the_week_before():
    ids = {"26A1TA": "top", "K7Q2RY": "middle", "A1T07Q": "bottom"}
    cut = [{"id": name, "date": day(0), "cohort": "A1", "position": part} for name, part in ids.items()]
    assert [row.about for row in rows(BAGS, today=day(2), sample=cut)] == ["B1"]
    (a1, _) = rows(BAGS, today=day(2), sample=cut[:2])
    assert (a1.what, a1.why) == ("A1 1 bag to cut", "bottom")


def test_a_bag_that_is_recorded_as_lost_or_left_out_is_overdue_no_more():
    lost = {"id": "26A1TA", "date": day(0), "cohort": "A1", "position": "top", "state": "lost"}
    (a1, _) = rows(BAGS, today=day(2), sample=[lost])
    assert a1.why == "middle, bottom"


def test_a_bag_noted_as_not_cut_at_the_tick_of_its_trip_is_overdue_no_more():
    trip = {"id": "bcdf", "date": day(0), "what": "Cut samples", "cohort": "A1", "chore": "samples"}
    done = trip | {"state": "done", "done_on": day(0), "fact": "26A-1TA; not cut: A1 top, A1 bottom"}
    (a1, _) = rows(BAGS, today=day(2), task=[done])
    assert a1.why == "middle"
    week_before = done | {"date": day(-7), "done_on": day(-7)}
    (a1, _) = rows(BAGS, today=day(2), task=[week_before])
    assert a1.why == "top, middle, bottom"


def test_what_is_cut_through_or_given_up_by_the_budget_has_no_bags_overdue():
    passes = [{"id": "p1", "date": day(1), "lot": "A1", "last": True}]
    assert [row.about for row in rows(BAGS, today=day(2), **{"pass": passes})] == ["B1"]
    assert len(rows(BAGS, today=day(2), capacity={"samples_per_week": 1})) == 1
