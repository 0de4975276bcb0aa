"""The work of a sampling trip ticked with its bags: which were cut and which not, as one change."""

from datetime import date

import pytest

from calendar_tui.planning.changes.bags import Cutting, bags_of_trip, record_bags
from calendar_tui.planning.changes.held_season import HeldSeason
from calendar_tui.planning.changes.ticks import cuts_bags
from calendar_tui.planning.changes.trip_cut import bags_of_tasks, cut_bags_of_tasks
from calendar_tui.planning.plan import make_plan
from calendar_tui.season.edits import apply_edits
from calendar_tui.season.refusal import Refusal
from calendar_tui.season.sample_ids import grouped
from tests.planning.farm import FARM, season_of
from tests.planning.sampled_farm import TODAY, sampled_data

TRIP = {
    "id": "trip",
    "date": TODAY,
    "what": "Cut samples",
    "chore": "samples",
    "cohorts": ["A1", "B1"],
    "n": 1,
}


def held_of(*plans, tasks=(TRIP,), **more):
    data = sampled_data(*plans, task=[dict(t) for t in tasks], **more)
    return HeldSeason(make_plan(season_of(data), TODAY), data)


def task_of(held, name="trip"):
    return next(t for t in held.plan.season.tasks if t.id == name)


def after(held, proposal):
    return apply_edits(held.data, proposal.change.edits)


def test_a_task_of_a_trip_cuts_bags_and_another_does_not():
    held = held_of(tasks=[TRIP, TRIP | {"id": "rows", "chore": ""}])
    assert cuts_bags(held.plan.season, task_of(held))
    assert not cuts_bags(held.plan.season, task_of(held, "rows"))


def test_the_bags_of_a_trip_are_those_of_its_cohorts_that_are_not_cut_yet():
    there = {"id": "26A1TA", "date": TODAY, "cohort": "A1", "position": "top"}
    held = held_of(sample=[there])
    of = [(one.bag.cohort, one.bag.position) for one in bags_of_tasks(held, [task_of(held)])]
    assert of == [("A1", "middle"), ("A1", "bottom"), ("B1", "top"), ("B1", "middle"), ("B1", "bottom")]


def test_a_trip_moved_by_hand_keeps_the_bags_of_its_day():
    moved = TRIP | {
        "date": date(2027, 3, 20),
        "moved": True,
        "n": (TODAY - FARM["season"]["first_day"]).days + 1,
    }
    held = held_of(tasks=[moved])
    bags = bags_of_tasks(held, [task_of(held)])
    assert {one.bag.planned for one in bags} == {TODAY}


def test_a_trip_is_ticked_with_what_was_cut_and_what_was_not_as_one_change():
    held = held_of()
    bags = bags_of_tasks(held, [task_of(held)])
    cut = [one for one in bags if one.bag.position != "bottom"]
    proposal = cut_bags_of_tasks(held, [task_of(held)], bags, cut, Cutting(TODAY))
    data = after(held, proposal)
    assert [(s["cohort"], s["position"], s["state"]) for s in data["sample"]] == [
        ("A1", "top", "taken"), ("A1", "middle", "taken"), ("B1", "top", "taken"), ("B1", "middle", "taken"),
    ]  # fmt: skip
    (task,) = data["task"]
    ids = " ".join(grouped(s["id"]) for s in data["sample"])
    assert (task["state"], task["done_on"]) == ("done", TODAY)
    assert task["fact"] == f"{ids}; not cut: A1 bottom, B1 bottom"


def test_bags_that_have_their_ids_ahead_become_cut():
    ahead = {"id": "26A1TA", "date": date(2027, 3, 15), "cohort": "A1", "position": "top", "state": "planned"}
    held = held_of({"id": "weekly", "weekday": "tue", "laboratory": "lab", "cohorts": ["A1"], "positions": ["top"]},
                   tasks=[TRIP | {"cohorts": ["A1"]}], sample=[ahead])  # fmt: skip
    bags = bags_of_tasks(held, [task_of(held)])
    assert [one.name for one in bags] == ["26A1TA"]
    (sample,) = after(held, cut_bags_of_tasks(held, [task_of(held)], bags, bags, Cutting(TODAY)))["sample"]
    assert (sample["id"], sample["state"], sample["date"]) == ("26A1TA", "taken", TODAY)


def test_a_trip_of_which_nothing_was_cut_is_ticked_and_says_so():
    held = held_of(tasks=[TRIP | {"cohorts": ["A1"]}])
    bags = bags_of_tasks(held, [task_of(held)])
    data = after(held, cut_bags_of_tasks(held, [task_of(held)], bags, [], Cutting(TODAY)))
    assert "sample" not in data
    assert data["task"][0]["fact"] == "not cut: A1 top, A1 middle, A1 bottom"


def test_bags_that_the_budget_gives_up_are_offered_and_left_out_at_first():
    held = held_of(capacity={"samples_per_week": 2})
    bags = bags_of_tasks(held, [task_of(held)])
    assert [(one.bag.cohort, one.bag.position) for one in bags if one.kept] == [("A1", "top"), ("B1", "top")]
    assert len(bags) == 6


def test_without_a_plan_a_trip_has_the_usual_positions():
    data = sampled_data(task=[TRIP | {"cohort": "A1", "cohorts": []}])
    del data["sampling"]
    held = HeldSeason(make_plan(season_of(data), TODAY), data)
    bags = bags_of_tasks(held, [task_of(held)])
    assert [one.bag.position for one in bags] == ["top", "middle", "bottom"]


def test_bags_of_a_day_to_come_are_not_cut_yet():
    held = held_of()
    bags = bags_of_tasks(held, [task_of(held)])
    with pytest.raises(Refusal, match="is after today"):
        cut_bags_of_tasks(held, [task_of(held)], bags, bags, Cutting(date(2027, 3, 17)))


def test_a_bag_left_to_cut_of_one_cohort_leaves_the_work_of_another_done():
    own = [TRIP | {"id": name, "cohorts": [name]} for name in ("A1", "B1")]
    held = held_of(tasks=own)
    bags = [bag for bag in bags_of_trip(held, TODAY) if bag.cohort == "A1" or bag.position == "top"]
    proposal, _ = record_bags(held, bags, Cutting(TODAY))
    tasks = after(held, proposal)["task"]
    assert {t["id"]: t.get("state", "open") for t in tasks} == {"A1": "done", "B1": "open"}
