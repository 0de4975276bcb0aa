"""Three versions of a season's data: what merges by itself, what is a conflict, and which tasks are the same."""

from __future__ import annotations

from copy import deepcopy
from datetime import date

import pytest

from calendar_tui.season.edits import TOP, Edit, apply_edits
from calendar_tui.season.merging import Conflict, differences, merge

D = date(2026, 11, 8)


def season():
    return {
        "format": 1,
        "season": {"name": "Two Rivers"},
        "site": {"latitude": -34.3},
        "mine": {"a": 1, "deep": {"b": 2}},
        "tags": ["x"],
        "place": [{"id": "H1", "lamps": {"target_h": 16.0, "kw": 0.9}}, {"id": "F1"}],
        "cohort": [
            {"id": "A1", "plants": 120, "planned": {"seeding": date(2026, 10, 5)}},
            {"id": "A2", "plants": 80, "planned": {"seeding": date(2026, 10, 19)}},
        ],
        "outage": [{"place": "H1", "from": D, "to": D}],
        "task": [task("k7d2"), task("mmmm", n=2), {"id": "own1", "date": D, "what": "Mow"}],
    }


def task(name, n=1, chore="scout", cohort="A1", **rest):
    return {"id": name, "date": D, "what": "Scout", "chore": chore, "cohort": cohort, "n": n, **rest}


def fresh(record, taken):
    return next(name for name in ("new1", "new2", "new3") if name not in taken)


def record(data, kind, name):
    return next(r for r in data[kind] if r["id"] == name)


def by_id(data):
    """Data with its lists of records as tables, so that their order does not count."""
    return {
        key: {repr([r.get(k) for k in ("id", "place", "from")]): r for r in value}
        if isinstance(value, list) and value and isinstance(value[0], dict)
        else value
        for key, value in data.items()
        if value not in ({}, [])
    }


def merged(mine, other, base=None):
    """The merged data and what was found, for two functions that change a copy of a base in place."""
    base = season() if base is None else base
    ours, theirs = deepcopy(base), deepcopy(base)
    mine(ours)
    other(theirs)
    kept = deepcopy((base, ours, theirs))
    found = merge(base, ours, theirs, fresh)
    assert (base, ours, theirs) == kept
    return apply_edits(ours, found.edits), found


def put(kind, name, *path, value):
    def change(data):
        table = data[kind] if name is None else record(data, kind, name)
        for key in path[:-1]:
            table = table.setdefault(key, {})
        if value is None:
            del table[path[-1]]
        else:
            table[path[-1]] = value

    return change


def add(kind, **values):
    return lambda data: data.setdefault(kind, []).append(dict(values))


def drop(kind, name):
    return lambda data: data[kind].remove(record(data, kind, name))


def top(key, value):
    return lambda data: data.pop(key) if value is None else data.__setitem__(key, value)


def all_of(*changes):
    def change(data):
        for one in changes:
            one(data)

    return change


def nothing(data):
    pass


# Two changes that merge by themselves: the result is the one after the other.
CLEAN = {
    "two cohorts": (put("cohort", "A1", "plants", value=99), put("cohort", "A2", "plants", value=70)),
    "two fields": (put("cohort", "A1", "plants", value=99), put("cohort", "A1", "note", value="wet")),
    "two dates of one table": (
        put("cohort", "A1", "recorded", "seeding", value=D),
        put("cohort", "A1", "recorded", "emergence", value=D),
    ),
    "a date of a table that is there": (
        put("cohort", "A1", "planned", "seeding", value=D),
        put("cohort", "A1", "planned", "transplant", value=D),
    ),
    "a field taken away": (
        put("place", "H1", "lamps", "kw", value=None),
        put("place", "H1", "lamps", "target_h", value=18.0),
    ),
    "a table taken away": (put("cohort", "A1", "note", value="x"), put("place", "H1", "lamps", value=None)),
    "records added": (add("cohort", id="B1"), add("cohort", id="B2", plants=3)),
    "a record added and another taken away": (add("task", id="t9"), drop("task", "own1")),
    "the first record of a kind": (nothing, add("spray", id="S1")),
    "the last record of a kind taken away": (nothing, lambda data: data.pop("outage")),
    "outages of one place": (
        add("outage", place="H1", **{"from": date(2026, 12, 1), "to": D}),
        lambda data: data["outage"][0].update(to=date(2026, 11, 9)),
    ),
    "season and site": (put("season", None, "name", value="T"), put("site", None, "latitude", value=1.0)),
    "a table of one's own": (put("mine", None, "a", value=2), put("mine", None, "deep", "c", value=3)),
    "a table of one's own added": (top("yours", {"a": 1}), top("theirs", {"a": {"b": 1}})),
    "a table of one's own taken away": (put("season", None, "name", value="T"), top("mine", None)),
    "a table of one's own emptied": (nothing, top("mine", {})),
    "values at the top": (top("tags", ["x", "y"]), top("said", True)),
    "records without an id": (nothing, top("note", [{"a": 1}, {"a": 1}])),
    "done here, dated anew there": (
        put("task", "k7d2", "state", value="done"),
        put("task", "k7d2", "date", value=date(2026, 11, 20)),
    ),
    "whole number and fraction": (put("cohort", "A2", "plants", value=80.0), nothing),
}


