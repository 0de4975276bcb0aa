"""Edits on a season's plain data."""

from datetime import date

import pytest

from calendar_tui.season.edits import TOP, Edit, EditError, apply_edits, outcome
from tests.counting import lines_run


def season():
    return {
        "format": 1,
        "site": {"latitude": -34.3},
        "mine": {"id": 3, "a": 1},
        "cohort": [
            {"id": "A1", "planned": {"seeding": date(2026, 10, 5)}, "lamps": 3},
            {"id": "A2"},
        ],
        "task": [{"id": "T1", "state": "open"}, {"id": "T2", "state": "open"}, {"id": "T3", "state": "open"}],
        "outage": [{"place": "H2", "from": date(2026, 11, 1)}],
    }


FITTING = {
    "set": [Edit("set", "task", ("T1",), ("state",), "done")],
    "set a new field twice": [
        Edit("set", "task", ("T1",), ("note",), "wet"),
        Edit("set", "task", ("T1",), ("note",), "dry"),
    ],
    "set in a new table": [Edit("set", "cohort", ("A2",), ("recorded", "seeding"), date(2026, 10, 6))],
    "unset the only field of a table": [Edit("unset", "cohort", ("A1",), ("planned", "seeding"))],
    "set, then unset": [
        Edit("set", "task", ("T2",), ("note",), "wet"),
        Edit("unset", "task", ("T2",), ("note",)),
    ],
    "add, then set": [
        Edit("add", "task", ("T9",), (), {"id": "T9", "state": "open"}),
        Edit("set", "task", ("T9",), ("state",), "done"),
    ],
    "the first record of a kind": [Edit("add", "spray", ("S1",), (), {"id": "S1"})],
    "remove the last of a kind": [Edit("remove", "outage", ("H2", date(2026, 11, 1)))],
    "remove": [Edit("remove", "task", ("T3",))],
    "rename, then set": [
        Edit("set", "task", ("T2",), ("id",), "T9"),
        Edit("set", "task", ("T9",), ("state",), "done"),
    ],
    "rename by either key of two": [
        Edit("set", "outage", ("H2", date(2026, 11, 1)), ("place",), "H3"),
        Edit("set", "outage", ("H3", date(2026, 11, 1)), ("from",), date(2026, 11, 2)),
    ],
    "a table that stands once": [Edit("set", "site", (), ("latitude",), -34.0)],
    "a table of one's own": [Edit("set", "mine", (), ("id",), 4), Edit("unset", "mine", (), ("a",))],
    "a key at the top": [Edit("set", TOP, (), ("format",), 2), Edit("set", TOP, (), ("new",), "x")],
    "a table and a list at the top": [
        Edit("unset", TOP, (), ("site",)),
        Edit("set", TOP, (), ("outage",), [{"a": 1}]),
    ],
    "a table that was not there": [Edit("set", "season", (), ("name",), "Two Rivers")],
}


@pytest.mark.parametrize("edits", FITTING.values(), ids=FITTING.keys())
def test_inverse_takes_edits_back_and_leaves_the_argument_alone(edits):
    before = season()
    after = apply_edits(before, edits)
    assert before == season()
    assert after != before or edits is FITTING["set, then unset"]
    back = apply_edits(after, outcome(before, edits).back)
    assert {k: v for k, v in back.items() if v} == before


@pytest.mark.parametrize(
    ("edit", "words"),
    [
        (Edit("set", "task", ("T7",), ("state",), "done"), "task T7 is not there any more"),
        (Edit("remove", "task", ("T7",)), "task T7 is not there any more"),
        (Edit("unset", "task", ("T1",), ("note",)), "task T1 has no note any more"),
        (Edit("unset", "cohort", ("A1",), ("lamps", "kw")), "lamps is not a table"),
        (Edit("set", "cohort", ("A1",), ("lamps", "kw"), 1), "lamps is not a table"),
        (Edit("add", "task", ("T1",), (), {"id": "T1"}), "task T1 is there already"),
        (Edit("add", "task", ("T8",), (), {"id": "T9"}), "does not carry this name"),
        (Edit("unset", "task", ("T1",), ("id",)), "id tells task T1 from the others"),
        (Edit("set", "task", ("T1",), ("id",), "T2"), "task T2 is there already"),
        (Edit("set", "task", ("T1",), ("id",), None), "task T1 needs its id"),
        (Edit("set", "task", ("T1",), ("note",), None), "unset it instead"),
        (Edit("set", "task", ("T1",)), "no field of task T1"),
        (Edit("remove", "site", ()), "site stands once"),
        (Edit("unset", TOP, (), ("none",)), "the top of the file has no none any more"),
        (Edit("set", "format", (), ("a",), 1), "format is not a table"),
        (Edit("set", "format", ("x",), ("a",), 1), "format is not a list of records"),
    ],
)
def test_an_edit_that_does_not_fit_says_why(edit, words):
    before = season()
    with pytest.raises(EditError, match=words):
        apply_edits(before, [edit])
    assert before == season()


def test_a_record_that_stands_twice_is_not_guessed_at():
    data = {"task": [{"id": "T1"}, {"id": "T1"}]}
    with pytest.raises(EditError, match="stands twice"):
        apply_edits(data, [Edit("set", "task", ("T1",), ("state",), "done")])


def test_a_removed_and_readded_record_stands_last():
    edits = [Edit("remove", "task", ("T1",)), Edit("add", "task", ("T1",), (), {"id": "T1"})]
    made = outcome(season(), edits)
    assert [t["id"] for t in made.data["task"]] == ["T2", "T3", "T1"]
    assert made.removed == {"task": frozenset({0})}
    assert made.touched == {}


def test_values_are_copied_in_and_tuples_become_lists():
    spacing = [1.5, 0.6]
    after = apply_edits(season(), [Edit("set", "cohort", ("A1",), ("spacing_m",), spacing)])
    spacing.append(9)
    assert after["cohort"][0]["spacing_m"] == [1.5, 0.6]
    after = apply_edits(season(), [Edit("set", "cohort", ("A1",), ("spacing_m",), (1.5, 0.6))])
    assert after["cohort"][0]["spacing_m"] == [1.5, 0.6]


def test_work_grows_no_faster_than_the_edits():
    def work(records):
        data = {"task": [{"id": f"T{i}", "state": "open"} for i in range(records)]}
        edits = [
            Edit("set", "task", (f"T{i}",), (key,), "done")
            for i in range(0, records, 2)
            for key in ("state", "note")
        ]
        made = outcome(data, edits)
        assert apply_edits(made.data, made.back) == data
        return lines_run(lambda: outcome(data, edits))

    assert work(2000) < 2.5 * work(1000)
