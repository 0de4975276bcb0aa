"""Blocks of older formats become lines of `[records]`: what they say stays, comments too, and no other line is touched."""

from __future__ import annotations

from collections import Counter
from dataclasses import replace
from datetime import UTC, date, datetime
from pathlib import Path

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from calendar_tui.season.edits import Change, Edit
from calendar_tui.season.kinds import IN_RECORDS
from calendar_tui.season.reading import read_season
from calendar_tui.season.sameness import same
from calendar_tui.storage.history.undo import undo_last
from calendar_tui.storage.merge_file import merged
from calendar_tui.storage.opening import returning_problems
from calendar_tui.storage.season_file import Loaded, load, save_change
from calendar_tui.storage.toml.lines import comments_in, locate
from calendar_tui.storage.toml.raising import raised
from calendar_tui.storage.toml.rendering import record_lines
from calendar_tui.storage.toml.splice import spliced
from calendar_tui.storage.upgrading import upgrade_season
from tests.counting import lines_run
from tests.season_data import data_of
from tests.storage.test_any_season import by_name, seasons
from tests.storage.three_versions import BASE

WHEN = datetime(2026, 11, 8, 7, 30, tzinfo=UTC)
OLD = """\
# The farm
format = 2   # of this file

# --- the work ---

# in November
[[task]]   # by hand
id = "b"
# with the long hose
date = 2026-11-09   # a Monday
what = "Hoe"
hours = 0.50
own = [
  1,  # one
]
# and weed
# until dusk

# loose

[[task]]
id = "a"
date = 2026-11-02
what = '''
Weed # all
of it'''
[task.mine]
x = 1   # deep

[[cohort]]   # not to be touched
id = "A1"
"""
NEW = """\
# The farm
format = 3   # of this file

# --- the work ---

[[cohort]]   # not to be touched
id = "A1"

[records]
task = [
  # loose
  # deep
  { id = "a", date = 2026-11-02, what = "Weed # all\\nof it", mine = { x = 1 } },
  # in November
  # by hand
  # with the long hose
  # a Monday
  # one
  # and weed
  # until dusk
  { id = "b", date = 2026-11-09, what = "Hoe", hours = 0.50, own = [1] },
]
"""


@pytest.mark.parametrize("eol", ["\n", "\r\n"])
def test_blocks_become_lines_with_their_comments_above_in_order_of_date(eol: str) -> None:
    old, new = (text.replace("\n", eol) for text in (OLD, NEW))
    if eol == "\r\n":
        new = new.replace("\\nof", "\\r\\nof") if "\\r" in raised(old, data_of(old), 3).text else new
    made = raised(old, data_of(old), 3)
    assert made.text == new
    assert same(data_of(made.text), made.data)


def test_a_table_of_ones_own_with_the_name_of_the_records_takes_them_too() -> None:
    text = '[records]\nmine = 1\n\n[[task]]\nid = "a"\n'
    text = f"format = 2\n{text}\n[[cohort]]\nid = 'A1'\n"
    made = raised(text, data_of(text), 3)
    assert made.text == (
        "format = 3\n[records]\nmine = 1\ntask = [\n  { id = \"a\" },\n]\n\n[[cohort]]\nid = 'A1'\n"
    )


@pytest.mark.slow
@settings(deadline=None, max_examples=150)
@given(seasons())
def test_any_season_says_the_same_after_it_and_keeps_its_comments(text: str) -> None:
    text = text.replace("format = 3", "format = 2", 1)
    made = raised(text, data_of(text), 3)
    assert same(by_name(data_of(made.text)), by_name({**data_of(text), "format": 3}))
    assert Counter(comments_in(text)) == Counter(comments_in(made.text))


words = st.text(
    st.characters(codec="utf-8", categories=["L", "N", "P", "Zs"]), min_size=1, max_size=12
).filter(str.strip)
tasks = st.fixed_dictionaries(
    {"date": st.dates(date(2026, 9, 15), date(2027, 5, 15)), "what": words},
    optional={
        "cohort": st.just("A1"),
        "who": st.sampled_from(["crew", "grower"]),
        "hours": st.floats(0, 900),
        "n": st.integers(1, 20),
        "moved": st.booleans(),
        "state": st.sampled_from(["open", "done", "skipped"]),
        "note": words,
    },
)


def with_blocks(rows: list[dict[str, object]]) -> str:
    lines = [
        line for n, row in enumerate(rows) for line in ["", *record_lines("[[task]]", {"id": f"t{n}", **row})]
    ]
    return "\n".join([BASE.replace("format = 3", "format = 2").rstrip(), *lines, ""])


@settings(deadline=None, max_examples=60)
@given(st.lists(tasks, max_size=8))
def test_the_season_is_the_same_before_and_after(rows: list[dict[str, object]]) -> None:
    text = with_blocks(rows)
    before, after = read_season(data_of(text)), read_season(raised(text, data_of(text), 3).data)
    assert [p.message for p in before.problems] == [p.message for p in after.problems]
    in_order = tuple(sorted(before.readable.tasks, key=lambda task: task.date))
    assert replace(before.readable, tasks=in_order) == after.readable


def test_the_work_grows_with_the_tasks_and_no_faster() -> None:
    def work(size: int) -> int:
        text = with_blocks([{"date": date(2026, 11, 1 + n % 30), "what": f"Hoe {n}"} for n in range(size)])
        return lines_run(lambda: raised(text, data_of(text), 3))

    assert work(800) < 2.3 * work(400)


@pytest.fixture
def season(tmp_path: Path) -> Path:
    path = tmp_path / "two-rivers.toml"
    path.write_text(with_blocks([{"date": date(2026, 11, n + 1), "what": f"Hoe {n}"} for n in range(4)]))
    return path


