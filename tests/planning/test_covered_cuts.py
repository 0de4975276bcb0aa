"""Cuts that the authority's sample does not cover: passes, and a harvest that is planned past its validity."""

from datetime import date

import pytest

from calendar_tui.planning.cutting.made_cuts import FAILED_LOT, NO_SAMPLE, RUN_OUT
from calendar_tui.planning.plan import make_plan
from tests.planning.cut_farm import TODAY, cut_data, official, planned
from tests.planning.farm import season_of


def texts(plan, kind="official sample"):
    return [clash.text for clash in plan.clashes if clash.kind.startswith(kind)]


@pytest.mark.parametrize(
    ("days", "text"),
    [
        ((date(2027, 3, 8), date(2027, 3, 22)), ""),
        ((date(2027, 3, 20), date(2027, 4, 3)), "pass p1 of A1 on Sat 3 Apr 2027"),
    ],
)
def test_a_second_pass_after_the_samples_window_needs_a_new_one(days, text):
    passes = [{"id": f"p{n}", "date": day, "lot": "A1"} for n, day in enumerate(days)]
    found = texts(planned(official=[official(date(2027, 3, 1))], **{"pass": passes}), RUN_OUT)
    assert bool(found) == bool(text)
    if text:
        assert text in found[0]
        assert "its 30 d end on Wed 31 Mar 2027" in found[0]
        assert "needs a new one, of 4 Mar 2027 to Sat 3 Apr 2027" in found[0]
        assert "check with your authority" in found[0]


def test_a_pass_before_its_official_sample_is_a_clash():
    passes = [{"id": "p1", "date": date(2027, 4, 2), "lot": "A1"}]
    (text,) = texts(planned(official=[official(date(2027, 4, 5))], **{"pass": passes}), NO_SAMPLE)
    assert "by Fri 2 Apr 2027, the first is of Mon 5 Apr 2027; nothing is cut before it" in text


def test_a_harvest_planned_past_the_samples_validity_is_a_clash_with_what_would_be_right():
    data = cut_data(official=[official(date(2027, 3, 1))])
    data["cohort"][0]["planned"]["harvest"] = date(2027, 4, 12)
    (text,) = texts(make_plan(season_of(data), TODAY))
    assert "the harvest ends on Mon 12 Apr 2027" in text
    assert (
        "right would be a new sample from 13 Mar 2027 to Mon 12 Apr 2027, or all cut by 31 Mar 2027" in text
    )


def test_a_failed_sample_covers_no_pass():
    passes = [{"id": "p1", "date": date(2027, 4, 2), "lot": "A1"}]
    failed = [official(date(2027, 3, 20), outcome="failed")]
    assert texts(planned(official=failed, **{"pass": passes}), FAILED_LOT)


def with_harvest(day, *officials):
    data = cut_data(official=list(officials))
    data["cohort"][0]["planned"]["harvest"] = day
    return texts(make_plan(season_of(data), TODAY))


def test_a_harvest_planned_past_the_validity_of_a_booked_sample_is_a_clash():
    (text,) = with_harvest(date(2027, 5, 20), official(date(2027, 4, 15), "booked"))
    assert "the official sample of 15 Apr 2027 is valid until Sat 15 May 2027" in text


def test_a_harvest_planned_past_a_samples_validity_with_another_booked_in_time_is_none():
    taken, booked = official(date(2027, 3, 1)), official(date(2027, 4, 15), "booked")
    assert with_harvest(date(2027, 4, 20), taken, booked) == []


def test_a_pass_is_covered_by_no_sample_that_is_booked_and_not_recorded_as_taken():
    passes = [{"id": "p1", "date": date(2027, 4, 8), "lot": "A1"}]
    (text,) = texts(planned(official=[official(date(2027, 4, 5), "booked")], **{"pass": passes}), NO_SAMPLE)
    assert "booked for Mon 5 Apr 2027, and not recorded as taken; nothing is cut before it" in text
