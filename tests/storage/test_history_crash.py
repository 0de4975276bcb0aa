"""The program stopped at any point of a save: the history says what happened and what never did."""

import json
import os
import subprocess
import sys
from datetime import UTC, datetime

import pytest

from calendar_tui.season.edits import Change, Edit
from calendar_tui.storage.disk.beside import history_path
from calendar_tui.storage.history.undo import read_history, redo_last, undo_last
from calendar_tui.storage.problems import NothingToUndo
from calendar_tui.storage.season_file import save_change

TEXT = '[[task]]\nid = "T1"\nstate = "open"\n\n[[task]]\nid = "T2"\nstate = "open"\n'
WHEN = datetime(2026, 10, 5, 7, 30, tzinfo=UTC)
# Saves a change and stops, as a loss of power does, where the new file is to take the old one's place.
STOPPED = """
import os, sys
from datetime import UTC, datetime
from pathlib import Path
from calendar_tui.season.edits import Change, Edit
from calendar_tui.storage.season_file import save_change
os.replace = lambda *names: os._exit(9)
edit = Edit("set", "task", ("T2",), ("state",), "done")
save_change(Path(sys.argv[1]), Change("two", (edit,)), who="ana", when=datetime(2026, 10, 5, 8, tzinfo=UTC))
"""


@pytest.fixture
def season(tmp_path):
    path = tmp_path / "two-rivers.toml"
    path.write_text(TEXT)
    save(path, "T1", "done", "one")
    return path


def save(path, name, state, what):
    edit = Edit("set", "task", (name,), ("state",), state)
    return save_change(path, Change(what, (edit,)), who="ana", when=WHEN)


def undo(path):
    (change,) = undo_last(path, who="ben", when=WHEN).changes
    return change.what


def stop_in_a_save(path):
    ran = subprocess.run([sys.executable, "-c", STOPPED, str(path)], check=False, timeout=60)
    assert ran.returncode == 9


def what(entries):
    return [entry.what for entry in entries]


def by_hand(path):
    path.write_text("# by hand\n" + path.read_text())


def test_a_change_that_the_program_was_stopped_at_is_known(season):
    stop_in_a_save(season)
    history = read_history(season)
    assert (what(history.entries), what(history.never)) == (["one"], ["two"])
    assert undo(season) == "one"
    assert season.read_text() == TEXT


def test_it_is_known_also_after_an_edit_by_hand(season):
    stop_in_a_save(season)
    by_hand(season)
    history = read_history(season)
    assert (what(history.entries), what(history.never)) == (["one"], ["two"])
    assert what(history.done) == ["one"]
    assert undo(season) == "one"
    assert season.read_text() == "# by hand\n" + TEXT
    with pytest.raises(NothingToUndo):
        undo(season)


def test_the_next_save_after_it_says_so_in_the_history(season):
    stop_in_a_save(season)
    by_hand(season)
    assert save(season, "T2", "skipped", "three").n == 3
    rows = [json.loads(line) for line in history_path(season).read_text().splitlines()]
    assert [row.get("n", row.get("never")) for row in rows] == [1, 2, 2, 3]
    assert (rows[2]["never"], rows[2]["who"], rows[2]["when"]) == (2, "ana", WHEN.isoformat())
    history = read_history(season)
    assert (what(history.entries), what(history.never)) == (["one", "three"], ["two"])
    assert [undo(season), undo(season)] == ["three", "one"]
    assert season.read_text() == "# by hand\n" + TEXT


def test_an_undo_that_the_program_was_stopped_at_leaves_the_change_standing(season):
    before = season.read_bytes()
    undo(season)
    season.with_name(".two-rivers.toml.new").write_bytes(season.read_bytes())
    season.write_bytes(b"# by hand\n" + before)
    history = read_history(season)
    assert (what(history.done), history.undone, what(history.never)) == (["one"], (), ["undo: one"])
    assert undo(season) == "one"
    assert season.read_text() == "# by hand\n" + TEXT


def test_a_new_text_left_from_before_the_history_had_its_line_takes_nothing_away(season):
    season.with_name(".two-rivers.toml.new").write_text(TEXT + "# on its way\n")
    by_hand(season)
    assert what(read_history(season).done) == ["one"]


def test_a_save_under_way_elsewhere_does_not_change_what_is_read(season):
    """Its line is there already, and so is its new text; the file is still the old one."""
    before = season.read_bytes()
    save(season, "T2", "done", "two")
    season.with_name(".two-rivers.toml.new").write_bytes(season.read_bytes())
    season.write_bytes(before)
    assert what(read_history(season).entries) == ["one"]


def test_an_interrupt_right_after_the_file_was_replaced_keeps_the_entry(season, monkeypatch):
    real = os.replace

    def interrupted(*names):
        real(*names)
        raise KeyboardInterrupt

    with monkeypatch.context() as patch:
        patch.setattr(os, "replace", interrupted)
        with pytest.raises(KeyboardInterrupt):
            save(season, "T2", "done", "two")
    assert what(read_history(season).entries) == ["one", "two"]
    assert undo(season) == "two"
    assert redo_last(season, who="ben", when=WHEN).exact


BAD_LINES = [
    b"",
    b"{",
    b"null",
    b'"n"',
    b"[" * 20000,
    b'{"n": 1e400}',
    b"\x00\xff\xfe",
    b'{"never": "two", "when": "2026-10-05T07:30:00+00:00", "who": "ana"}',
    b'{"never": 1, "when": "2026-10-05T07:30:00", "who": "ana"}',
    b'{"shortened": "2026-13-05", "when": "2026-10-05T07:30:00+00:00", "who": "ana"}',
]
WRONG = {
    "n": ["1", -1, True, None, 1.5],
    "when": ["2026-10-05", "2026-10-05T07:30:00", 5, None],
    "who": [None, 5, ["ana"]],
    "what": [None, 5],
    "edits": [None, [{}], [[]], [{"op": "burn", "kind": "task", "ident": [], "field": []}]],
    "splices": [None, [[]], [["0", [], []]], [[0, [1], []]], [[-1, [], []]]],
    "before": [None, 5],
    "undoes": ["1", -1, [1]],
    "steps": [[], [{}], "steps", 5],
}


UNSAID = {"ident": {}, "after": {}, "op": {"before": None}}


def bad_rows(line):
    row = json.loads(line)
    yield from BAD_LINES
    for key, values in WRONG.items():
        yield from (json.dumps({**row, key: value}).encode() for value in values)
    for key, value in (("ident", [["T1"]]), ("after", None), ("after", "\ud800"), ("op", "unset")):
        yield json.dumps({**row, "edits": [{**row["edits"][0], key: value} | UNSAID[key]]}).encode()


def test_lines_in_the_middle_that_say_nothing_are_told_and_passed_over(season):
    file = history_path(season)
    good = file.read_bytes()
    bad = list(bad_rows(good))
    save(season, "T2", "done", "two")
    rest = file.read_bytes().removeprefix(good)
    file.write_bytes(good + b"\n".join(bad) + b"\n" + rest)
    history = read_history(season)
    assert what(history.entries) == ["one", "two"]
    assert len(history.warnings) == len(bad) - 1  # one of them is empty
    assert history.warnings[0] == f"{file}:3: this line is not whole and is passed over"
    assert save(season, "T1", "skipped", "three").n == 3
    assert [undo(season) for _ in range(3)] == ["three", "two", "one"]
    assert season.read_text() == TEXT
