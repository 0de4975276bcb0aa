"""Work that goes on to the last pass: for some days behind the harvest, and not once the last pass is recorded."""

from datetime import date, timedelta

import pytest

from calendar_tui.planning.tasks.chore_dates import chore_dates
from tests.planning.sampled_farm import CUT, sampled

HARVEST = date(2027, 4, 20)
WATER = {
    **CUT,
    "id": "water",
    "what": "Water",
    "repeat": "FREQ=DAILY",
    "shows": ["plants"],
    "until_offset_d": 6,
}
RESULTS = {**WATER, "id": "results", "what": "Ask for results", "until_offset_d": 12}
AGAIN = {
    "id": "again", "what": "Next pass", "stage": "harvest", "offset_d": 5,
    "repeat": "FREQ=DAILY;COUNT=1", "until": "harvest", "until_offset_d": 9,
}  # fmt: skip
FIRST = {"id": "A1-1", "lot": "A1", "date": HARVEST, "part": "tops", "fresh_kg": {"top": 10}}
LAST = {**FIRST, "id": "A1-2", "part": "the rest", "last": True}


def days_of(chore, *passes, today=HARVEST + timedelta(days=1)):
    plan = sampled(chore=[WATER, RESULTS, AGAIN], today=today, **{"pass": list(passes)})
    timeline = plan.timelines["A1"]
    return timeline, chore_dates(plan.season.chores[chore], timeline)


def test_before_a_pass_is_recorded_work_goes_on_for_the_next_ones():
    timeline, days = days_of("water", today=date(2027, 4, 1))
    assert days[-1] == timeline.likely("harvest") + timedelta(days=5)


@pytest.mark.parametrize(("chore", "more_d"), [("water", 0), ("results", 6)])
def test_once_the_last_pass_is_recorded_work_ends_with_it(chore, more_d):
    timeline, days = days_of(chore, LAST)
    assert timeline.cut_through == HARVEST
    assert days[-1] == timeline.likely("harvest") + timedelta(days=more_d - 1)


def test_a_pass_that_leaves_something_ends_no_work():
    timeline, days = days_of("water", FIRST)
    assert timeline.cut_through is None
    assert days[-1] > HARVEST


def test_the_next_pass_falls_away_once_the_last_is_recorded():
    assert len(days_of("again")[1]) == len(days_of("again", FIRST)[1]) == 1
    assert days_of("again", LAST)[1] == ()
