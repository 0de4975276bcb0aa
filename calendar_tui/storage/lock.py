"""The lock of a season file: one save at a time, and a sentence about who holds it where it cannot be had.

The operating system holds the lock and lets it go with the process, so a crash leaves none behind. What is written in
the lock's file only tells the others whom they wait for.
"""

from __future__ import annotations

import errno
import json
import os
import socket
import time
from collections.abc import Callable, Iterator
from contextlib import contextmanager
from dataclasses import asdict, dataclass
from pathlib import Path
from typing import TypeVar

from calendar_tui.season.readers import plain
from calendar_tui.storage.journal import history_path
from calendar_tui.storage.plain_file import NotPlain, open_plain, refuse_odd
from calendar_tui.storage.problems import ChangedMeanwhile
from calendar_tui.storage.whole_file import keep_access, reason, refused

LOCK_SECONDS = 5.0
_POLL_SECONDS = 0.002
# How often a save starts again where another program, which takes no lock, changes the file under it.
_TURNS = 5
_NO_LOCKS = (errno.ENOLCK, errno.ENOSYS, errno.ENOTSUP, errno.EOPNOTSUPP)
# Windows locks the first byte against reading, so the note begins after it.
_NOTE_AT = 1
_LONGEST_NOTE = 1000

Done = TypeVar("Done")


@dataclass(frozen=True, slots=True)
class Holder:
    """Who holds a lock. started: when the process began, in ticks since the machine did; 0 if unknown."""

    host: str
    pid: int
    started: int
    user: str


def lock_path(path: Path) -> Path:
    """The file that is locked while a season file is saved; it stays there."""
    return path.with_name(f".{path.name}.lock")


@contextmanager
def locked(path: Path, who: str = "", seconds: float = LOCK_SECONDS) -> Iterator[None]:
    """Hold the lock of a season file; `who` is the name that others are told meanwhile.

    Raises SeasonFileError where the file or its folder may not be written to, where the file system has no locks, or
    where the lock cannot be had within `seconds`.
    """
    lock = lock_path(path)
    try:
        _refuse_read_only(path)
        _refuse_odd_history(path)
        handle = _taken(path, lock, seconds)
    except OSError as error:
        raise refused(path, f"cannot be saved: {_no_lock_text(lock, error)}") from error
    done = False
    try:
        _write_note(path, lock, handle, who)
        yield
        done = True
    finally:
        _let_go(path, lock, handle, done)


def in_turn(path: Path, who: str, work: Callable[[], Done]) -> Done:
    """Do work on a season file under its lock, from the start again where another program changes it meanwhile.

    Raises SeasonFileError as `locked` and `work` do.
    """
    with locked(path, who):
        for _ in range(_TURNS - 1):
            try:
                return work()
            except ChangedMeanwhile:
                continue
        return work()


def _refuse_read_only(path: Path) -> None:
    """Raise SeasonFileError if the file or its folder is marked read-only."""
    for place, what in ((path, "the file"), (path.parent, "its folder")):
        mode = place.stat().st_mode
        # The bits count for the superuser as well: who sets them means them.
        if not mode & 0o222 or not os.access(place, os.W_OK):
            raise refused(path, f"cannot be saved: {what} is read-only; allow writing to {place} first")


def _refuse_odd_history(path: Path) -> None:
    """Raise SeasonFileError where the history that a save would add to is no plain file."""
    history = history_path(path)
    try:
        refuse_odd(history)
    except NotPlain as error:
        message = f"cannot be saved: its history {history.name} is refused: {reason(error)}; move that away"
        raise refused(path, message) from error


def _taken(path: Path, lock: Path, seconds: float) -> int:
    """The open and locked file. Raises OSError, or SeasonFileError once the time is over."""
    # Only saving needs it, and reading must start fast.
    import filelock

    end = time.monotonic() + seconds
    while True:
        handle = _opened(lock, path)
        try:
            if filelock.lock_descriptor(handle, blocking=False) and _is_at(handle, lock):
                return handle
            late = time.monotonic() > end
            said = _told(lock, _read_note(handle), seconds) if late else ""
        except BaseException:
            os.close(handle)
            raise
        os.close(handle)
        if late:
            raise refused(path, said)
        time.sleep(_POLL_SECONDS)


