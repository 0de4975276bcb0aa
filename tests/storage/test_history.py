"""The history beside a season file, and undo."""

import json
import math
from datetime import UTC, date, datetime, time, timedelta, timezone

import pytest

from calendar_tui.season.edits import Change, Edit
from calendar_tui.season.sameness import same
from calendar_tui.storage.disk.beside import history_path
from calendar_tui.storage.history.undo import read_history, redo_last, undo_last
from calendar_tui.storage.journal.file import holding, noted, read_journal
from calendar_tui.storage.journal.lines import Entry, Step
from calendar_tui.storage.problems import NothingToUndo, SeasonFileError
from calendar_tui.storage.season_file import load, save_change

TEXT = """\
[[task]]
id = "T1"   # first
state = "open"

[[task]]
id = "T2"
state = "open"
"""
WHEN = datetime(2026, 10, 5, 7, 30, tzinfo=timezone(timedelta(hours=-3)))


@pytest.fixture
def season(tmp_path):
    path = tmp_path / "two-rivers.toml"
    path.write_text(TEXT)
    return path


def save(path, *edits, what="a change"):
    return save_change(path, Change(what, edits), who="ana", when=WHEN)


def undo(path, **rest):
    return undo_last(path, who="ben", when=WHEN, **rest)


def redo(path, **rest):
    return redo_last(path, who="ben", when=WHEN, **rest)


def named(undone):
    (change,) = undone.changes
    return change.what


def put(name, field, value):
    return Edit("set", "task", (name,), (field,), value)


def test_undo_goes_back_step_by_step_byte_for_byte(season):
    states = [season.read_bytes()]
    save(season, put("T1", "state", "done"), put("T1", "done_on", date(2026, 10, 5)), what="tick T1")
    states.append(season.read_bytes())
    save(season, Edit("remove", "task", ("T1",)), what="drop T1")
    states.append(season.read_bytes())
    save(season, Edit("add", "task", ("T3",), (), {"id": "T3"}), what="add T3")
    undone = []
    for state in reversed(states):
        undone.append(undo(season))
        assert season.read_bytes() == state
    assert [named(u) for u in undone] == ["add T3", "drop T1", "tick T1"]
    assert all(u.exact for u in undone)
    assert undone[-1].data == load(season).data
    with pytest.raises(NothingToUndo, match="there is nothing to undo"):
        undo(season)
    assert season.read_bytes() == states[0]


def test_a_change_after_an_undo_is_undone_first(season):
    save(season, put("T1", "state", "done"), what="one")
    save(season, put("T2", "state", "done"), what="two")
    assert named(undo(season)) == "two"
    save(season, put("T2", "state", "skipped"), what="three")
    assert [named(undo(season)), named(undo(season))] == ["three", "one"]
    assert season.read_text() == TEXT
    entries = read_history(season).entries
    assert [(e.n, e.steps[0].undoes) for e in entries] == [
        (1, None),
        (2, None),
        (3, 2),
        (4, None),
        (5, 4),
        (6, 1),
    ]
    assert entries[-1].what == "undo: one"
    assert (entries[-1].who, entries[-1].when) == ("ben", WHEN)


def test_nothing_to_undo_without_a_history(season):
    with pytest.raises(NothingToUndo):
        undo(season)


def test_after_an_edit_by_hand_the_fields_alone_are_taken_back(season):
    save(season, put("T1", "state", "done"), put("T1", "done_on", date(2026, 10, 5)))
    season.write_text("# by hand\n" + season.read_text())
    assert not undo(season).exact
    assert season.read_text() == "# by hand\n" + TEXT
    with pytest.raises(NothingToUndo):
        undo(season)


BY_HAND = {
    "the value": ('state = "done"', 'state = "skipped"', "task T1 state was edited since"),
    "the type": ("n = 1", "n = 1.0", "task T1 n was edited since"),
    "the record": ('id = "T1"', 'id = "T9"', "task T1 is not there any more"),
    "the field": ("n = 1\n", "", "task T1 has no n any more"),
}


@pytest.mark.parametrize(("old", "new", "words"), BY_HAND.values(), ids=BY_HAND.keys())
def test_what_was_edited_by_hand_is_not_written_over(season, old, new, words):
    save(season, put("T1", "state", "done"), put("T1", "n", 1), what="tick T1")
    text = season.read_text().replace(old, new)
    season.write_text(text)
    with pytest.raises(SeasonFileError, match=rf"change 1 \(tick T1\) cannot be undone.*{words}"):
        undo(season)
    assert season.read_text() == text
    assert len(read_history(season).entries) == 1


def test_a_record_added_and_then_edited_by_hand_is_not_thrown_away(season):
    save(season, Edit("add", "task", ("T3",), (), {"id": "T3", "state": "open"}))
    season.write_text(season.read_text().replace('id = "T3"', 'id = "T3", note = "by hand"'))
    with pytest.raises(SeasonFileError, match="task T3 was edited since"):
        undo(season)


def test_what_a_person_has_taken_back_already_is_passed(season):
    save(season, put("T1", "state", "done"), what="one")
    save(season, put("T2", "state", "done"), what="two")
    season.write_text(season.read_text().replace('id = "T2"\nstate = "done"', 'id = "T2" #\nstate = "open"'))
    text = season.read_text()
    assert named(undo(season)) == "two"
    assert season.read_text() == text
    assert named(undo(season)) == "one"


def test_undo_obeys_the_check(season):
    save(season, put("T1", "state", "done"))

    class Odd:
        message = "that is odd"

    with pytest.raises(SeasonFileError, match="not saved: that is odd"):
        undo(season, check=lambda data: [Odd()])
    assert '"done"' in season.read_text()


