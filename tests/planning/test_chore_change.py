"""A chore changed, added, taken away: read as in the file, checked, and proposed with its own tasks alone."""

from __future__ import annotations

from copy import deepcopy
from dataclasses import replace
from datetime import date

import pytest

from calendar_tui.handing_on.words.chores_text import repeat_text
from calendar_tui.planning.changes.chore_change import (
    fields_of,
    right_value,
    tasks_made,
)
from calendar_tui.planning.changes.record_change import add_record, copy_record
from calendar_tui.planning.changes.removal import remove_records
from calendar_tui.planning.changes.renaming import rename_record
from calendar_tui.planning.changes.replan import refresh
from calendar_tui.planning.plan import make_plan
from calendar_tui.season.edits import apply_edits
from calendar_tui.season.fields import FIELDS
from calendar_tui.season.finders import find_chore
from calendar_tui.season.records import Chore
from calendar_tui.season.refusal import Refusal
from tests.planning.farm import TODAY, farm_data, season_of
from tests.planning.typed_changes import held_of, typed_change


def with_tasks(**chore):
    """The farm with its tasks saved, and these keys set in the chore scout."""
    data = farm_data()
    data["chore"][2].update(chore)
    return apply_edits(data, refresh(make_plan(season_of(data), TODAY)).change.edits)


def plan_of(data):
    return make_plan(season_of(data), TODAY)


def changed(key, typed, mark="", chore="scout", data=None):
    return typed_change(data or with_tasks(), "chore", chore, {key: typed}, mark)


def after(proposal, data=None, chore="scout"):
    """The chore's table in the file after the change."""
    found = apply_edits(data or with_tasks(), proposal.change.edits)["chore"]
    return next((c for c in found if c["id"] == chore), None)


ASKS = [
    lambda data: changed("offset_d", "2", "own", data=data),
    lambda data: changed("together", "place", data=data),
    lambda data: changed("repeat", "none", "own", data=data),
    lambda data: changed("hours", "2", "own", "plant", data),
    lambda data: changed("active", "no", data=data),
    lambda data: remove_records(held_of(data), "chore", [("cut",)]),
    lambda data: rename_record(held_of(data), "chore", "cut", "cutting"),
    lambda data: added(data, "mulch", stage="transplant", offset="+20", what="Mulch the rows"),
    lambda data: copy_record(held_of(data), "chore", ("scout",), {}),
]


def added(data, name, **typed):
    return add_record(held_of(data), "chore", name, typed)


@pytest.mark.parametrize("ask", ASKS)
def test_a_change_saved_with_its_tasks_leaves_nothing_out_of_step(ask):
    data = with_tasks()
    proposal = ask(data)
    assert proposal.change.edits
    saved = apply_edits(data, proposal.change.edits)
    assert refresh(plan_of(saved)).tasks == ()
    assert season_of(saved).chores == proposal.plan.season.chores
    assert {t.id: t for t in season_of(saved).tasks} == {t.id: t for t in proposal.plan.season.tasks}


def test_tasks_of_other_chores_are_left_alone_though_they_are_out_of_step():
    data = with_tasks()
    data["chore"][4]["offset_d"] = 3
    assert refresh(plan_of(data)).tasks
    assert {m.task.chore for m in changed("offset_d", "2", "own", data=data).tasks} == {"scout"}


def test_what_is_done_stands_and_what_is_open_moves_by_the_days_that_the_offset_does():
    data = with_tasks()
    done = next(t for t in data["task"] if t["chore"] == "scout" and t.get("n", 1) == 1)
    done["state"] = "done"
    moves = changed("offset_d", "9", "own", data=data).tasks
    assert done["id"] not in {m.task.id for m in moves}
    assert {(m.new.date - m.old.date).days for m in moves if m.old and m.new} == {2}


def switched(data):
    active = data["chore"][2].get("active", True)
    proposal = changed("active", "no" if active else "yes", data=data)
    return proposal, apply_edits(data, proposal.change.edits)


def test_switching_off_and_on_again_gives_back_the_same_file_but_for_what_has_passed():
    data = with_tasks()
    off = switched(data)[1]
    assert not [t for t in off["task"] if t["chore"] == "scout"]
    again, on = switched(off)
    passed = [t for t in data["task"] if t["chore"] == "scout" and t["date"] < TODAY]
    assert passed
    assert on["chore"][2] == {**data["chore"][2], "since": TODAY}
    assert sorted(on["task"], key=str) == sorted((t for t in data["task"] if t not in passed), key=str)
    assert f"{len(passed)} dates are before today, 8 Dec, and left out" in again.notes


