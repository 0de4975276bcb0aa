"""Work that must not be done on its day is held, with why: a failed lot, no sample, a spray's interval, a closed place."""

from datetime import date

import pytest

from calendar_tui.planning.cutting.holds import holds_of, tick_holds
from calendar_tui.planning.plan import make_plan
from tests.planning.cut_farm import cut_data, official
from tests.planning.farm import season_of

TODAY = date(2027, 4, 10)
CHORE = {"id": "cut", "what": "Harvest", "stage": "harvest", "records": "harvest"}
TASK = {"id": "aaaa", "date": TODAY, "what": "Harvest", "cohort": "A1", "place": "H1", "chore": "cut"}
SCOUT = {"id": "bbbb", "date": TODAY, "what": "Scout", "cohort": "A1", "place": "H1"}
SPRAY = {
    "id": "s1",
    "date": date(2027, 4, 9),
    "place": "H1",
    "product": "soap",
    "start": "16:00",
    "end": "17:00",
    "reentry": "24 h",
    "preharvest": "7 d",
}
PASSED = official(date(2027, 4, 1), outcome="passed")
FAILED = official(date(2027, 4, 1), outcome="failed")
SIDES = [{"id": f"A1-{side}", "cohort": "A1"} for side in ("south", "north")]


def held(*tasks, today=TODAY, **more):
    data = cut_data(task=list(tasks), **more)
    data["chore"].append(dict(CHORE))
    plan = make_plan(season_of(data), today)
    return holds_of(plan.season, plan.ripe, plan.season.tasks, today)


def test_the_harvest_of_a_failed_lot_is_held_and_other_work_is_not():
    holds = held(TASK, SCOUT, official=[FAILED])
    assert list(holds) == ["aaaa"]
    assert holds["aaaa"].short == "HOLD A1"
    assert holds["aaaa"].text.startswith(
        "do not cut: the official sample o-0401 of A1 of Thu 1 Apr 2027 failed; a failed lot is cut, moved or mixed only as"
    )


def test_of_two_lots_the_one_that_failed_is_named_and_the_other_is_not():
    mixed = [PASSED | {"lot": "A1-south"}, FAILED | {"id": "o2", "lot": "A1-north"}]
    hold = held(TASK, official=mixed, lot=SIDES)["aaaa"]
    assert hold.short == "HOLD A1-north"
    assert "A1-south" not in hold.text


def test_the_harvest_of_a_lot_that_passed_is_not_held():
    assert held(TASK, official=[PASSED]) == {}


def test_a_harvest_before_any_official_sample_or_after_it_has_run_out_is_held():
    assert "no official sample of A1 was taken" in held(TASK)["aaaa"].text
    assert "its 30 d end on" in held(TASK, today=date(2027, 5, 10), official=[PASSED])["aaaa"].text


def test_the_harvest_inside_a_pre_harvest_interval_is_held_until_its_day():
    after = SPRAY | {"reentry": "0 h"}
    hold = held(TASK | {"date": date(2027, 4, 15)}, official=[PASSED], spray=[after])["aaaa"]
    assert "A1 may be cut from 00:00 on Fri 16 Apr 2027, after soap; the label is the law" in hold.text
    assert held(TASK | {"date": date(2027, 4, 16)}, official=[PASSED], spray=[after]) == {}


@pytest.mark.parametrize("place", ["H1", ""])
def test_work_in_a_closed_place_is_held_to_the_hour(place):
    task = SCOUT | {"place": place}
    hold = held(task, spray=[SPRAY])["bbbb"]
    assert hold.short == "HOLD to 17:00"
    assert hold.text == ("do not enter: H1 is closed from Fri 9 Apr 16:00 until Sat 10 Apr 17:00 after soap")
    assert held(task, today=date(2027, 4, 9), spray=[SPRAY | {"reentry": "72 h"}])["bbbb"].short == (
        "HOLD to Mon 12 Apr 17:00"
    )
    assert held(task, today=date(2027, 4, 11), spray=[SPRAY]) == {}


def test_work_in_a_place_that_waits_for_a_condition_is_held_without_an_hour():
    dry = {key: value for key, value in SPRAY.items() if key != "reentry"} | {"condition": "until it is dry"}
    hold = held(SCOUT, spray=[dry])["bbbb"]
    assert hold.short == "HOLD"
    assert hold.text.endswith("until it is recorded: soap: until it is dry")


def test_what_is_done_is_held_no_more():
    assert held(SCOUT | {"state": "done", "done_on": TODAY}, spray=[SPRAY]) == {}


def test_a_tick_is_held_by_the_day_on_which_it_was_done():
    data = cut_data(task=[SCOUT], spray=[SPRAY])
    plan = make_plan(season_of(data), date(2027, 4, 20))
    (task,) = plan.season.tasks
    of_day = {
        day: bool(tick_holds(plan.season, plan.ripe, [(task, date(2027, 4, day))])) for day in (8, 9, 10, 11)
    }
    assert of_day == {8: False, 9: True, 10: True, 11: False}
