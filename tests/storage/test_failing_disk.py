"""Disks, folders and programs that get in the way of a save: the season file stays as it was."""

import errno
import os
from datetime import UTC, datetime

import pytest

from calendar_tui.season.edits import Change, Edit
from calendar_tui.storage.disk import whole_file
from calendar_tui.storage.history.undo import read_history
from calendar_tui.storage.problems import SeasonFileError
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


def tick(name="T1"):
    return Change(f"tick {name}", (Edit("set", "task", (name,), ("state",), "done"),))


def save(path, change, **rest):
    return save_change(path, change, who="ana", when=WHEN, **rest)


@pytest.fixture
def season(tmp_path):
    path = tmp_path / "farm.toml"
    path.write_bytes(TEXT.encode())
    return path


def left(folder):
    """What lies in a folder, but for the lock."""
    return sorted(p.name for p in folder.iterdir() if not p.name.endswith(".lock"))


@pytest.mark.parametrize("which", ["file", "folder"])
def test_read_only_by_its_permission_bits(season, which):
    place = season if which == "file" else season.parent
    mode = place.stat().st_mode
    place.chmod(mode & ~0o222)
    try:
        with pytest.raises(SeasonFileError, match="read-only; allow writing to"):
            save(season, tick())
        assert left(season.parent) == ["farm.toml"]
    finally:
        place.chmod(mode)
    assert season.read_text() == TEXT


@pytest.mark.parametrize("which", ["file", "folder"])
def test_read_only_to_this_person(season, which, monkeypatch):
    place = season if which == "file" else season.parent
    monkeypatch.setattr(os, "access", lambda path, _mode: str(path) != str(place))
    with pytest.raises(SeasonFileError, match="read-only"):
        save(season, tick())
    assert season.read_text() == TEXT


FAILURES = {
    errno.ENOSPC: "the disk is full",
    errno.EROFS: "the disk can only be read",
    errno.EACCES: "you have no permission",
    errno.EIO: "the disk fails",
}
STEPS = ["fsync 1", "fsync 2", "replace 1", "access 1", "open 1"]


def fail_at(monkeypatch, step, number):
    """Make one call of an operation on files fail."""
    name, nth = step.split()
    module, attribute = (whole_file, "keep_access") if name == "access" else (os, name)
    real = getattr(module, attribute)
    calls = []

    def failing(*args, **kwargs):
        ours = name != "open" or str(args[0]).endswith(".new")
        if ours:
            calls.append(args)
            if len(calls) == int(nth):
                raise OSError(number, os.strerror(number))
        return real(*args, **kwargs)

    monkeypatch.setattr(module, attribute, failing)
    return calls


@pytest.mark.parametrize("number", FAILURES, ids=errno.errorcode.get)
@pytest.mark.parametrize("step", STEPS)
@pytest.mark.parametrize("earlier", [0, 1])
def test_a_failing_disk_leaves_everything_as_it_was(season, monkeypatch, step, number, earlier):
    if earlier:
        save(season, tick("T2"))
    history = season.with_name("farm.history.jsonl")
    text, noted, names = season.read_bytes(), history.exists() and history.read_bytes(), left(season.parent)
    with monkeypatch.context() as patch:
        calls = fail_at(patch, step, number)
        with pytest.raises(SeasonFileError, match=FAILURES[number]) as caught:
            save(season, tick())
    assert calls
    assert "not saved, and left as it was" in str(caught.value)
    assert season.read_bytes() == text
    assert left(season.parent) == names
    assert (history.exists() and history.read_bytes()) == noted
    assert save(season, tick()).n == earlier + 1


def test_a_history_that_cannot_be_written_refuses_the_save(season):
    season.with_name("farm.history.jsonl").mkdir()
    with pytest.raises(SeasonFileError, match=r"farm\.history\.jsonl"):
        save(season, tick())
    assert season.read_text() == TEXT


def test_a_folder_the_disk_does_not_confirm_is_told(season, monkeypatch):
    calls = fail_at(monkeypatch, "fsync 4", errno.EIO)
    with pytest.raises(SeasonFileError, match="is saved, but the disk has not confirmed it"):
        save(season, tick())
    assert len(calls) == 4
    assert '"done"' in season.read_text()
    assert len(read_history(season).entries) == 1


def test_a_first_history_whose_name_the_disk_does_not_confirm_refuses_the_save(season, monkeypatch):
    fail_at(monkeypatch, "fsync 3", errno.EIO)
    with pytest.raises(SeasonFileError, match="not saved, and left as it was: the disk fails"):
        save(season, tick())
    assert season.read_text() == TEXT
    assert left(season.parent) == ["farm.toml"]


@pytest.mark.parametrize("step", ["fsync 3", "fsync 4"])
def test_a_file_system_without_folder_confirmation_is_fine(season, monkeypatch, step):
    fail_at(monkeypatch, step, errno.EINVAL)
    assert save(season, tick()).n == 1


def test_an_interrupt_before_the_file_is_replaced_leaves_no_entry(season, monkeypatch):
    def interrupt(*_args):
        raise KeyboardInterrupt

    with monkeypatch.context() as patch:
        patch.setattr(os, "replace", interrupt)
        with pytest.raises(KeyboardInterrupt):
            save(season, tick())
    assert season.read_text() == TEXT
    assert left(season.parent) == ["farm.toml"]


def test_what_a_crash_left_behind_is_no_obstacle(season):
    season.with_name(".farm.toml.new").write_text("half a fi")
    save(season, tick())
    assert left(season.parent) == ["farm.history.jsonl", "farm.toml"]
