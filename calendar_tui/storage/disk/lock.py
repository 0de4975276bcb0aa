"""The lock of a season file: one save at a time, and a sentence about who holds it where it cannot be had.

The operating system holds the lock and lets it go with the process, so a crash leaves none behind. What is written in
the lock's file only tells the others whom they wait for.
"""

from __future__ import annotations

import errno
import os
import time
from collections.abc import Callable, Iterator
from contextlib import contextmanager
from pathlib import Path
from typing import TypeVar

from calendar_tui.storage.disk.beside import history_path
from calendar_tui.storage.disk.lock_holder import holder_text, read_note, write_note
from calendar_tui.storage.disk.plain_file import NotPlain, open_plain, refuse_odd
from calendar_tui.storage.disk.whole_file import keep_access, reason, refused
from calendar_tui.storage.problems import ChangedMeanwhile

# How long a save waits while nobody else gets on, and how many times as long while others save one after another.
LOCK_SECONDS = 5.0
_PATIENCE = 6
_POLL_SECONDS = 0.002
# How often a save starts again where another program, which takes no lock, changes the file under it.
_TURNS = 5
_NO_LOCKS = (errno.ENOLCK, errno.ENOSYS, errno.ENOTSUP, errno.EOPNOTSUPP)
Done = TypeVar("Done")


def lock_path(path: Path) -> Path:
    """The file that is locked while a season file is saved; it stays there."""
    return path.with_name(f".{path.name}.lock")


@contextmanager
def locked(path: Path, who: str = "", seconds: float = LOCK_SECONDS) -> Iterator[None]:
    """Hold the lock of a season file; `who` is the name that others are told meanwhile.

    Raises SeasonFileError where the file or its folder may not be written to, where the file system has no locks, or
    where the lock cannot be had: within `seconds` while its holder stays the same, else within six times that.
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

    began = changed = time.monotonic()
    seen = None
    while True:
        handle = _opened(lock, path)
        try:
            if filelock.lock_descriptor(handle, blocking=False) and _is_at(handle, lock):
                return handle
            now, note = time.monotonic(), read_note(handle)
            seen, changed = note, changed if note == seen else now
            late = now >= changed + seconds or now >= began + _PATIENCE * seconds
            holder = holder_text(lock, handle, note, max(seconds, round(now - began))) if late else ""
        except BaseException:
            os.close(handle)
            raise
        os.close(handle)
        if late:
            raise refused(path, holder)
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


def _write_note(path: Path, lock: Path, handle: int, who: str) -> None:
    try:
        write_note(handle, who)
    except OSError as error:
        raise refused(path, f"cannot be saved: {reason(error)} to write to its lock {lock}") from error