def tick(path: Path, name: str) -> None:
    edit = Edit("set", "task", (name,), ("state",), "done")
    save_change(path, Change(f"tick {name}", (edit,)), who="ana", when=WHEN)


def undo(path: Path) -> str:
    undo_last(path, who="ana", when=WHEN, check=returning_problems)
    return path.read_text()


def test_changes_from_before_the_upgrade_are_undone_through_it_to_the_byte(season: Path) -> None:
    first = season.read_text()
    tick(season, "t1")
    ticked = season.read_text()
    upgrade_season(season, who="ana", when=WHEN)
    upgraded = season.read_text()
    tick(season, "t2")
    assert [undo(season), undo(season), undo(season)] == [upgraded, ticked, first]


def test_a_change_from_before_the_upgrade_is_undone_alone_by_its_fields(season: Path) -> None:
    tick(season, "t1")
    upgrade_season(season, who="ben", when=WHEN)
    season.write_text(season.read_text().replace("Hoe 3", "Weed"))
    before = season.read_text()
    undo_last(season, 2, who="ana", when=WHEN, check=returning_problems)
    assert 'state = "done"' not in season.read_text()
    assert load(season).data["task"][3]["what"] == "Weed"
    assert season.read_text() != before


def test_a_side_in_blocks_and_one_in_lines_merge_in_lines(season: Path) -> None:
    base = season.read_text()
    blocks = base.replace('what = "Hoe 1"', 'what = "Weed"')
    lines = raised(base, data_of(base), 3).text.replace('"Hoe 2" },', '"Rake" },   # all of it')
    for ours, theirs in ((blocks, lines), (lines, blocks)):
        sides = [
            Loaded(Path(n), text, data_of(text)) for n, text in zip("abc", (base, ours, theirs), strict=True)
        ]
        found = merged(*sides, lambda task, _: str(task["id"]), lambda *_: ())
        assert found.conflicts == ()
        assert found.made.text == lines.replace("Hoe 1", "Weed")


LINES = """\
format = 3
[season]
name = "Two Rivers"

[records]
task = [
  # November
  { id = "a", date = 2026-11-02, what = "Hoe" },

  { id = "b", date = 2026-11-09, what = "Weed" },   # by hand
  { id = "c", date = 2026-11-16, what = "Rake" },
]
"""


def test_lines_that_two_sides_added_and_changed_come_together_with_their_comments() -> None:
    mine = '  { id = "d", date = 2026-11-20, what = "Mow" },\n'
    other = '  # of theirs\n  { id = "e", date = 2026-11-18, what = "Mulch" },\n'
    ticked = LINES.replace('"Hoe" },', '"Hoe", state = "done" },   # in the rain')
    ours = ticked.replace("\n]\n", f"\n{mine}]\n")
    theirs = LINES.replace('"Weed" }', '"Weed", hours = 2 }').replace("\n]\n", f"\n{other}]\n")
    sides = [
        Loaded(Path(n), text, data_of(text)) for n, text in zip("abc", (LINES, ours, theirs), strict=True)
    ]
    found = merged(*sides, lambda task, _: str(task["id"]), lambda *_: ())
    assert found.conflicts == ()
    both = ticked.replace('"Weed" }', '"Weed", hours = 2 }')
    assert found.made.text == both.replace("\n]\n", f"\n{mine}{other}]\n")


def test_a_removed_line_takes_its_comment_along_but_not_the_first_ones_heading() -> None:
    text = LINES.replace('  { id = "c"', '  # to be asked\n  { id = "c"')
    for name, left in (
        ("c", LINES.replace('  { id = "c", date = 2026-11-16, what = "Rake" },\n', "")),
        ("a", text.replace('  { id = "a", date = 2026-11-02, what = "Hoe" },\n', "")),
    ):
        assert spliced(text, data_of(text), [Edit("remove", "task", (name,))]).text == left


def test_a_new_record_goes_behind_the_last_that_is_not_later_and_a_moved_one_keeps_its_line() -> None:
    new = {"id": "n", "date": date(2026, 11, 9), "what": "Mow"}
    edits = [Edit("set", "task", ("a",), ("date",), date(2027, 1, 1)), Edit("add", "task", ("n",), (), new)]
    line = '  { id = "b", date = 2026-11-09, what = "Weed" },   # by hand\n'
    made = spliced(LINES, data_of(LINES), edits)
    assert made.text == LINES.replace("2026-11-02", "2027-01-01").replace(
        line, f'{line}  {{ id = "n", date = 2026-11-09, what = "Mow" }},\n'
    )
    assert [task["id"] for task in made.data["task"]] == ["a", "b", "n", "c"]


def test_a_further_kind_of_one_line_needs_its_row_in_the_table_alone(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setitem(IN_RECORDS, "sample", ("records", "sample"))
    old = 'format = 2\n[[sample]]\nid = "s1"\ndate = 2026-12-01\n\n[[task]]\nid = "t1"\ndate = 2026-12-01\n'
    lists = {
        name: f'{name} = [\n  {{ id = "{name[0]}1", date = 2026-12-01 }},\n]\n' for name in ("task", "sample")
    }
    whole = "format = 3\n\n[records]\n" + lists["task"] + lists["sample"]
    assert raised(old, data_of(old), 3).text == whole
    adds = [
        Edit("add", kind, (f"{kind[0]}1",), (), {"id": f"{kind[0]}1", "date": date(2026, 12, 1)})
        for kind in ("task", "sample")
    ]
    assert spliced("format = 3\n", {"format": 3}, adds).text == whole
    added = spliced(whole, data_of(whole), [Edit("add", "sample", ("s2",), (), {"id": "s2"})])
    assert added.text == whole[:-2] + '  { id = "s2" },\n]\n'
    assert locate(whole).line(("sample", 0, "date")) == 8
