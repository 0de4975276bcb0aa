"""Rounds of cutting: the cohort stands until its last one, which records its harvest; weights, and what speaks against a pass."""

from copy import deepcopy
from datetime import date, timedelta
from itertools import pairwise

import pytest

from calendar_tui.planning.changes.held_season import HeldSeason
from calendar_tui.planning.changes.passes import record_pass, typed_weights
from calendar_tui.planning.changes.slips import record_date
from calendar_tui.planning.changes.task_edits import move_change
from calendar_tui.planning.changes.task_moves import task_edits, task_moves
from calendar_tui.planning.occupancy import occupancy_of
from calendar_tui.planning.plan import make_plan
from calendar_tui.planning.tasks.chore_dates import chore_dates
from calendar_tui.season.edits import apply_edits
from calendar_tui.season.reading import read_season
from calendar_tui.season.refusal import Refusal
from tests.planning.sampled_farm import FLOWERING, sampled_data

TODAY = date(2027, 4, 20)
FIRST = date(2027, 4, 9)  # a day before the likely harvest, 45 d after flowering
RULES = {
    "id": "rule",
    "name": "A rule",
    "limit_percent": 0.3,
    "acid_factor": 0.877,
    "harvest_within_d": 30,
    "as_of": date(2026, 11, 1),
}


def pass_of(name="A1-1", day=FIRST, **more):
    return {"id": name, "date": day, "lot": "A1", "part": "top", "why": "ripe"} | more


def held(*passes, today=TODAY, **more):
    data = sampled_data() | {"format": 3, "pass": list(passes)} | more
    reading = read_season(data)
    assert reading.season is not None, reading.problems
    return HeldSeason(make_plan(reading.season, today), data, "", reading)


def harvest(one):
    return one.plan.timelines["A1"].stages["harvest"]


def edit_values(proposal):
    return {(e.kind, e.ident, e.field): e.value for e in proposal.change.edits}


def test_a_season_without_passes_is_laid_out_as_before():
    assert harvest(held()).likely == FLOWERING + timedelta(days=45)


def test_a_cohort_stands_until_its_last_pass_is_recorded():
    late = held(pass_of(day=date(2027, 4, 18)))
    assert harvest(late).likely == date(2027, 4, 19)
    assert harvest(late).earliest >= date(2027, 4, 19)
    assert "more to cut after the pass of 18 Apr" in harvest(late).reason
    assert "A1" in occupancy_of(late.plan, "H1", TODAY).now


def test_a_cohort_of_two_lots_is_cut_through_once_both_are():
    lots = [{"id": "A1-east", "cohort": "A1"}, {"id": "A1-west", "cohort": "A1"}]
    east = pass_of("e", date(2027, 4, 18), lot="A1-east", last=True)
    west = pass_of("w", date(2027, 4, 19), lot="A1-west", last=True)
    assert harvest(held(east, lot=lots)).likely > date(2027, 4, 18)
    assert harvest(held(east, west, lot=lots)).reason.find("more to cut") == -1


@pytest.mark.parametrize("last", [1, 5, 12, 20])
def test_more_passes_never_shorten_the_stay(last):
    ends = [
        harvest(held(*(pass_of(f"p{n}", FIRST + timedelta(days=n)) for n in range(count)))).range
        for count in range(last)
    ]
    assert all(a <= b for one, more in pairwise(ends) for a, b in zip(one, more, strict=True))


def test_a_pass_is_recorded_with_an_id_and_leaves_the_harvest_open():
    proposal = record_pass(
        held(),
        "A1",
        {
            "date": "2027-04-18",
            "fresh weight of top": "12.5 kg",
            "fresh weight of middle": "4",
            "why": "ripe",
        },
    )
    new = proposal.plan.season.passes["A1-1"]
    assert (new.lot, new.date, new.weight_kg) == ("A1", date(2027, 4, 18), 16.5)
    assert "harvest" not in proposal.plan.season.cohorts["A1"].recorded
    assert "16.5 kg in all" in proposal.notes


def test_the_last_pass_records_the_harvest_and_ends_the_stay():
    proposal = record_pass(held(pass_of()), "A1", {"date": "18 apr", "last": "yes", "why": "ripe"})
    assert proposal.plan.season.cohorts["A1"].recorded["harvest"] == date(2027, 4, 18)
    assert "A1" not in occupancy_of(proposal.plan, "H1", TODAY).now
    values = edit_values(proposal)
    assert values["pass", ("A1-2",), ()]["last"] is True
    assert values["cohort", ("A1",), ("recorded", "harvest")] == date(2027, 4, 18)


def test_a_batch_begins_with_the_pass_that_names_it():
    proposal = record_pass(held(), "A1", {"date": "18 apr", "batch": "D1"})
    kinds = [e.kind for e in proposal.change.edits if e.kind in ("batch", "pass")]
    assert kinds == ["batch", "pass"]
    assert proposal.plan.season.batches["D1"].date == date(2027, 4, 18)


