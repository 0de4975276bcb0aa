"""Three versions of a season's data: what merges by itself and what is a conflict."""

from __future__ import annotations

from copy import deepcopy
from datetime import date

import pytest
from two_hands import D, add, all_of, by_id, drop, merged, nothing, put, record, season, top

from calendar_tui.season.edits import TOP, Edit, apply_edits
from calendar_tui.season.merging import Conflict, differences

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


def test_a_table_that_theirs_emptied_is_there_and_empty():
    data, _ = merged(nothing, all_of(put("place", "H1", "lamps", value={}), top("mine", {})))
    assert record(data, "place", "H1")["lamps"] == {}
    assert data["mine"] == {}


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
    data, found = merged(nothing, top("task", [{"id": 1.0, "n": 2}]), base)
    assert found.conflicts == ()
    assert repr(data["task"]) == "[{'id': 1.0, 'n': 2}]"
    _, found = merged(top("note", [{"a": 2}]), top("note", [{"a": 3}]), base)
    assert [(c.kind, c.field) for c in found.conflicts] == [(TOP, ("note",))]
