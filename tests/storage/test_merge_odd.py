"""Anything that TOML can hold, in three versions that share nothing but a name: merged or refused, with a sentence."""

from __future__ import annotations

from datetime import UTC, date, datetime, time

import pytest
import tomli_w
from hypothesis import given, settings
from hypothesis import strategies as st

from calendar_tui.handing_on.tables.merge_rows import conflict_row, edit_row
from calendar_tui.handing_on.words.conflicts_text import (
    conflict_line,
    conflicts_text,
    short_text,
)
from calendar_tui.season.sameness import same
from calendar_tui.storage.merge_file import merged
from calendar_tui.storage.problems import SeasonFileError
from calendar_tui.storage.season_file import Loaded, parse
from calendar_tui.storage.toml.lines import locate
from calendar_tui.storage.toml.splices import apply_splices

pytestmark = pytest.mark.slow

scalars = st.one_of(
    st.sampled_from([1, 1.0, True, "A1", "", "\x1b[2J", "\u202e", float("nan"), -0.0, 10**30]),
    st.sampled_from([date(2026, 11, 8), time(7, 30), datetime(2026, 11, 8, 7, 30, tzinfo=UTC)]),
)
keys = st.sampled_from(["id", "place", "from", "x", "", "a b", "date", "chore", "cohort", "n", "state"])
values = st.recursive(
    scalars,
    lambda inner: st.lists(inner, max_size=3) | st.dictionaries(keys, inner, max_size=3),
    max_leaves=12,
)
records = st.lists(st.dictionaries(keys, values, max_size=4), max_size=3)
kinds = st.sampled_from(["task", "cohort", "outage", "site", "place", "mine", "", "tags", "note"])
sides = st.dictionaries(kinds, values | records, max_size=5).map(
    lambda data: {**data, "season": {"name": "x"}}
)


def loaded(name, data):
    text = tomli_w.dumps(data)
    return Loaded(name, text, parse(name, text))


def come_together(*three):
    """What was found, or the sentence that refuses."""
    try:
        return merged(*three, lambda task, taken: f"new{len(taken)}", lambda data, keys: ())
    except SeasonFileError as refused:
        return str(refused)


@settings(deadline=None, max_examples=300)
@given(sides, sides, sides)
def test_odd_versions_are_merged_or_refused(base, ours, theirs):
    three = [loaded(f"{n}.toml", data) for n, data in enumerate((base, ours, theirs))]
    found = come_together(*three)
    if isinstance(found, str):
        assert "not merged: " in found
        return
    made = found.made
    assert same(parse("made", made.text), made.data)
    assert apply_splices(three[1].text, made.splices) == made.text
    lines = locate(made.text)
    told = [(c, conflict_line(made.data, lines, c)) for c in found.conflicts]
    assert conflicts_text("x.toml", told, ())
    assert all(short_text(c) and conflict_row(c, line) for c, line in told)
    assert all(edit_row(edit) for edit in made.edits)


@settings(deadline=None, max_examples=200)
@given(sides, sides)
def test_an_odd_copy_that_changed_nothing_gives_way(base, changed):
    one, two = loaded("base.toml", base), loaded("changed.toml", changed)
    for ours, theirs in ((one, two), (two, one)):
        found = come_together(one, ours, theirs)
        assert not isinstance(found, str)
        assert found.conflicts == ()
        assert found.made.text == two.text