@pytest.mark.parametrize(
    ("typed", "told"),
    [
        ({"fresh weight of top": "0"}, "0 kg of top is no weight"),
        ({"fresh weight of top": "0", "fresh weight of middle": "3"}, "0 kg of top is no weight"),
        ({"fresh weight of top": "-3"}, "must be from 0"),
        ({"date": "2027-04-22"}, "is after today"),
        ({"share": "1.2"}, "from 0.001 to 1"),
        ({"why": "tired"}, "one of: ripe, limit, window, weather, room"),
    ],
)
def test_passes_that_cannot_be_are_refused(typed, told):
    with pytest.raises(Refusal, match=told):
        record_pass(held(), "A1", {"date": "18 apr"} | typed)


def test_a_pass_before_its_official_sample_is_asked_about():
    questions = record_pass(held(profile=[RULES]), "A1", {"date": "18 apr"}).questions
    assert any("no official sample of A1 was taken by Sun 18 Apr 2027" in q for q in questions), questions
    assert any("check with your authority" in q for q in questions)
    later = [{"id": "O1", "date": date(2027, 4, 19), "lot": "A1", "state": "taken"}]
    questions = record_pass(held(profile=[RULES], official=later), "A1", {"date": "18 apr"}).questions
    assert any("no official sample of A1 was taken by Sun 18 Apr 2027" in q for q in questions), questions


# The dates of the rule's example, 30 d apart: a sample of 1 Sep holds for a pass of 22 Sep, and not for one of 4 Oct.
@pytest.mark.parametrize(("days", "holds"), [(7, True), (21, True), (30, True), (33, False)])
def test_a_pass_past_the_window_of_its_official_sample_is_asked_about(days, holds):
    taken = TODAY - timedelta(days=days)
    official = [{"id": "O1", "date": taken, "lot": "A1", "state": "taken"}]
    questions = record_pass(
        held(profile=[RULES], official=official), "A1", {"date": TODAY.isoformat()}
    ).questions
    assert (not any("needs a new one" in q for q in questions)) == holds


def test_a_pass_inside_a_pre_harvest_interval_is_asked_about():
    spray = {
        "id": "s1", "date": date(2027, 4, 15), "place": "H1", "product": "soap", "preharvest": "7 d", "reentry": "4 h",
        "start": "08:00", "end": "09:00",
    }  # fmt: skip
    questions = record_pass(held(spray=[deepcopy(spray)]), "A1", {"date": "18 apr"}).questions
    assert any("may be cut from" in q and "the label is the law" in q for q in questions), questions


def test_a_pass_after_the_recorded_harvest_is_asked_about_and_the_last_one_moves_it():
    data = sampled_data()
    cohorts = deepcopy(data["cohort"])
    cohorts[0]["recorded"]["harvest"] = date(2027, 4, 10)
    there = held(pass_of(day=date(2027, 4, 10)), cohort=cohorts)
    assert any(
        "recorded on Sat 10 Apr 2027" in q for q in record_pass(there, "A1", {"date": "18 apr"}).questions
    )
    last = record_pass(there, "A1", {"date": "18 apr", "last": "yes"})
    assert last.plan.season.cohorts["A1"].recorded["harvest"] == date(2027, 4, 18)


def test_a_harvest_that_is_ticked_between_passes_points_to_the_last_pass():
    plan = held(pass_of()).plan
    questions = record_date(plan, plan.season.cohorts["A1"], "harvest", TODAY).questions
    assert any("none is its last" in q and "calendar-tui pass A1" in q for q in questions), questions
    alone = held().plan
    assert not record_date(alone, alone.season.cohorts["A1"], "harvest", TODAY).questions


def test_weights_of_several_parts_are_typed_in_one_field():
    assert typed_weights("top 12.5 kg, middle 4") == {
        "fresh weight of top": "12.5kg",
        "fresh weight of middle": "4",
    }
    assert typed_weights("top 12.5 middle 4 kg") == {
        "fresh weight of top": "12.5",
        "fresh weight of middle": "4kg",
    }
    for text in ("12.5", "top", "top 12.5 middle", "12.5 top"):
        with pytest.raises(Refusal, match="write the part and its kg"):
            typed_weights(text)


def test_more_shares_than_there_is_are_asked_about():
    questions = record_pass(
        held(pass_of(share=0.7)), "A1", {"date": "18 apr", "part": "top", "share": "0.5"}
    ).questions
    assert any("120 %" in q for q in questions)


def test_a_window_that_is_over_projects_no_harvest_before_a_pass_that_was_cut():
    official = [{"id": "O1", "date": FIRST - timedelta(days=32), "lot": "A1", "state": "taken"}]
    there = held(pass_of(day=date(2027, 4, 18)), profile=[RULES], official=official)
    assert harvest(there).likely == date(2027, 4, 19)


def test_a_pass_of_one_of_two_lots_is_after_the_official_sample_of_their_cohort():
    lots = [{"id": "A1-east", "cohort": "A1"}, {"id": "A1-west", "cohort": "A1"}]
    official = [{"id": "O1", "date": FIRST - timedelta(days=9), "lot": "A1", "state": "taken"}]
    there = held(lot=lots, official=official, profile=[RULES])
    assert not [q for q in record_pass(there, "A1-west", {}).questions if "no official sample" in q]


