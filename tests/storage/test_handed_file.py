"""Files handed on are whole or not there, whatever the disk does."""

from __future__ import annotations

import errno
import os
from pathlib import Path

import pytest

from calendar_tui.storage.disk.handed_file import hand_out, read_if_exists
from calendar_tui.storage.problems import SeasonFileError


def test_new_files_get_the_permissions_that_new_files_get(tmp_path: Path) -> None:
    before = os.umask(0o027)
    try:
        hand_out({tmp_path / "a.csv": b"one"})
    finally:
        os.umask(before)
    assert (tmp_path / "a.csv").read_bytes() == b"one"
    assert (tmp_path / "a.csv").stat().st_mode & 0o777 == 0o640


@pytest.mark.parametrize("operation", ["fsync", "replace", "open"])
def test_a_disk_that_fails_leaves_what_was_there(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch, operation: str
) -> None:
    old, new = tmp_path / "a.csv", tmp_path / "b.csv"
    old.write_bytes(b"old")
    real = getattr(os, operation)
    calls = []

    def failing(*words, **named):
        calls.append(words)
        if len(calls) > 1:
            raise OSError(errno.ENOSPC, "No space left on device")
        return real(*words, **named)

    monkeypatch.setattr(os, operation, failing)
    with pytest.raises(SeasonFileError) as refused:
        hand_out({new: b"first", old: b"second"})
    monkeypatch.undo()
    assert str(refused.value) == f"{old}: is not written: the disk is full; written before it: {new}"
    assert (old.read_bytes(), new.read_bytes()) == (b"old", b"first")
    assert sorted(p.name for p in tmp_path.iterdir()) == ["a.csv", "b.csv"]


def test_what_cannot_be_a_file_is_said(tmp_path: Path) -> None:
    (tmp_path / "a.csv").mkdir()
    os.mkfifo(tmp_path / "b.csv")
    for path, says in (
        (tmp_path / "a.csv", "is no plain file; name another"),
        (tmp_path / "b.csv", "is no plain file; name another"),
        (tmp_path / "nowhere" / "c.csv", "there is no folder"),
        (tmp_path / ("x" * 300 + ".csv"), "cannot be read: file name too long"),
    ):
        with pytest.raises(SeasonFileError) as refused:
            read_if_exists(path)
        assert says in str(refused.value), path
    assert read_if_exists(tmp_path / "new.csv") is None