@pytest.mark.parametrize(("mine", "other"), CLEAN.values(), ids=CLEAN.keys())
def test_what_differs_merges_by_itself_whichever_side_is_ours(mine, other):
    both = season()
    all_of(mine, other)(both)
    for one, two in ((mine, other), (other, mine)):
        data, found = merged(one, two)
        assert found.conflicts == ()
        assert by_id(data) == by_id(both)


@pytest.mark.parametrize(("mine", "other"), CLEAN.values(), ids=CLEAN.keys())
def test_differences_lead_from_one_state_to_the_other(mine, other):
    old, new = season(), season()
    all_of(mine, other)(new)
    assert by_id(apply_edits(old, differences(old, new))) == by_id(new)
    assert differences(new, deepcopy(new)) == ()


def test_an_edit_goes_no_further_than_the_field():
    _, found = merged(nothing, put("place", "H1", "lamps", "kw", value=1.2))
    assert found.edits == (Edit("set", "place", ("H1",), ("lamps", "kw"), 1.2),)


def test_the_same_change_on_both_sides_is_no_conflict():
    change = all_of(
        put("cohort", "A1", "plants", value=1), add("cohort", id="B1"), drop("place", "F1"), top("tags", None)
    )
    data, found = merged(change, change)
    assert found.edits == found.conflicts == ()
    assert record(data, "cohort", "A1")["plants"] == 1


def test_ours_stand_first_and_what_theirs_added_follows():
    data, _ = merged(add("cohort", id="B1"), all_of(add("cohort", id="C1"), add("cohort", id="C2")))
    assert [c["id"] for c in data["cohort"]] == ["A1", "A2", "B1", "C1", "C2"]


# What both changed: (ours, theirs, kind, identity, field, (base, ours, theirs), whose value stays)
CONFLICTS = {
    "a field": (
        put("cohort", "A1", "plants", value=99),
        put("cohort", "A1", "plants", value=70),
        ("cohort", ("A1",), ("plants",), 120, 99, 70),
    ),
    "types differ": (
        put("cohort", "A1", "plants", value=99),
        put("cohort", "A1", "plants", value=99.0),
        ("cohort", ("A1",), ("plants",), 120, 99, 99.0),
    ),
    "a date in a table": (
        put("cohort", "A1", "recorded", "seeding", value=D),
        put("cohort", "A1", "recorded", "seeding", value=date(2026, 11, 9)),
        ("cohort", ("A1",), ("recorded", "seeding"), None, D, date(2026, 11, 9)),
    ),
    "taken away here, changed there": (
        put("cohort", "A1", "plants", value=None),
        put("cohort", "A1", "plants", value=70),
        ("cohort", ("A1",), ("plants",), 120, None, 70),
    ),
    "a table taken away here, changed there": (
        put("place", "H1", "lamps", value=None),
        put("place", "H1", "lamps", "kw", value=1.0),
        (
            "place",
            ("H1",),
            ("lamps",),
            {"target_h": 16.0, "kw": 0.9},
            None,
            {"target_h": 16.0, "kw": 1.0},
        ),
    ),
    "a table here, a value there": (
        put("cohort", "A1", "x", value={"a": 1}),
        put("cohort", "A1", "x", value=3),
        ("cohort", ("A1",), ("x",), None, {"a": 1}, 3),
    ),
    "one id added twice": (
        add("cohort", id="B1", plants=1, start="seed"),
        add("cohort", id="B1", plants=2, start="seed"),
        ("cohort", ("B1",), ("plants",), None, 1, 2),
    ),
    "two hand-made tasks of one id": (
        add("task", id="t9", what="Mow"),
        add("task", id="t9", what="Weed"),
        ("task", ("t9",), ("what",), None, "Mow", "Weed"),
    ),
    "a site": (
        put("site", None, "latitude", value=1.0),
        put("site", None, "latitude", value=2.0),
        ("site", (), ("latitude",), -34.3, 1.0, 2.0),
    ),
    "a value at the top": (top("tags", ["y"]), top("tags", ["z"]), (TOP, (), ("tags",), ["x"], ["y"], ["z"])),
    "a task done on two days": (
        put("task", "k7d2", "done_on", value=D),
        put("task", "k7d2", "done_on", value=date(2026, 11, 9)),
        ("task", ("k7d2",), ("done_on",), None, D, date(2026, 11, 9)),
    ),
    "a task moved by hand twice": (
        all_of(
            put("task", "k7d2", "moved", value=True), put("task", "k7d2", "date", value=date(2026, 11, 9))
        ),
        all_of(
            put("task", "k7d2", "moved", value=True), put("task", "k7d2", "date", value=date(2026, 11, 10))
        ),
        ("task", ("k7d2",), ("date",), D, date(2026, 11, 9), date(2026, 11, 10)),
    ),
    "a hand-made task on two dates": (
        put("task", "own1", "date", value=date(2026, 11, 9)),
        put("task", "own1", "date", value=date(2026, 11, 10)),
        ("task", ("own1",), ("date",), D, date(2026, 11, 9), date(2026, 11, 10)),
    ),
}


