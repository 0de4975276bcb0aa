"""A history made shorter: nothing is lost, numbers go on, and what is older cannot be undone from here."""

import errno
import os
from datetime import UTC, date, datetime, timedelta
from zoneinfo import ZoneInfo

import pytest

from calendar_tui.season.edits import Change, Edit
from calendar_tui.storage.disk.beside import history_path
from calendar_tui.storage.history.shortening import older_lines, shorten_history
from calendar_tui.storage.history.undo import read_history, redo_last, undo_last
from calendar_tui.storage.problems import NothingToUndo, SeasonFileError
from calendar_tui.storage.season_file import save_change

TEXT = '[[task]]\nid = "T1"\nstate = "open"\n'
FIRST = datetime(2026, 10, 5, 1, 30, tzinfo=UTC)
SITE = ZoneInfo("America/Montevideo")  # three hours behind UTC


@pytest.fixture
def season(tmp_path):
    """Five changes, one a day at 22:30 the evening before at the site; the file's texts around them."""
    path = tmp_path / "two-rivers.toml"
    path.write_text(TEXT)
    for n in range(1, 6):
        save(path, n)
    return path


def save(path, n):
    edit = Edit("set", "task", ("T1",), ("n",), n)
    return save_change(path, Change(f"n {n}", (edit,)), who="ana", when=FIRST + timedelta(days=n)).n


def shorten(path, day):
    return shorten_history(path, day, SITE, who="ben", when=FIRST + timedelta(days=30))


def undo(path, steps=1):
    return [c.what for c in undo_last(path, steps, who="ben", when=FIRST + timedelta(days=9)).changes]


def numbers(path):
    return [entry.n for entry in read_history(path).entries]


def test_the_day_counts_at_the_site(season):
    """Change 3 is of 8 October 01:30 in UTC, and of the evening of the 7th at the site."""
    assert older_lines(season, date(2026, 10, 7), SITE).last.n == 2
    assert older_lines(season, date(2026, 10, 8), SITE).last.n == 3
    assert older_lines(season, date(2026, 10, 5), SITE) is None


def test_the_older_lines_move_whole_and_numbers_go_on(season):
    file, text = history_path(season), season.read_bytes()
    lines = file.read_bytes().splitlines(keepends=True)
    moved = shorten(season, date(2026, 10, 8))
    assert (moved.first.n, moved.last.n, moved.count) == (1, 3, 3)
    assert moved.to.name == "two-rivers.history-before-2026-10-08.jsonl"
    assert moved.to.read_bytes() == b"".join(lines[:3])
    assert file.read_bytes().endswith(b"".join(lines[3:]))
    assert season.read_bytes() == text
    history = read_history(season)
    assert (numbers(season), history.warnings) == ([4, 5], ())
    assert (history.shortened.last, history.shortened.moved_to) == (3, moved.to.name)
    assert save(season, 9) == 6
    assert undo(season, 3) == ["n 9", "n 5", "n 4"]


def test_undo_beyond_it_says_so(season):
    moved = shorten(season, date(2026, 10, 8))
    beyond = f"older changes went to {moved.to.name} and cannot be undone"
    with pytest.raises(SeasonFileError, match=f"only 2 changes can be undone, and 3 were .*{beyond}"):
        undo(season, 3)
    undo(season, 2)
    with pytest.raises(NothingToUndo, match=f"there is nothing to undo; {beyond}"):
        undo(season)


def test_numbers_go_on_where_every_line_has_moved(season):
    moved = shorten(season, date(2026, 12, 1))
    assert (moved.count, numbers(season)) == (5, [])
    assert save(season, 9) == 6
    again = shorten(season, date(2026, 12, 2))
    assert (again.first.n, again.count) == (6, 1)
    assert save(season, 10) == 7
    assert read_history(season).shortened.last == 6


def test_what_was_undone_can_be_redone_though_the_change_itself_has_moved(season):
    after = season.read_bytes()
    undo_last(season, 2, who="ben", when=FIRST + timedelta(days=6))
    shorten(season, date(2026, 10, 10))
    history = read_history(season)
    assert (numbers(season), history.done) == ([6], ())
    assert [(change.n, change.what) for change in history.undone] == [(5, "change 5"), (4, "change 4")]
    assert redo_last(season, 2, who="ben", when=FIRST + timedelta(days=7)).exact
    assert season.read_bytes() == after


def test_the_lines_put_together_again_are_the_history_as_it_was(season):
    """As docs/season-file.md says it can be done by hand."""
    file = history_path(season)
    moved = shorten(season, date(2026, 10, 8))
    file.write_bytes(moved.to.read_bytes() + file.read_bytes())
    assert numbers(season) == [1, 2, 3, 4, 5]
    assert undo(season, 5)[-1] == "n 1"
    assert season.read_text() == TEXT


@pytest.mark.parametrize("nth", [1, 2])
def test_a_disk_that_fails_leaves_the_history_as_it_was(season, monkeypatch, nth):
    file = history_path(season)
    before, real, calls = file.read_bytes(), os.replace, []

    def failing(*names):
        calls.append(names)
        if len(calls) == nth:
            raise OSError(errno.ENOSPC, "full")
        real(*names)

    with monkeypatch.context() as patch:
        patch.setattr(os, "replace", failing)
        with pytest.raises(SeasonFileError, match="left as it was: the disk is full"):
            shorten(season, date(2026, 10, 8))
    assert file.read_bytes() == before
    assert shorten(season, date(2026, 10, 8)).count == 3
    assert numbers(season) == [4, 5]


def test_another_file_of_that_name_is_not_written_over(season):
    file = history_path(season)
    before = file.read_bytes()
    other = file.with_name("two-rivers.history-before-2026-10-08.jsonl")
    other.write_text("mine\n")
    with pytest.raises(SeasonFileError, match="is there already; move it away"):
        shorten(season, date(2026, 10, 8))
    assert (file.read_bytes(), other.read_text()) == (before, "mine\n")