def _opened(lock: Path, like: Path) -> int:
    """The lock's file, made where it is missing: whoever may write the season may lock it. Raises OSError."""
    try:
        handle = open_plain(lock, os.O_RDWR | os.O_CREAT | os.O_EXCL, 0o600)
    except FileExistsError:
        return open_plain(lock, os.O_RDWR)
    try:
        keep_access(handle, like.stat())
    except BaseException:
        os.close(handle)
        lock.unlink(missing_ok=True)
        raise
    return handle


def _is_at(handle: int, lock: Path) -> bool:
    """Whether the open file still is the one of that name: somebody may have deleted it."""
    try:
        return os.path.samestat(os.fstat(handle), lock.stat())
    except FileNotFoundError:
        return False


def _let_go(path: Path, lock: Path, handle: int, done: bool) -> None:
    """Raise SeasonFileError if that fails after all was done; what went wrong before it is the better thing to say."""
    try:
        os.close(handle)
    except OSError as error:
        if done:
            message = f"what was saved is saved, but closing its lock {lock} failed: {reason(error)}"
            raise refused(path, message) from error


def _no_lock_text(lock: Path, error: OSError) -> str:
    if error.errno not in _NO_LOCKS:
        return f"{reason(error)} to make its lock {lock}"
    return (
        f"this file system locks no files, {lock.name} neither, and two people could write over each other; mount it "
        "with locks, or keep the season on a disk of this machine"
    )


# --- who holds it


def _write_note(path: Path, lock: Path, handle: int, who: str) -> None:
    holder = Holder(socket.gethostname(), os.getpid(), _process(os.getpid())[0], who)
    note = b"\n" + json.dumps(asdict(holder)).encode() + b"\n"
    try:
        os.write(handle, note)
        os.ftruncate(handle, len(note))
    except OSError as error:
        raise refused(path, f"cannot be saved: {reason(error)} to write to its lock {lock}") from error


def _read_note(handle: int) -> Holder | None:
    """The note that the holder has left; None where there is none yet, or no such one."""
    os.lseek(handle, _NOTE_AT, os.SEEK_SET)
    try:
        row = json.loads(os.read(handle, _LONGEST_NOTE))
        return Holder(plain(str(row["host"])), int(row["pid"]), int(row["started"]), plain(str(row["user"])))
    except (ValueError, KeyError, TypeError, RecursionError):
        return None


def _told(lock: Path, holder: Holder | None, seconds: float) -> str:
    """Why the lock cannot be had, and what would be right."""
    held = f"{lock} was locked for {seconds:g} s"
    if holder is None:
        return f"somebody else is saving it: {held}; try again in a moment"
    who = holder.user or "somebody"
    where = f"process {holder.pid} on {holder.host}"
    if holder.host != socket.gethostname():
        right = f"try again in a moment; if {holder.host} is off, delete {lock.name}, and save again"
        return f"{who} is saving it, with {where}: {held}; {right}"
    started, state = _process(holder.pid)
    if not state or started != holder.started:
        return f"{held} for {who}, whose {where} does not run any more; delete that file, and save again"
    if state == "T":
        right = f"that process is stopped: continue it (kill -CONT {holder.pid}) or end it (kill -KILL {holder.pid})"
        return f"{who} is saving it, with {where}: {held}; {right}"
    return f"{who} is saving it, with {where}: {held}; try again in a moment, or end that process"


def _process(pid: int) -> tuple[int, str]:
    """When a process of this machine began, in ticks since the machine did, and the letter of its state.

    (0, "") for one that does not run, (0, "?") where the system does not tell.
    """
    table = Path("/proc")
    if not (table / "self" / "stat").exists():
        return 0, "?"
    try:
        # The name of the program, in brackets, may hold anything.
        fields = (table / str(pid) / "stat").read_text(errors="replace").rpartition(")")[2].split()
    except (FileNotFoundError, ProcessLookupError):
        return 0, ""
    return (0, "") if fields[0] in "ZX" else (int(fields[19]), fields[0])
