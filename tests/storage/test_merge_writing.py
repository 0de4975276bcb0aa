"""Where a merge is written: over ours and beside it, on disks that fail and under other programs."""

from __future__ import annotations

import errno
import os
from functools import partial

import pytest
from three_versions import (
    NOTE,
    OURS,
    THEIRS,
    brought_together,
)

from calendar_tui.storage.history.undo import read_history
from calendar_tui.storage.merge_file import write_apart, write_conflicts, write_merged
from calendar_tui.storage.problems import SeasonFileError


@pytest.fixture
def three(tmp_path):
    return partial(brought_together, tmp_path)


def test_a_file_of_gits_own_gets_no_history_and_no_lock(three):
    ours, found = three(OURS, THEIRS)
    write_merged(ours, found.made, None)
    assert ours.path.read_text() == found.made.text
    assert sorted(p.name for p in ours.path.parent.iterdir()) == ["base.toml", "ours.toml", "theirs.toml"]


@pytest.mark.parametrize("note", [NOTE, None], ids=["with a history", "without"])
def test_a_file_that_changed_meanwhile_is_not_written_over(three, note):
    ours, found = three(OURS, THEIRS)
    ours.path.write_text(OURS + "# meanwhile\n")
    with pytest.raises(SeasonFileError, match="another program"):
        write_merged(ours, found.made, note)
    assert ours.path.read_text() == OURS + "# meanwhile\n"


def test_texts_about_conflicts_do_not_write_over_each_other(tmp_path):
    season = tmp_path / "farm.toml"
    season.write_text("")
    season.chmod(0o640)
    paths = [write_conflicts(season, f"{n}\n", season) for n in range(3)]
    assert [p.name for p in paths] == ["farm.conflicts.txt", "farm.conflicts-2.txt", "farm.conflicts-3.txt"]
    assert [p.read_text() for p in paths] == ["0\n", "1\n", "2\n"]
    assert {p.stat().st_mode & 0o777 for p in paths} == {0o640}
    with pytest.raises(SeasonFileError, match="there already"):
        write_apart(paths[0], "x", season)


@pytest.mark.parametrize("code", [errno.ENOSPC, errno.EIO, errno.EACCES])
@pytest.mark.parametrize("number", range(1, 5))
@pytest.mark.parametrize("note", [NOTE, None], ids=["with a history", "without"])
def test_a_disk_that_fails_at_any_step_leaves_ours_whole(three, monkeypatch, note, number, code):
    ours, found = three(OURS, THEIRS)
    calls = {}
    for name in ("fsync", "replace"):
        monkeypatch.setattr(os, name, failing(getattr(os, name), calls, number, code))
    try:
        write_merged(ours, found.made, note)
    except SeasonFileError:
        failed = True
    else:
        failed = False
    assert failed == (calls["n"] >= number)
    monkeypatch.undo()
    text = ours.path.read_text()
    assert text in (OURS, found.made.text)
    noted = [] if text == OURS or note is None else ["merge of theirs.toml"]
    assert [e.what for e in read_history(ours.path).entries] == noted
    assert {p.name for p in ours.path.parent.iterdir() if not p.name.endswith(".new")} <= {
        "base.toml",
        "ours.toml",
        "theirs.toml",
        "ours.history.jsonl",
        ".ours.toml.lock",
    }


def failing(real, calls, number, code):
    """An operation on files of which, counted over all of them, the n-th fails."""

    def call(*args, **kwargs):
        calls["n"] = calls.get("n", 0) + 1
        if calls["n"] == number:
            raise OSError(code, os.strerror(code))
        return real(*args, **kwargs)

    return call