@pytest.mark.parametrize(("mine", "other", "values"), CONFLICTS.values(), ids=CONFLICTS.keys())
def test_a_field_that_both_changed_keeps_ours_and_tells_all_three(mine, other, values):
    ours, theirs = season(), season()
    mine(ours)
    data, found = merged(mine, other)
    assert found.conflicts == (Conflict(*values, "ours"),)
    assert found.laid_out_twice == frozenset()
    assert by_id(data) == by_id(ours)
    other(theirs)
    data, found = merged(other, mine)
    *about, base, first, second = values
    assert found.conflicts == (Conflict(*about, base, second, first, "ours"),)
    assert by_id(data) == by_id(theirs)


def test_beside_a_conflict_the_rest_still_merges():
    data, found = merged(
        all_of(put("cohort", "A1", "plants", value=99), put("cohort", "A1", "note", value="x")),
        all_of(put("cohort", "A1", "plants", value=70), put("cohort", "A2", "note", value="y")),
    )
    assert [c.field for c in found.conflicts] == [("plants",)]
    assert record(data, "cohort", "A1") | {"planned": 0} == {
        "id": "A1",
        "plants": 99,
        "note": "x",
        "planned": 0,
    }
    assert record(data, "cohort", "A2")["note"] == "y"


def test_a_record_taken_away_and_changed_stays_and_is_a_conflict():
    change = put("cohort", "A1", "plants", value=99)
    changed = {**season()["cohort"][0], "plants": 99}
    for mine, other, kept in (
        (drop("cohort", "A1"), change, "theirs"),
        (change, drop("cohort", "A1"), "ours"),
    ):
        data, found = merged(mine, other)
        sides = (None, changed) if kept == "theirs" else (changed, None)
        assert found.conflicts == (Conflict("cohort", ("A1",), (), season()["cohort"][0], *sides, kept),)
        assert record(data, "cohort", "A1") == changed


def test_records_that_cannot_be_told_apart_are_one_value():
    base = {"note": [{"a": 1}, {"a": 1}], "task": [{"id": 1}]}
    data, found = merged(top("note", []), top("task", [{"id": 1.0}, {"id": True}]), base)
    assert found.conflicts == ()
    assert data["task"] == [{"id": 1.0}, {"id": True}]
    assert "note" in data
    _, found = merged(top("note", [{"a": 2}]), top("note", [{"a": 3}]), base)
    assert [(c.kind, c.field) for c in found.conflicts] == [(TOP, ("note",))]


# --- tasks


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
    assert len(set(made)) == len(made)
    assert [name for name in ids if name not in ("k7d2", "own1")][-len(names) :] == names


def test_a_chore_renamed_here_and_ticked_there_is_one_task():
    data, found = merged(
        put("task", "k7d2", "chore", value="walk"), put("task", "k7d2", "state", value="done")
    )
    assert found.conflicts == ()
    assert record(data, "task", "k7d2") == task("k7d2", chore="walk", state="done")
