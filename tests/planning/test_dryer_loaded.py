"""The work of loading the dryer is ticked with the passes that go into it."""

from dataclasses import replace
from datetime import date

from calendar_tui.planning.changes.batches import fill_batch, loading_done
from calendar_tui.season.cutting import Pass
from calendar_tui.season.edits import Edit
from tests.planning.test_passes import AGAIN, HARVEST, cut, saved, work, worked

LOAD = {"id": "load", "what": "Load the dryer", "stage": "harvest", "together": "place", "loads_dryer": True}
LOAD_AGAIN = AGAIN | {"id": "load-again", "what": "Load again", "together": "place", "loads_dryer": True}
LOADED = [HARVEST, AGAIN, LOAD, LOAD_AGAIN]


def loads(there):
    """Chore and state of the work of loading, by the day on which it is due or was done."""
    chores = ("load", "load-again")
    tasks = [t for t in there.plan.season.tasks if t.chore in chores and "A1" in t.about]
    return [(t.chore, t.state) for t in sorted(tasks, key=lambda t: (t.done_on or t.date, t.chore))]


def test_a_pass_that_goes_into_a_batch_ticks_the_work_of_loading_the_dryer():
    proposal, first = cut(worked(LOADED), "2027-04-08", batch="D1")
    assert loads(first) == [("load", "done"), ("load-again", "open")]
    assert [note.partition(": ")[2] for note in proposal.notes if note.startswith("ticks ")] == [
        "Harvest",
        "Load the dryer",
    ]
    _, second = cut(first, "2027-04-13", batch="D2")
    assert loads(second)[:2] == [("load", "done"), ("load-again", "done")]
    assert ("again", 1, "done", date(2027, 4, 13)) in work(second)


def test_a_pass_of_no_batch_leaves_the_dryer_to_be_loaded_until_it_is_put_into_one():
    _, first = cut(worked(LOADED), "2027-04-08")
    assert loads(first)[0] == ("load", "open")
    (name,) = first.plan.season.passes
    filled = fill_batch(first, "D1", [name], {})
    assert any(note.endswith(": Load the dryer") for note in filled.notes)
    then = saved(first, filled.change.edits)
    assert loads(then) == [("load", "done"), ("load-again", "open")]


def test_a_second_pass_of_one_day_loads_nothing_more():
    _, first = cut(worked(LOADED), "2027-04-08", part="top", batch="D1")
    _, again = cut(first, "2027-04-08", part="middle", batch="D1")
    assert loads(again) == loads(first)


def test_the_last_pass_ticks_the_loading_with_the_harvest():
    _, there = cut(worked(LOADED), "2027-04-12", last="yes", batch="D1")
    assert loads(there) == [("load", "done")]
    assert work(there) == [("harvest", 1, "done", date(2027, 4, 12))]


def test_the_next_pass_is_never_the_work_of_loading():
    _, first = cut(worked([HARVEST, LOAD_AGAIN]), "2027-04-08")
    assert loads(first) == [("load-again", "open")]


def test_work_that_loads_for_several_cohorts_waits_for_each():
    both = {
        "id": "bbbb",
        "date": date(2027, 4, 10),
        "what": "Load",
        "cohort": "A1",
        "cohorts": ["A1", "B1"],
        "chore": "load",
    }
    two = saved(worked([HARVEST, AGAIN, LOAD]), [Edit("add", "task", ("bbbb",), (), both)])
    before = two.plan.season
    task = next(t for t in before.tasks if t.id == "bbbb")
    only = replace(before, tasks=(task,))
    one, other = (
        {name: Pass(id=name, date=date(2027, 4, 8), lot=lot, batch="D1")}
        for name, lot in (("p1", "A1"), ("p2", "B1"))
    )
    assert loading_done(only, replace(only, passes=one), ["A1"]) == ()
    assert loading_done(only, replace(only, passes=one | other), ["B1"]) == (task,)
