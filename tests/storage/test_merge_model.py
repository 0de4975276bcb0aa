"""Two copies under any sequence of edits, undos, redos and merges, against a plain model of records and fields."""

from __future__ import annotations

import shutil
import tempfile
from datetime import UTC, datetime
from pathlib import Path

import pytest
from hypothesis import settings
from hypothesis import strategies as st
from hypothesis.stateful import RuleBasedStateMachine, initialize, invariant, rule

from calendar_tui.season.edits import Change, Edit
from calendar_tui.storage.history.undo import read_history, redo_last, undo_last
from calendar_tui.storage.merge_file import merged, write_merged
from calendar_tui.storage.problems import SeasonFileError
from calendar_tui.storage.season_file import Note, load, save_change
from tests.season_data import data_of

pytestmark = pytest.mark.slow

WHEN = datetime(2026, 10, 5, tzinfo=UTC)
TEXT = """\
# The farm
[season]
name = "Two Rivers"

[[task]]   # the first
id = "T1"
state = "open"  # so far
n = 1

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
  { id = "T1", state = "open", n = 1 },  # the first, so far

  # of T2
  { id = "T2", n = 3 },
]
"""
SIDES = st.sampled_from(["ana", "ben"])
NAMES = st.sampled_from(["T1", "T2", "T3"])
FIELDS = st.sampled_from(["state", "n", "note"])
WAYS = {"undo": undo_last, "redo": redo_last}


def records_of(text):
    return {task["id"]: task for task in data_of(text).get("task", [])}


def one_of_three(base, ours, theirs):
    """The value by the plain rule, and whether it is settled."""
    if ours == theirs or base == theirs:
        return ours, True
    return (theirs, True) if base == ours else (ours, False)


def merged_records(base, ours, theirs):
    """What two copies come to, and whether without conflicts: records, then fields, by the plain rule."""
    out, settled = {}, True
    for name in {*base, *ours, *theirs}:
        sides = [side.get(name) for side in (base, ours, theirs)]
        record, fits = one_of_three(*sides)
        if not fits and None in sides[1:]:
            record, settled = sides[1] or sides[2], False
        elif not fits:
            record = {}
            for key in set().union(*(side or {} for side in sides)):
                value, fits = one_of_three(*((side or {}).get(key) for side in sides))
                settled = settled and fits
                record |= {} if value is None else {key: value}
        out |= {} if record is None else {name: record}
    return out, settled


def never(*_):
    raise AssertionError("these tasks are no chore's")


class TwoCopies(RuleBasedStateMachine):
    """For each side: the states that its history leads through, and where in them its file is."""

    @initialize(text=st.sampled_from([TEXT, ROWS]))
    def begin(self, text):
        self.folder = Path(tempfile.mkdtemp())
        self.paths = {side: self.folder / f"{side}.toml" for side in ("ana", "ben")}
        self.base = self.folder / "base.toml"
        for path in (self.base, *self.paths.values()):
            path.write_text(text)
        self.states = {side: [records_of(text)] for side in self.paths}
        self.at = dict.fromkeys(self.paths, 0)

    def teardown(self):
        shutil.rmtree(self.folder)

    def now(self, side):
        return self.states[side][self.at[side]]

    def went_to(self, side, records):
        self.states[side][self.at[side] + 1 :] = [records]
        self.at[side] += 1

    def save(self, side, edit, records):
        saved = save_change(self.paths[side], Change("a change", (edit,)), who=side, when=WHEN)
        if saved.n is not None:
            self.went_to(side, records)

    @rule(side=SIDES, name=NAMES, field=FIELDS, value=st.integers(0, 2))
    def put(self, side, name, field, value):
        now = self.now(side)
        if name in now:
            changed = {**now, name: {**now[name], field: value}}
            self.save(side, Edit("set", "task", (name,), (field,), value), changed)

    @rule(side=SIDES, name=NAMES, field=FIELDS)
    def cut(self, side, name, field):
        now = self.now(side)
        if field in now.get(name, {}):
            left = {key: value for key, value in now[name].items() if key != field}
            self.save(side, Edit("unset", "task", (name,), (field,)), {**now, name: left})

    @rule(side=SIDES, name=NAMES, value=st.integers(0, 2))
    def add_or_remove(self, side, name, value):
        now = self.now(side)
        if name in now:
            left = {other: record for other, record in now.items() if other != name}
            self.save(side, Edit("remove", "task", (name,)), left)
        else:
            record = {"id": name, "n": value}
            self.save(side, Edit("add", "task", (name,), (), record), {**now, name: record})

    @rule(side=SIDES, way=st.sampled_from(["undo", "undo", "redo"]), count=st.sampled_from([1, 1, 2]))
    def take(self, side, way, count):
        to = self.at[side] + (count if way == "redo" else -count)
        try:
            WAYS[way](self.paths[side], count, who=side, when=WHEN)
        except SeasonFileError:
            assert not 0 <= to < len(self.states[side])
        else:
            self.at[side] = to

    @rule(side=SIDES)
    def bring_together(self, side):
        """One side merges the other's copy in; the other takes the merge as it is."""
        (other,) = self.paths.keys() - {side}
        wanted, settled = merged_records(records_of(self.base.read_text()), self.now(side), self.now(other))
        found = self.merge(self.base, side, other)
        assert (found.conflicts == ()) == settled
        self.moved(side, found, wanted)
        self.base.write_bytes(self.paths[other].read_bytes())
        found = self.merge(self.base, other, side)
        assert found.conflicts == ()
        self.moved(other, found, wanted)
        assert self.paths[other].read_bytes() == self.paths[side].read_bytes()
        self.base.write_bytes(self.paths[side].read_bytes())

    def merge(self, base, side, other):
        ours = load(self.paths[side])
        found = merged(load(base), ours, load(self.paths[other]), never, never)
        write_merged(ours, found.made, Note("a merge", side, WHEN))
        return found

    def moved(self, side, found, records):
        if found.made.splices:
            self.went_to(side, records)
        assert self.now(side) == records

    @invariant()
    def files_and_histories_are_as_in_the_model(self):
        for side, path in getattr(self, "paths", {}).items():
            assert records_of(path.read_text()) == self.now(side)
            history = read_history(path)
            stand = (len(history.done), len(history.undone))
            assert stand == (self.at[side], len(self.states[side]) - 1 - self.at[side])
            assert path.read_text().startswith("# The farm\n")


TwoCopies.TestCase.settings = settings(deadline=None, max_examples=60, stateful_step_count=15)
test_two_copies_are_as_in_the_model = TwoCopies.TestCase
