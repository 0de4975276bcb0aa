"""The lock of a season file: who holds it is told, a dead process holds nothing, and there is always a way out."""

import errno
import json
import os
import re
import signal
import socket
import subprocess
import sys

import filelock
import pytest

from calendar_tui.storage.disk import lock
from calendar_tui.storage.disk.lock import lock_path, locked
from calendar_tui.storage.problems import SeasonFileError
from tests.storage.small_farm import farm, left, save, tick

HOST = socket.gethostname()
HOLDER = """
import os, sys
from pathlib import Path
from calendar_tui.storage.disk.lock import locked
with locked(Path(sys.argv[1]), "bob"):
    child = os.fork() if "fork" in sys.argv else 1
    if child and "fork" in sys.argv:
        os._exit(0)
    print(os.getppid() if "fork" in sys.argv else os.getpid(), os.getpid(), flush=True)
    sys.stdin.read()
"""
needs_proc = pytest.mark.skipif(
    not os.path.exists("/proc/self/stat"), reason="this system does not tell which processes run"
)


@pytest.fixture
def season(tmp_path):
    path = tmp_path / "farm.toml"
    path.write_text(farm(3))
    return path


@pytest.fixture
def holder(season):
    """Starts a process that holds the lock; gives it and the id of the process that holds it."""
    started = []

    def start(*words):
        process = subprocess.Popen(
            [sys.executable, "-c", HOLDER, season, *words],
            stdin=subprocess.PIPE,
            stdout=subprocess.PIPE,
            text=True,
        )
        pids = process.stdout.readline().split()
        started.append((process, int(pids[1])))
        return process, int(pids[1])

    yield start
    for process, _ in started:
        process.stdin.close()
        process.stdout.close()
        process.wait(20)


def refusal(season):
    with pytest.raises(SeasonFileError) as caught, locked(season, "ana", seconds=0.05):
        pass
    assert str(caught.value).startswith(f"{season}: ")
    return str(caught.value)


def test_who_holds_it_is_told_and_a_killed_process_holds_nothing(season, holder):
    process, pid = holder()
    said = refusal(season)
    assert f"bob is saving it, with process {pid} on {HOST}" in said
    assert f"{lock_path(season)} was locked for 0.05 s; try again in a moment, or end that process" in said
    process.kill()
    process.wait(20)
    assert save(season, tick()).n == 1


@needs_proc
def test_a_stopped_process_is_told(season, holder):
    _, pid = holder()
    os.kill(pid, signal.SIGSTOP)
    os.waitid(os.P_PID, pid, os.WSTOPPED | os.WNOWAIT)
    try:
        assert f"that process is stopped: continue it (kill -CONT {pid})" in refusal(season)
    finally:
        os.kill(pid, signal.SIGCONT)


@needs_proc
def test_a_lock_whose_owner_is_dead_has_a_way_out(season, holder):
    process, child = holder("fork")  # a child of the owner, which has ended, keeps its lock
    process.wait(20)
    said = refusal(season)
    assert f"for bob, whose process {process.pid} on {HOST} does not run any more" in said
    assert f"process {child} (python" in said
    os.kill(child, signal.SIGKILL)
    while os.path.exists(f"/proc/{child}/fd/0"):
        continue
    assert save(season, tick()).n == 1


NOTES = {
    "another machine": (
        {"host": "barn", "pid": 1, "started": 5, "user": "bob"},
        "bob is saving it, with process 1 on barn: .*; if barn is off, delete .farm.toml.lock, and save again",
    ),
    "nobody yet": (None, "somebody else is saving it: .*; try again in a moment"),
    "a list": ([], "somebody else is saving it: .*; try again in a moment"),
    "no number": ({"host": "barn", "pid": "x", "started": 5, "user": "bob"}, "somebody else is saving it"),
    "too long": ({"host": "b" * 5000, "pid": 1, "started": 5, "user": "bob"}, "somebody else is saving it"),
    "too deep": ("[" * 900, "somebody else is saving it"),
    "steering a terminal": (
        {"host": "\x1b[2Jbarn", "pid": 1, "started": 5, "user": "\u202ebob"},
        r"\?bob is saving it, with process 1 on \?\[2Jbarn",
    ),
}


def held_with(season, note):
    """The lock held by this process under a note of somebody's."""
    path = lock_path(season)
    path.write_text("" if note is None else "\n" + (note if isinstance(note, str) else json.dumps(note)))
    handle = os.open(path, os.O_RDWR)
    assert filelock.lock_descriptor(handle, blocking=False)
    return handle


