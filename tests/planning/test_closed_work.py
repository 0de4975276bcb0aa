"""Work in a closed place and a cut before a wait is over are clashes, with the hour or the day on which they clear."""

from __future__ import annotations

from datetime import date, datetime

import pytest

from calendar_tui.planning.plan import make_plan
from calendar_tui.season.units_in_use import shown_in
from calendar_tui.season.wording import day_or_moment_text
from tests.planning.farm import farm_data, season_of

TODAY = date(2026, 12, 20)
SPRAY = {
    "id": "s1",
    "date": date(2026, 12, 20),
    "place": "H1",
    "product": "soap",
    "reentry": "48 h",
    "preharvest": "7 d",
    "start": "16:00",
    "end": "17:00",
}
TASK = {"id": "aaaa", "date": date(2026, 12, 21), "what": "Scout", "cohort": "A1", "place": "H1"}


def texts(*tasks, spray=SPRAY, chores=(), today=TODAY, **first):
    data = farm_data()
    data["cohort"][0].update(first)
    data["chore"] += chores
    plan = make_plan(season_of(data | {"spray": [spray], "task": list(tasks)}), today)
    return [c.text for c in plan.clashes if c.kind in ("closed place", "cut too early")]


def test_work_in_a_closed_place_is_one_clash_with_the_hour_it_clears():
    (text,) = texts(TASK, TASK | {"id": "bbbb", "date": date(2026, 12, 22), "what": "Cut samples"})
    assert text == (
        "H1 is closed from Sun 20 Dec 16:00 until Tue 22 Dec 17:00 after soap; 2 tasks stand in that time: "
        "Mon 21 Dec Scout; Tue 22 Dec Cut samples. Do it after that."
    )


def test_work_that_is_done_elsewhere_or_after_it_is_no_clash():
    assert texts(TASK | {"state": "done", "done_on": TODAY}) == []
    assert texts(TASK | {"place": "F1"}) == []
    assert texts(TASK | {"date": date(2026, 12, 23)}) == []
    assert texts(TASK | {"date": date(2026, 12, 19)}, today=date(2026, 12, 19)) == []


def test_work_at_a_known_hour_is_held_against_the_hour():
    chore = {"id": "dusk", "what": "Walk", "stage": "transplant", "time": "17:30"}
    at_dusk = TASK | {"chore": "dusk", "date": date(2026, 12, 22)}
    assert texts(at_dusk, chores=[chore]) == []
    (text,) = texts(at_dusk, chores=[chore | {"time": "16:30"}])
    assert "1 task stands in that time" in text
    at_begin = TASK | {"chore": "dusk", "date": SPRAY["date"]}
    assert texts(at_begin, chores=[chore | {"time": "15:59"}]) == []
    assert len(texts(at_begin, chores=[chore | {"time": "16:00"}])) == 1
    assert texts(at_dusk, chores=[chore | {"time": "17:00"}]) == []


def test_work_that_is_overdue_stands_in_the_place_while_it_is_closed_today():
    before = TASK | {"date": date(2026, 12, 14)}
    (text,) = texts(before, TASK | {"id": "bbbb"})
    assert "2 tasks stand in that time: overdue since Mon 14 Dec Scout; Mon 21 Dec Scout." in text
    assert len(texts(before, today=date(2026, 12, 22))) == 1
    assert texts(before, today=date(2026, 12, 23)) == []


def test_work_at_a_known_hour_that_is_overdue_is_done_at_any_hour():
    chore = {"id": "dusk", "what": "Walk", "stage": "transplant", "time": "17:30"}
    late = TASK | {"chore": "dusk", "date": date(2026, 12, 18)}
    assert len(texts(late, chores=[chore], today=date(2026, 12, 22))) == 1


def test_a_place_that_waits_for_a_condition_is_closed_for_all_work():
    waiting = {key: value for key, value in SPRAY.items() if key != "reentry"} | {
        "condition": "until it is dry"
    }
    work, harvest = texts(TASK | {"date": date(2027, 1, 4)}, spray=waiting)
    assert "is closed from Sun 20 Dec 16:00 until it is recorded: soap: until it is dry" in work
    assert harvest == "A1: nothing is cut before it is recorded: soap: until it is dry"


def test_a_harvest_before_the_wait_is_over_is_a_clash_with_the_first_day():
    planned = {
        "seeding": date(2026, 11, 1),
        "transplant": date(2026, 11, 26),
        "lights_off": date(2027, 1, 10),
        "harvest": date(2027, 4, 2),
    }
    late = SPRAY | {"date": date(2027, 3, 30)}
    (text,) = texts(spray=late, planned=planned)
    with shown_in(clock="12"):
        assert texts(spray=late, planned=planned) == [text], "a midnight is the day by either clock"
    assert text == "A1: harvest on Fri 2 Apr is before Tue 6 Apr, from which it may be cut after soap"
    assert texts(spray=late, planned=planned | {"harvest": date(2027, 4, 6)}) == []


@pytest.mark.parametrize(("hours", "stand"), [(1, 1), (7, 1), (8, 2), (24, 2), (31, 2), (32, 3), (72, 4)])
def test_a_longer_interval_never_makes_a_clash_go_away(hours, stand):
    """Counted from Sunday 17:00; a task for each day from that one on."""
    tasks = [TASK | {"id": f"t{n}", "date": date(2026, 12, 20 + n)} for n in range(6)]
    (text,) = texts(*tasks, spray=SPRAY | {"reentry": f"{hours} h"})
    assert f"; {stand} task{'s stand' if stand > 1 else ' stands'} in that time: " in text
    assert ("and 1 more" in text) == (stand > 3)


@pytest.mark.parametrize(("clock", "half_past"), [("24", "00:30"), ("12", "12:30 am")])
def test_midnight_alone_is_told_as_the_day(clock, half_past):
    with shown_in(clock=clock):
        assert day_or_moment_text(datetime(2027, 4, 6)) == "Tue 6 Apr"
        assert day_or_moment_text(datetime(2027, 4, 6, 0, 30)) == f"Tue 6 Apr {half_past}"