def test_a_new_chore_makes_no_task_that_is_overdue_at_once():
    data = with_tasks()
    typed = {"stage": "transplant", "what": "Mulch", "repeat": "FREQ=WEEKLY until harvest", "offset_d": "4"}
    proposal = added(data, "mulch", **typed)
    assert min(m.new.date for m in proposal.tasks) >= TODAY
    assert "dates are before today, 8 Dec, and left out" in " ".join(proposal.notes)
    saved = apply_edits(data, proposal.change.edits)
    assert refresh(plan_of(saved)).tasks == ()
    assert tasks_made(plan_of(saved))["mulch"] == len(proposal.tasks)
    later = deepcopy(saved)
    later["cohort"][0]["planned"]["transplant"] = date(2026, 12, 20)
    moved = refresh(plan_of(later))
    firsts = [m.new.date for m in moved.tasks if m.new and (m.task.chore, m.task.n) == ("mulch", 1)]
    assert date(2026, 12, 24) in firsts, "a date that has not passed after all is made"


def test_tasks_that_a_change_moves_before_today_stay_and_are_told():
    data = with_tasks()
    proposal = changed("offset_d", "-8", "own", data=data)
    back = [m for m in proposal.tasks if m.old and m.new and m.new.date < TODAY <= m.old.date]
    assert back
    assert f"{len(back)} tasks are put before today, 8 Dec: overdue" in proposal.notes


def test_a_chore_added_by_hand_makes_all_its_tasks_and_they_are_told():
    data = with_tasks()
    data["chore"].append({"id": "mulch", "what": "Mulch", "stage": "transplant", "offset_d": 4})
    proposal = refresh(plan_of(data))
    assert min(m.new.date for m in proposal.tasks) < TODAY
    assert proposal.notes == (
        f"{len(proposal.tasks)} new tasks lie before today, 8 Dec, and are overdue at once; tick or skip what is not "
        "to be done",
    )


def test_the_date_from_which_tasks_are_made_is_taken_away_by_hand():
    on = switched(switched(with_tasks())[1])[1]
    whole = changed("since", "none", data=on)
    assert "since" not in after(whole, on)
    assert min(m.new.date for m in whole.tasks) < TODAY
    assert after(changed("since", "2026-12-01", data=on), on)["since"] == date(2026, 12, 1)


@pytest.mark.parametrize(
    ("key", "typed", "keys"),
    [
        ("what", "Scout by hand", {"what": "Scout by hand"}),
        ("stage", "lights off", {"stage": "lights_off"}),
        ("hours", "1.0", {"hours": 1}),
        ("starts", "[seed]", {"starts": ["seed"]}),
        ("place_kinds", "field, hoop house", {"place_kinds": ["field", "hoop house"]}),
        ("lamps", "no", {"lamps": False}),
        ("time", "7:05", {"time": "7:05"}),
        ("repeat", "FREQ=DAILY;INTERVAL=2 until flowering -3", {"until_offset_d": -3, "until": "flowering"}),
    ],
)
def test_a_value_is_read_as_the_file_has_it(key, typed, keys):
    mark = "own" if key in ("stage", "hours", "repeat") else ""
    table = after(changed(key, typed, mark))
    assert {k: table[k] for k in keys} == keys


def test_a_repeat_goes_with_its_end():
    table = after(changed("repeat", "", "own"))
    assert not {"repeat", "until", "until_offset_d"} & table.keys()
    again = after(changed("repeat", "FREQ=WEEKLY until harvest", "own", "cut"), chore="cut")
    assert (again["repeat"], again["until"]) == ("FREQ=WEEKLY", "harvest")


@pytest.mark.parametrize(
    ("marks", "key", "mark", "then"),
    [
        # A new figure without a mark is a guess; the other figures keep the mark they had.
        ({"mark": "read"}, "hours", "", {"mark": "read", "hours_mark": "placeholder"}),
        ({"mark": "read"}, "offset_d", "", {"hours_mark": "read"}),
        ({"mark": "read"}, "hours", "own", {"mark": "read", "hours_mark": "own"}),
        ({"mark": "read", "hours_mark": "placeholder"}, "hours", "read", {"mark": "read"}),
        ({"mark": "read", "hours_mark": "own"}, "offset_d", "own", {"mark": "own"}),
        ({}, "hours", "own", {"hours_mark": "own"}),
    ],
)
def test_a_mark_is_for_the_figure_it_is_given_with(marks, key, mark, then):
    data = with_tasks(**marks)
    proposal = changed(key, "3", mark, data=data)
    table = after(proposal, data)
    assert {k: v for k, v in table.items() if k.endswith("mark")} == then
    assert any("a guess" in text for text in proposal.notes) == (mark == "")


def test_the_same_value_again_is_no_change():
    proposal = changed("offset_d", "7")
    assert (proposal.change.edits, proposal.change.what) == ((), "chore scout: nothing changed")