@pytest.mark.parametrize("torn", [b'{"n": 2, "when": "2026-', b"\xff\xfe", b"[1, 2]\n", b'{"n": 2}\n'])
def test_a_torn_last_line_is_told_and_passed_over(season, torn):
    save(season, put("T1", "state", "done"), what="one")
    file = history_path(season)
    with file.open("ab") as stream:
        stream.write(torn)
    (warning,) = read_history(season).warnings
    assert warning == f"{file}:2: this line is not whole and is passed over"
    assert save(season, put("T2", "state", "done"), what="two").n == 2
    undone = [undo(season), undo(season)]
    assert [named(u) for u in undone] == ["two", "one"]
    assert undone[0].warnings == (warning,)
    assert season.read_text() == TEXT


def test_an_entry_whose_change_never_reached_the_file_is_left_out(season):
    save(season, put("T1", "state", "done"), what="one")
    before = season.read_bytes()
    save(season, put("T2", "state", "done"), what="two")
    season.write_bytes(before)  # as if the program had stopped between history and file
    assert [e.what for e in read_history(season).entries] == ["one"]
    assert save(season, put("T2", "state", "skipped"), what="three").n == 3
    assert [named(undo(season)), named(undo(season))] == ["three", "one"]
    assert season.read_text() == TEXT


def test_an_undo_that_never_reached_the_file_is_done_again(season):
    save(season, put("T1", "state", "done"), what="one")
    after = season.read_bytes()
    undo(season)
    season.write_bytes(after)
    assert named(undo(season)) == "one"
    assert season.read_text() == TEXT


def test_a_history_that_was_tampered_with_is_not_trusted(season):
    save(season, put("T1", "state", "done"))
    file = history_path(season)
    row = json.loads(file.read_text())
    row["splices"][0][1] = ['state = "odd"']
    file.write_text(json.dumps(row) + "\n")
    with pytest.raises(SeasonFileError, match="does not lead back"):
        undo(season)
    assert '"done"' in season.read_text()


def test_a_history_that_cannot_be_read_is_told(season):
    history_path(season).mkdir()
    with pytest.raises(SeasonFileError, match="the history cannot be read"):
        read_history(season)


VALUES = [
    date(2026, 10, 5),
    datetime(2026, 10, 5, 7, 30),
    datetime(2026, 10, 5, 7, 30, 1, 5, tzinfo=UTC),
    datetime(2026, 10, 5, 7, 30, tzinfo=timezone(timedelta(hours=-3))),
    time(7, 30),
    1,
    1.0,
    True,
    2**70,
    1e300,
    math.inf,
    math.nan,
    "é \u2028 \r\n",
    [1, 1.5, [date(2026, 1, 1)], {}],
    {"a": {"b": [{"c": date(2026, 1, 1)}]}},
    {"$date": "not a date"},
    {"$table": {"$float": 1}},
]


@pytest.mark.parametrize("value", VALUES, ids=repr)
def test_values_come_back_from_the_history_as_they_were(tmp_path, value):
    edits = (
        Edit("set", "task", ("T1",), ("a", "b"), value),
        Edit("set", "outage", ("H2", date(2026, 11, 1)), ("to",), 1),
        Edit("unset", "task", ("T1",), ("c",)),
        Edit("add", "task", ("T4",), (), {"id": "T4", "x": value}),
        Edit("remove", "task", ("T5",)),
    )
    back = (
        Edit("add", "task", ("T5",), (), {"id": "T5", "x": value}),
        Edit("remove", "task", ("T4",)),
        Edit("set", "task", ("T1",), ("c",), value),
        Edit("set", "outage", ("H2", date(2026, 11, 1)), ("to",), 2),
        Edit("unset", "task", ("T1",), ("a", "b")),
    )
    entry = Entry(1, WHEN, "ana", "é", (Step(edits, back, (), "x", "y"),))
    file = tmp_path / "h.jsonl"
    with noted(file, entry, tmp_path):
        pass
    journal = read_journal(file)
    assert journal.warnings == ()
    (found,) = journal.entries
    (step,) = found.steps
    for one, other in zip(step.edits + step.back, edits + back, strict=True):
        assert (one.op, one.kind, one.ident, one.field) == (other.op, other.kind, other.ident, other.field)
        assert same(one.value, other.value)
    assert (found.when.isoformat(), found.what) == (WHEN.isoformat(), "é")


def entry(n, before, after):
    return Entry(n, WHEN, "ana", "x", (Step((), (), (), before, after),))


def test_which_entries_hold():
    rows = [
        entry(1, "a", "b"),
        entry(2, "b", "c"),
        entry(3, "b", "d"),
        entry(4, "d", "d"),
        entry(5, "e", "f"),
    ]
    assert [e.n for e in holding(rows, "f")] == [1, 3, 4, 5]
    assert [e.n for e in holding(rows, "by hand")] == [1, 3, 4, 5]
    assert [e.n for e in holding(rows, "e")] == [1, 3, 4]
    assert holding([], "a") == []


def test_two_seasons_of_one_name_and_other_endings_have_each_their_own_history(season):
    other = season.with_suffix(".txt")
    other.write_text(season.read_text())
    save(season, put("T1", "state", "done"), what="mine")
    save(other, put("T2", "state", "done"), what="other")
    for path, what in ((season, "mine"), (other, "other")):
        assert [e.what for e in read_history(path).entries] == [what]
    undo(other)
    assert read_history(season).done[0].what == "mine"
    assert history_path(season).name == "two-rivers.history.jsonl"
