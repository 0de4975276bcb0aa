"""Tasks of two copies: which are the same, and what re-planning on both sides comes to."""

from __future__ import annotations

from datetime import date

import pytest
from two_hands import D, add, all_of, drop, merged, nothing, put, record, season, task


def later(days):
    return date(2026, 11, 8 + days)


def test_open_tasks_that_both_sides_laid_out_are_no_conflict():
    data, found = merged(
        all_of(put("task", "k7d2", "date", value=later(1)), put("task", "k7d2", "hours", value=2.0)),
        all_of(put("task", "k7d2", "date", value=later(2)), put("task", "k7d2", "what", value="Look")),
    )
    assert found.conflicts == ()
    assert found.laid_out_twice == {("scout", "A1", 1)}
    assert record(data, "task", "k7d2") == task("k7d2", hours=2.0) | {"date": later(1), "what": "Look"}


STANDING = {"done": ("state", "done"), "skipped": ("state", "skipped"), "moved by hand": ("moved", True)}


@pytest.mark.parametrize(("key", "value"), STANDING.values(), ids=STANDING.keys())
def test_the_task_that_re_planning_leaves_alone_keeps_its_date(key, value):
    stands = all_of(put("task", "k7d2", "date", value=later(1)), put("task", "k7d2", key, value=value))
    laid_out = put("task", "k7d2", "date", value=later(2))
    for mine, other in ((stands, laid_out), (laid_out, stands)):
        data, found = merged(mine, other)
        assert found.conflicts == ()
        assert found.laid_out_twice == frozenset()
        assert record(data, "task", "k7d2") == task("k7d2", **{key: value}) | {"date": later(1)}


def test_a_task_that_one_plan_drops_and_the_other_moves_is_laid_out_again():
    for mine, other in (
        (drop("task", "k7d2"), put("task", "k7d2", "date", value=later(2))),
        (put("task", "k7d2", "date", value=later(2)), drop("task", "k7d2")),
    ):
        ours = season()
        mine(ours)
        data, found = merged(mine, other)
        assert found.conflicts == ()
        assert found.laid_out_twice == {("scout", "A1", 1)}
        assert data["task"] == ours["task"]


def test_a_task_that_one_plan_drops_and_the_other_side_has_done_is_a_conflict():
    data, found = merged(drop("task", "k7d2"), put("task", "k7d2", "state", value="done"))
    assert [c.ident for c in found.conflicts] == [("k7d2",)]
    assert record(data, "task", "k7d2")["state"] == "done"


def test_a_done_task_taken_away_and_changed_is_a_conflict():
    base = season()
    record(base, "task", "k7d2")["state"] = "done"
    _, found = merged(drop("task", "k7d2"), put("task", "k7d2", "hours", value=2.0), base)
    assert [c.ident for c in found.conflicts] == [("k7d2",)]


# What each side has added beside k7d2 (1), mmmm (2), own1: (ours, theirs, the ids after the merge)
IDS = {
    "one task, one id": (add("task", **task("pppp", n=3)), add("task", **task("pppp", n=3)), ["pppp"]),
    "one task, two ids": (add("task", **task("pppp", n=3)), add("task", **task("qqqq", n=3)), ["pppp"]),
    "two tasks, one id": (
        add("task", **task("pppp", n=3)),
        add("task", **task("pppp", n=4)),
        ["pppp", "new1"],
    ),
    "two tasks, ids crossed": (
        all_of(add("task", **task("pppp", n=3)), add("task", **task("qqqq", n=4))),
        all_of(add("task", **task("qqqq", n=3)), add("task", **task("pppp", n=4))),
        ["pppp", "qqqq"],
    ),
    "ids in a chain": (
        all_of(add("task", **task("pppp", n=3)), add("task", **task("qqqq", n=4))),
        all_of(add("task", **task("qqqq", n=3)), add("task", **task("pppp", n=5))),
        ["pppp", "qqqq", "new1"],
    ),
    "a task that theirs has twice": (
        add("task", **task("pppp", n=3, hours=1.0)),
        all_of(add("task", **task("qqqq", n=3)), add("task", **task("rrrr", n=3))),
        ["pppp", "rrrr"],
    ),
    "a made task and one's own": (
        add("task", id="pppp", what="Mow", date=D),
        add("task", **task("pppp", n=3)),
        ["pppp", "new1"],
    ),
    "dropped and made anew, on both sides": (
        all_of(drop("task", "mmmm"), add("task", **task("pppp", n=2))),
        all_of(drop("task", "mmmm"), add("task", **task("qqqq", n=2))),
        ["pppp"],
    ),
    "dropped and made anew there, ticked here": (
        put("task", "mmmm", "state", value="done"),
        all_of(drop("task", "mmmm"), add("task", **task("qqqq", n=2))),
        ["mmmm"],
    ),
    "dropped and made anew here, ticked there": (
        all_of(drop("task", "mmmm"), add("task", **task("qqqq", n=2))),
        put("task", "mmmm", "state", value="done"),
        ["qqqq"],
    ),
    "dropped and made anew there, as it was here": (
        nothing,
        all_of(drop("task", "mmmm"), add("task", **task("qqqq", n=2))),
        ["qqqq"],
    ),
}


@pytest.mark.parametrize(("mine", "other", "names"), IDS.values(), ids=IDS.keys())
def test_no_task_is_doubled_and_no_id_names_two(mine, other, names):
    data, found = merged(mine, other)
    ids = [t["id"] for t in data["task"]]
    assert found.conflicts == ()
    assert len(set(ids)) == len(ids)
    made = [(t["chore"], t["cohort"], t["n"]) for t in data["task"] if "chore" in t]
    assert len(set(made)) == len(made) - ("rrrr" in names)
    assert [name for name in ids if name not in ("k7d2", "own1")][-len(names) :] == names


def test_a_chore_renamed_here_and_ticked_there_is_one_task():
    data, found = merged(
        put("task", "k7d2", "chore", value="walk"), put("task", "k7d2", "state", value="done")
    )
    assert found.conflicts == ()
    assert record(data, "task", "k7d2") == task("k7d2", chore="walk", state="done")


def of_place(name, day, **more):
    return {
        "id": name,
        "date": later(day),
        "what": "Scout",
        "chore": "scout",
        "place": "H1",
        "n": 1,
        "cohorts": ["A1", "B1"],
    } | more


def test_a_place_s_task_that_both_sides_laid_out_is_one_task():
    """Work of a place has no cohort; it is known by its chore, place and number."""
    data, found = merged(
        add("task", **of_place("zz22", 1)), add("task", **of_place("zz33", 2, cohorts=["A1"]))
    )
    assert found.conflicts == ()
    assert found.laid_out_twice == {("scout", "@H1", 1)}
    assert [t["id"] for t in data["task"] if t.get("place") == "H1" and "cohort" not in t] == ["zz22"]


def test_a_cohort_and_a_place_of_one_name_are_told_apart():
    of_cohort = {k: v for k, v in of_place("zz33", 2).items() if k != "cohorts"} | {
        "cohort": "H1",
        "place": "F1",
    }
    data, found = merged(add("task", **of_place("zz22", 1)), add("task", **of_cohort))
    assert found.laid_out_twice == frozenset()
    assert {"zz22", "zz33"} <= {t["id"] for t in data["task"]}