@pytest.mark.parametrize(
    ("key", "typed", "mark", "said"),
    [
        ("offset_d", "soon", "", 'offset "soon": write a whole number from -400 to 400'),
        ("hours", "-1", "", 'hours "-1": it must be from 0 to 10000'),
        ("stage", "bloom", "", "it must be one of: seeding"),
        ("stage", "", "", "stage: it is needed: the stage it hangs on"),
        ("repeat", "weekly until harvest", "", "write an RFC 5545 rule"),
        ("until", "none", "", "repeat and until go together"),
        ("daylight", "yes", "", "daylight is looked at where the hour is known"),
        ("records", "harvest", "", "a chore that repeats cannot record it"),
        ("who", "Bo", "own", "a mark says where dates and hours come from, and neither is typed"),
        ("hours", "2", "guess", 'mark is "guess"; it must be one of: read'),
        ("starts", "sed", "", 'did you mean "seed"?'),
    ],
)
def test_what_cannot_be_is_told_in_a_sentence(key, typed, mark, said):
    with pytest.raises(Refusal) as refused:
        changed(key, typed, mark)
    assert said in str(refused.value)


@pytest.mark.parametrize(
    ("name", "typed", "said"),
    [
        ("scout", {"what": "x", "stage": "harvest"}, "there is a chore scout already; scout-2 is free"),
        ("a b", {"what": "x", "stage": "harvest"}, "an id has 1 to 24 letters"),
        ("mulch", {"stage": "harvest"}, "what: it is needed: the work"),
        ("mulch", {"what": "x"}, "stage: it is needed: the stage it hangs on; one of: seeding"),
        ("mulch", {"what": "x", "stage": "harvest", "repeat": "FREQ=DAILY"}, "repeat and until go together"),
    ],
)
def test_a_new_chore_that_cannot_be_is_refused(name, typed, said):
    with pytest.raises(Refusal) as refused:
        added(farm_data(), name, **typed)
    assert said in str(refused.value)


def test_a_chore_that_makes_no_task_says_why():
    off = with_tasks(active=False)
    assert "is switched off" in changed("who", "Bo", data=off).notes[0]
    assert changed("active", "no").notes == ()
    said = changed("seed_kinds", "regular").notes[0]
    assert said == "chore scout makes no task: no cohort of this season is one for it"
    said = changed("stage", "rooted", "own", "tray", with_tasks()).notes[0]
    assert "none of its cohorts has a date for rooted" in said


def test_the_tasks_counted_are_those_laid_out():
    plan = plan_of(farm_data())
    laid = refresh(plan).plan
    counted = tasks_made(plan)
    saved = [m.new.chore for m in refresh(laid).tasks]
    assert counted == {name: saved.count(name) for name in set(saved)}
    off = replace(plan.season.chores["scout"], active=False)
    assert tasks_made(replace(plan, season=replace(plan.season, chores={"scout": off}))) == {}


def test_every_key_of_the_reference_is_told_and_guesses_are_marked():
    data = with_tasks(hours_mark="own")
    told = fields_of(find_chore(season_of(data), "SCOUT"), data)
    assert [f.key for f in told] == [f.key for f in FIELDS["chore"] if f.key != "id"]
    assert [f.key for f in told if f.guess] == ["stage", "offset_d", "repeat", "until"]
    assert [f.key for f in told if f.own][:3] == ["what", "stage", "offset_d"]
    with pytest.raises(Refusal, match='is not a chore of this season; did you mean "scout"'):
        find_chore(season_of(data), "scoot")


def test_what_would_be_right_is_what_the_reader_says():
    assert right_value("per") == "it must be one of: cohort, 100 plants, 100 m2, place, plot, plant"
    assert right_value("offset_d") == "write a whole number from -400 to 400"
    assert right_value("who") == ""


@pytest.mark.parametrize(
    ("rule", "words"),
    [
        ("", ""),
        ("FREQ=WEEKLY", "every week"),
        ("FREQ=WEEKLY;BYDAY=MO,TH", "every week on Mon, Thu"),
        ("FREQ=MONTHLY;BYMONTH=6,7,11", "every month in Jun, Jul, Nov"),
        ("FREQ=DAILY;INTERVAL=02", "every 2 days"),
        ("FREQ=DAILY;COUNT=5", "every day, 5 times"),
        ("freq=monthly;byday=1fr", "every month BYDAY=1FR"),
        ("FREQ=WEEKLY;INTERVAL=2;COUNT=4;BYDAY=TU,SU;WKST=SU", "every 2 weeks on Tue, Sun WKST=SU, 4 times"),
    ],
)
def test_a_repeat_is_put_in_words(rule, words):
    assert repeat_text(Chore(id="x", what="x", stage="transplant", repeat=rule)) == words