@pytest.mark.parametrize(("note", "words"), NOTES.values(), ids=NOTES.keys())
def test_a_note_of_any_kind_is_told_or_passed_over(season, note, words):
    handle = held_with(season, note)
    try:
        with pytest.raises(SeasonFileError, match=words), locked(season, seconds=0.02):
            pass
    finally:
        os.close(handle)
    assert save(season, tick()).n == 1


@needs_proc
def test_another_process_with_the_number_of_a_dead_one_is_not_its_owner(season):
    handle = held_with(season, {"host": HOST, "pid": os.getpid(), "started": 5, "user": "bob"})
    try:
        assert f"whose process {os.getpid()} on {HOST} does not run any more" in refusal(season)
    finally:
        os.close(handle)


@pytest.mark.parametrize("number", [errno.ENOLCK, errno.ENOSYS, errno.EOPNOTSUPP])
def test_a_file_system_without_locks_is_told(season, monkeypatch, number):
    def refuse(*_args, **_rest):
        raise OSError(number, os.strerror(number))

    monkeypatch.setattr(filelock, "lock_descriptor", refuse)
    with pytest.raises(
        SeasonFileError, match=r"this file system locks no files, .*mount it with locks, or keep"
    ):
        save(season, tick())
    assert season.read_text() == farm(3)
    assert left(season.parent) == ["farm.toml"]


def test_a_lock_that_leads_elsewhere_is_not_followed(season, tmp_path):
    other = tmp_path / "other"
    other.write_text("mine")
    lock_path(season).symlink_to(other)
    with pytest.raises(SeasonFileError, match="a symbolic link that may not be followed"):
        save(season, tick())
    assert other.read_text() == "mine"


def test_a_lock_deleted_by_its_waiter_is_made_anew(season):
    handle = held_with(season, None)
    lock_path(season).unlink()
    try:
        with locked(season):
            assert "process" in refusal(season)
    finally:
        os.close(handle)


class Clock:
    """Time that passes only while somebody sleeps; `meanwhile` is what happens then."""

    def __init__(self, meanwhile):
        self.now, self.meanwhile = 0.0, meanwhile

    def monotonic(self):
        return self.now

    def sleep(self, seconds):
        self.now += max(seconds, 0.1)
        self.meanwhile(self.now)


def waited(season, monkeypatch, meanwhile):
    """How long a save waits for a lock, in seconds of a clock of its own, and what it says then."""
    clock = Clock(meanwhile)
    monkeypatch.setattr(lock, "time", clock)
    with pytest.raises(SeasonFileError) as caught, locked(season, "ana"):
        pass
    return round(clock.now), str(caught.value)


def test_it_waits_longer_while_one_after_another_saves(season, monkeypatch):
    """Eight people with a hundred notes each: the lock is held all the time, and by another each time."""
    handle = held_with(season, {"host": "barn", "pid": 1, "started": 5, "user": "bob"})
    turns = iter(range(10_000))

    def another_saves(_now):
        n = next(turns)
        row = {"host": "barn", "pid": n, "started": n, "user": f"hand {n % 8}"}
        os.pwrite(handle, b"\n" + json.dumps(row).encode() + b"\n", 0)

    try:
        seconds, said = waited(season, monkeypatch, another_saves)
    finally:
        os.close(handle)
    assert seconds == 30
    assert re.search(r"hand \d is saving it, with process \d+ on barn: .* was locked for 30 s", said)


def test_it_waits_for_one_that_makes_no_headway_no_longer_than_before(season, monkeypatch):
    handle = held_with(season, {"host": "barn", "pid": 1, "started": 5, "user": "bob"})
    try:
        seconds, said = waited(season, monkeypatch, lambda now: None)
    finally:
        os.close(handle)
    assert seconds == 5
    assert "bob is saving it, with process 1 on barn" in said


@needs_proc
def test_a_program_that_holds_the_lock_without_a_note_is_named_and_not_to_be_deleted_under(season):
    """The note is of somebody who has saved and ended; the lock is another program's, such as flock(1)."""
    save(season, tick())
    code = (
        "import fcntl, sys; f = open(sys.argv[1], 'r+'); fcntl.flock(f, fcntl.LOCK_EX); print(1, flush=True)"
        "; sys.stdin.read()"
    )
    lock_path(season).write_text(
        "\n" + json.dumps({"host": HOST, "pid": 2**22 + 5, "started": 1, "user": "bob"})
    )
    process = subprocess.Popen(
        [sys.executable, "-c", code, lock_path(season)], stdin=subprocess.PIPE, stdout=subprocess.PIPE
    )
    try:
        process.stdout.readline()
        said = refusal(season)
    finally:
        process.communicate()
    assert f"process {process.pid} (python" in said
    assert "delete" not in said
    assert "end it, and save again" in said
