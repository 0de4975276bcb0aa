"""A folder handed on is whole or not there, and holds nothing of anybody else's that is replaced."""

from __future__ import annotations

import errno
import os
from pathlib import Path

import pytest

from calendar_tui.storage.disk.handed_folder import folder_names, hand_out_folder
from calendar_tui.storage.problems import SeasonFileError

FILES = {"a.csv": b"one", "b.csv": b"two"}


def there(folder: Path) -> dict[str, bytes]:
    return {path.name: path.read_bytes() for path in folder.iterdir()}


def test_a_new_one_and_an_empty_one_are_filled_and_an_earlier_one_is_replaced(tmp_path: Path) -> None:
    hand_out_folder(tmp_path / "new", FILES, ())
    (tmp_path / "empty").mkdir(mode=0o750)
    hand_out_folder(tmp_path / "empty", FILES, ())
    assert there(tmp_path / "new") == there(tmp_path / "empty") == FILES
    assert (tmp_path / "empty").stat().st_mode & 0o777 == 0o750
    hand_out_folder(tmp_path / "new", {"a.csv": b"three"}, FILES)
    assert there(tmp_path / "new") == {"a.csv": b"three"}
    assert sorted(path.name for path in tmp_path.iterdir()) == ["empty", "new"]


def test_a_file_that_came_into_it_meanwhile_stays(tmp_path: Path) -> None:
    folder = tmp_path / "out"
    folder.mkdir()
    (folder / "mine.txt").write_bytes(b"mine")
    with pytest.raises(SeasonFileError, match=r"mine\.txt came into it meanwhile"):
        hand_out_folder(folder, FILES, {"a.csv"})
    assert there(folder) == {"mine.txt": b"mine"}
    assert [path.name for path in tmp_path.iterdir()] == ["out"]


@pytest.mark.parametrize("operation", ["fsync", "replace", "open", "rename", "chmod", "mkdir"])
@pytest.mark.parametrize("number", [1, 2, 3])
def test_a_disk_that_fails_leaves_the_folder_as_it_was(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch, operation: str, number: int
) -> None:
    folder = tmp_path / "out"
    hand_out_folder(folder, {"a.csv": b"old"}, ())
    real = getattr(os, operation)
    calls = []

    def failing(*words, **named):
        calls.append(words)
        if len(calls) == number:
            raise OSError(errno.ENOSPC, "No space left on device")
        return real(*words, **named)

    monkeypatch.setattr(os, operation, failing)
    failed = ""
    try:
        hand_out_folder(folder, FILES, {"a.csv"})
    except SeasonFileError as error:
        failed = str(error)
    monkeypatch.undo()
    assert there(folder) == ({"a.csv": b"old"} if failed else FILES)
    assert not failed or failed == f"{folder}: is not written: the disk is full"
    assert [path.name for path in tmp_path.iterdir()] == ["out"]


def test_what_a_killed_writer_left_is_cleared_and_a_folder_put_aside_comes_back(tmp_path: Path) -> None:
    gone = 2**22 + 1  # no process has this number
    for end in ("new", "old"):
        (tmp_path / f".out.{gone}.{end}").mkdir()
    (tmp_path / f".out.{gone}.old" / "a.csv").write_bytes(b"old")
    with pytest.raises(SeasonFileError, match=r"a\.csv came into it"):
        hand_out_folder(tmp_path / "out", FILES, ())
    assert there(tmp_path / "out") == {"a.csv": b"old"}
    hand_out_folder(tmp_path / "out", FILES, {"a.csv"})
    assert [path.name for path in tmp_path.iterdir()] == ["out"]


def test_what_cannot_be_a_folder_is_said(tmp_path: Path) -> None:
    (tmp_path / "file").write_bytes(b"")
    (tmp_path / "full").mkdir()
    (tmp_path / "full" / "x").write_bytes(b"")
    (tmp_path / "full" / ".DS_Store").write_bytes(b"")
    assert folder_names(tmp_path / "none") is None
    assert folder_names(tmp_path / "full") == {"x"}
    for path, says in (
        (tmp_path / "file", "is a file; name a folder that is empty or not there yet"),
        (tmp_path / "nowhere" / "out", "there is no folder"),
    ):
        with pytest.raises(SeasonFileError) as refused:
            folder_names(path)
        assert says in str(refused.value), path