# --- the work of passes

HARVEST = {
    "id": "harvest", "what": "Harvest", "stage": "harvest", "records": "harvest", "who": "crew", "hours": 5,
}  # fmt: skip
AGAIN = {
    "id": "again", "what": "Next pass", "stage": "harvest", "offset_d": 5, "repeat": "FREQ=DAILY;COUNT=1",
    "until": "harvest", "until_offset_d": 9,
}  # fmt: skip


def worked(chores=(HARVEST, AGAIN), today=TODAY):
    """The farm with the tasks of A1's harvest and next pass saved."""
    there = held(chore=list(chores), today=today)
    moves = task_moves(there.plan, {"A1"})
    return saved(there, task_edits(moves), today)


def saved(there, edits, today=TODAY):
    data = apply_edits(there.data, edits)
    reading = read_season(data)
    assert reading.season is not None, reading.problems
    return HeldSeason(make_plan(reading.season, today), data, "", reading)


def cut(there, day, today=TODAY, **typed):
    proposal = record_pass(there, "A1", {"date": day, "why": "ripe", **typed})
    return proposal, saved(there, proposal.change.edits, today)


def work(there):
    """Chore, number, state, and the day on which it is due or was done."""
    tasks = [t for t in there.plan.season.tasks if t.cohort == "A1" and t.chore in ("harvest", "again")]
    return sorted((t.chore, t.n, t.state, t.done_on or t.date) for t in tasks)


def test_before_the_first_pass_the_harvest_and_the_next_pass_are_to_come():
    assert work(worked()) == [
        ("again", 1, "open", date(2027, 4, 15)),
        ("harvest", 1, "open", date(2027, 4, 10)),
    ]


def test_a_pass_that_leaves_something_ticks_the_harvest_and_the_next_follows_it():
    proposal, there = cut(worked(), "2027-04-08")
    assert work(there) == [
        ("again", 1, "open", date(2027, 4, 13)),
        ("harvest", 1, "done", date(2027, 4, 8)),
    ]
    assert any(note.startswith("ticks ") and note.endswith(": Harvest") for note in proposal.notes)
    assert "harvest" not in there.plan.season.cohorts["A1"].recorded
    assert [m.new.date for m in proposal.tasks if m.old and m.new] == [date(2027, 4, 13)]


def test_each_further_pass_ticks_the_next_one_and_lays_out_another():
    _, first = cut(worked(), "2027-04-08")
    _, second = cut(first, "2027-04-12")
    # The fifth day behind it is a Saturday.
    again = second.plan.season.chores["again"]
    (due,) = chore_dates(again, second.plan.timelines["A1"])
    assert due == date(2027, 4, 17)
    assert work(second)[0] == ("again", 1, "done", date(2027, 4, 12))
    assert work(second)[1][:3] == ("again", 2, "open")
    assert work(second)[1][3] >= due


def test_the_last_pass_ticks_the_next_one_and_leaves_the_first_on_its_own_day():
    _, first = cut(worked(), "2027-04-08")
    _, last = cut(first, "2027-04-14", last="yes")
    assert work(last) == [
        ("again", 1, "done", date(2027, 4, 14)),
        ("harvest", 1, "done", date(2027, 4, 8)),
    ]
    assert last.plan.season.cohorts["A1"].recorded["harvest"] == date(2027, 4, 14)


def test_a_harvest_in_one_pass_ticks_the_harvest_and_the_next_falls_away():
    _, there = cut(worked(), "2027-04-12", last="yes")
    assert work(there) == [("harvest", 1, "done", date(2027, 4, 12))]


def test_a_second_pass_of_one_day_ticks_nothing_more():
    _, first = cut(worked(), "2027-04-08")
    _, again = cut(first, "2027-04-08", part="middle")
    assert work(again) == work(first)


def test_a_next_pass_that_is_moved_by_hand_stays_and_is_ticked():
    _, first = cut(worked(), "2027-04-08")
    (task,) = [t for t in first.plan.season.tasks if (t.chore, t.cohort) == ("again", "A1")]
    moved = saved(first, move_change([(task, date(2027, 4, 16))]).edits)
    _, second = cut(moved, "2027-04-16")
    assert ("again", 1, "done", date(2027, 4, 16)) in work(second)


def test_without_a_chore_for_the_next_pass_the_harvest_stays_open_and_moves_behind_the_pass():
    _, there = cut(worked([HARVEST]), "2027-04-12")
    assert work(there) == [("harvest", 1, "open", date(2027, 4, 13))]


def test_what_comes_with_the_harvest_stays_on_the_day_of_the_first_pass():
    load = {"id": "load", "what": "Load the dryer", "stage": "harvest", "together": "place"}
    _, first = cut(worked([HARVEST, AGAIN, load]), "2027-04-08")
    _, last = cut(first, "2027-04-14", last="yes")
    for there in (first, last):
        (task,) = [t for t in there.plan.season.tasks if t.chore == "load" and "A1" in t.about]
        assert (task.state, task.date) == ("open", date(2027, 4, 8))
