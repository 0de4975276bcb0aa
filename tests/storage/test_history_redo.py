"""Redo, and undo and redo of several changes at once: all of them or none."""

import json
from datetime import UTC, datetime

import pytest

from calendar_tui.season.edits import Change, Edit
from calendar_tui.storage.disk.beside import history_path
from calendar_tui.storage.history.undo import read_history, redo_last, undo_last
from calendar_tui.storage.problems import NothingToUndo, SeasonFileError
from calendar_tui.storage.season_file import save_change

TEXT = """\
# The farm
[[task]]
id = "T1"   # first
state = "open"

[[task]]
id = "T2"
state = "open"
"""
WHEN = datetime(2026, 10, 5, 7, 30, tzinfo=UTC)


@pytest.fixture
def season(tmp_path):
    path = tmp_path / "two-rivers.toml"
    path.write_text(TEXT)
    return path


def save(path, *edits, what="a change", who="ana"):
    return save_change(path, Change(what, edits), who=who, when=WHEN)


def undo(path, steps=1):
    return undo_last(path, steps, who="ben", when=WHEN)


def redo(path, steps=1):
    return redo_last(path, steps, who="cleo", when=WHEN)


def put(name, field, value):
    return Edit("set", "task", (name,), (field,), value)


def named(undone):
    return [change.what for change in undone.changes]


@pytest.fixture
def states(season):
    """The file after none, one, two and three changes."""
    found = [season.read_bytes()]
    for what, edit in (
        ("one", put("T1", "state", "done")),
        ("two", Edit("remove", "task", ("T1",))),
        ("three", Edit("add", "task", ("T3",), (), {"id": "T3"})),
    ):
        save(season, edit, what=what)
        found.append(season.read_bytes())
    return found


def test_undo_and_redo_go_step_by_step_byte_for_byte(season, states):
    for state in states[-2::-1]:
        undo(season)
        assert season.read_bytes() == state
    for state, what in zip(states[1:], ("one", "two", "three"), strict=True):
        done = redo(season)
        assert (named(done), done.exact) == ([what], True)
        assert season.read_bytes() == state
    with pytest.raises(NothingToUndo, match="there is nothing to redo"):
        redo(season)


def test_several_steps_are_one_entry_and_redone_one_by_one(season, states):
    assert named(undo(season, 3)) == ["three", "two", "one"]
    assert season.read_bytes() == states[0]
    entries = read_history(season).entries
    assert len(entries) == 4
    assert [step.undoes for step in entries[-1].steps] == [3, 2, 1]
    assert entries[-1].what == "undo: three; two; one"
    assert named(redo(season)) == ["one"]
    assert season.read_bytes() == states[1]
    assert named(redo(season, 2)) == ["two", "three"]
    assert season.read_bytes() == states[3]
    assert named(undo(season, 2)) == ["three", "two"]
    assert season.read_bytes() == states[1]


def test_what_befell_each_change_is_marked(season, states):
    undo(season, 2)
    redo(season)
    assert read_history(season).marks() == {
        3: (("undone", 4),),
        2: (("undone", 4), ("redone", 5)),
    }


def test_many_steps_are_named_by_the_first_of_them(season):
    for n in range(5):
        save(season, put("T1", "n", n), what=f"n {n}")
    undo(season, 5)
    assert read_history(season).entries[-1].what == "undo: n 4; n 3; n 2; and 2 more"


def test_a_new_change_ends_what_can_be_redone(season, states):
    undo(season, 2)
    save(season, put("T2", "state", "skipped"), what="other", who="ben")
    with pytest.raises(NothingToUndo):
        redo(season)
    assert named(undo(season, 2)) == ["other", "one"]
    assert season.read_bytes() == states[0]


def test_more_steps_than_there_are_take_nothing_back(season, states):
    with pytest.raises(
        SeasonFileError, match="only 3 changes can be undone, and 4 were asked for, so nothing"
    ):
        undo(season, 4)
    undo(season)
    with pytest.raises(SeasonFileError, match="only 1 change can be redone, and 2 were asked for"):
        redo(season, 2)
    assert season.read_bytes() == states[2]
    assert len(read_history(season).entries) == 4


@pytest.mark.parametrize("steps", [0, -1])
def test_no_step_is_no_undo(season, states, steps):
    with pytest.raises(ValueError, match="take 1 or more"):
        undo(season, steps)


def test_all_steps_or_none_and_the_one_in_the_way_is_named(season):
    save(season, put("T1", "state", "done"), what="tick T1")
    save(season, put("T2", "state", "done"), what="tick T2")
    save(season, put("T2", "n", 1), what="count")
    text = season.read_text().replace('first\nstate = "done"', 'first\nstate = "skipped"')
    season.write_text(text)
    words = r"change 1 \(tick T1\) cannot be undone: task T1 state was edited since.*; nothing is undone"
    with pytest.raises(SeasonFileError, match=words):
        undo(season, 3)
    assert season.read_text() == text
    assert len(read_history(season).entries) == 3
    assert named(undo(season, 2)) == ["count", "tick T2"]
    assert season.read_text() == TEXT.replace('first\nstate = "open"', 'first\nstate = "skipped"')


def test_redo_after_an_edit_by_hand_brings_the_fields_back(season, states):
    undo(season, 3)
    season.write_text("# by hand\n" + season.read_text())
    assert not redo(season).exact
    assert season.read_text() == "# by hand\n" + states[1].decode()


def test_redo_does_not_write_over_what_was_edited_by_hand(season):
    save(season, put("T1", "state", "done"), what="tick T1")
    undo(season)
    text = TEXT.replace('first\nstate = "open"', 'first\nstate = "skipped"')
    season.write_text(text)
    words = r"change 1 \(tick T1\) cannot be redone: task T1 state was edited since"
    with pytest.raises(SeasonFileError, match=words):
        redo(season)
    assert season.read_text() == text


def test_undo_then_redo_restores_the_bytes_also_over_an_edit_by_hand(season):
    save(season, Edit("add", "task", ("T3",), (), {"id": "T3"}), what="add T3")
    text = season.read_text() + "# of T3, by hand\n"
    season.write_text(text)
    assert not undo(season).exact
    assert redo(season).exact
    assert season.read_text() == text


def test_an_older_file_put_back_takes_what_came_after_it_out(season, states):
    """As after git has checked out an older version: undo goes on from the change that led to the file as it is."""
    season.write_bytes(states[1])
    history = read_history(season)
    assert ([e.n for e in history.entries], [e.n for e in history.gone]) == ([1], [2, 3])
    assert (history.never, history.undone) == ((), ())
    save(season, put("T2", "state", "done"), what="four")
    done = undo(season, 2)
    assert (named(done), done.exact) == (["four", "one"], True)
    assert season.read_bytes() == states[0]
    assert named(redo(season, 2)) == ["one", "four"]


def test_an_undo_from_before_redo_was_kept_can_be_redone(season, states):
    """Its line names the one change it undoes, as it always has."""
    undo(season)
    row = json.loads(history_path(season).read_text().splitlines()[-1])
    assert (row["undoes"], "steps" in row) == (3, False)
    assert named(redo(season)) == ["three"]
