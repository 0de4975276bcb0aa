"""Any sequence of edits, undos, redos and edits by hand, against a plain model: a list of texts and a cursor."""

import tempfile
from datetime import UTC, datetime
from pathlib import Path

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from calendar_tui.season.edits import Change, Edit
from calendar_tui.storage.history.as_it_was import as_it_was_after
from calendar_tui.storage.history.undo import read_history, redo_last, undo_last
from calendar_tui.storage.problems import SeasonFileError
from calendar_tui.storage.season_file import load, save_change
from tests.season_data import data_of

pytestmark = pytest.mark.slow

TEXT = """\
# The farm
[season]
name = "Two Rivers"

[[task]]   # the first
id = "T1"
state = "open"  # so far
planned = { a = 1, b = 2 }

# of T2
[[task]]
id = "T2"
n = 3
"""
ROWS = """\
# The farm
[season]
name = "Two Rivers"

[records]
task = [
  { id = "T1", state = "open", planned = { a = 1, b = 2 } },  # the first, so far

  # of T2
  { id = "T2", n = 3 },
]
"""
starts = st.sampled_from([TEXT, ROWS])
WHEN = datetime(2026, 10, 5, tzinfo=UTC)
WAYS = {"undo": undo_last, "redo": redo_last}
names = st.sampled_from(["T1", "T2", "T3"])
steps = st.sampled_from([1, 1, 1, 2, 3])
moves = st.one_of(
    st.tuples(st.just("set"), names, st.sampled_from(["state", "n"]), st.integers(0, 3)),
    st.tuples(st.just("add"), names),
    st.tuples(st.just("remove"), names),
    st.tuples(st.sampled_from(["undo", "undo", "redo"]), steps),
)


def edit_of(move, records):
    """The edit that a move means, None where it does not fit."""
    op, name, *rest = move
    if (op == "add") == (name in records):
        return None
    if op == "set":
        return Edit("set", "task", (name,), (rest[0],), rest[1])
    return Edit(op, "task", (name,), (), {"id": name, "state": "open"} if op == "add" else None)


def by_id(text):
    return {task["id"]: task for task in data_of(text).get("task", [])}


def take(way, path, count):
    """Undo or redo; whether it was done."""
    before = path.read_text()
    try:
        WAYS[way](path, count, who="ana", when=WHEN)
    except SeasonFileError:
        assert path.read_text() == before
        return False
    return True


def save(path, move):
    """Save the edit that a move means; whether there was anything to save."""
    edit = edit_of(move, by_id(path.read_text()))
    if edit is None:
        return False
    return save_change(path, Change("a change", (edit,)), who="ana", when=WHEN).n is not None


@settings(deadline=None, max_examples=100)
@given(starts, st.lists(moves, max_size=14))
def test_text_and_what_can_be_undone_and_redone_are_as_in_the_model(start, sequence):
    with tempfile.TemporaryDirectory() as folder:
        path = Path(folder) / "farm.toml"
        path.write_text(start)
        texts, at, seen = [start], 0, {}
        for move in sequence:
            if move[0] in WAYS:
                to = at + (move[1] if move[0] == "redo" else -move[1])
                assert take(move[0], path, move[1]) == (0 <= to < len(texts))
                at = to if 0 <= to < len(texts) else at
            elif save(path, move):
                texts[at + 1 :] = [path.read_text()]
                at += 1
            assert path.read_text() == texts[at]
            history = read_history(path)
            assert (len(history.done), len(history.undone)) == (at, len(texts) - 1 - at)
            assert not history.never
            seen.setdefault(len(history.entries), texts[at])
        for n, text in seen.items():
            if n:
                found = as_it_was_after(path, n, UTC)
                assert (found.text, found.notes) == (text, ())


@settings(deadline=None, max_examples=60)
@given(starts, st.lists(moves | st.just(("hand",)), max_size=10))
def test_edits_by_hand_elsewhere_stay_and_the_records_are_as_in_the_model(start, sequence):
    with tempfile.TemporaryDirectory() as folder:
        path = Path(folder) / "farm.toml"
        path.write_text(start)
        states, at, by_hand = [by_id(start)], 0, 0
        for move in sequence:
            if move[0] == "hand":
                by_hand += 1
                path.write_text(f"# by hand {by_hand}\n{path.read_text()}")
            elif move[0] in WAYS:
                to = at + (move[1] if move[0] == "redo" else -move[1])
                assert take(move[0], path, move[1]) == (0 <= to < len(states))
                at = to if 0 <= to < len(states) else at
            elif save(path, move):
                states[at + 1 :] = [by_id(path.read_text())]
                at += 1
            assert by_id(path.read_text()) == states[at]
            assert path.read_text().count("# by hand") == by_hand
            assert load(path).data["season"] == {"name": "Two Rivers"}
        for n in range(1, len(read_history(path).entries) + 1):
            assert as_it_was_after(path, n, UTC).data["season"] == {"name": "Two Rivers"}
