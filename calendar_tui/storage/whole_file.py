"""Replace a file whole or not at all, under a lock, on disks and in folders that may refuse it."""

from __future__ import annotations

import errno
import os
import stat
from collections.abc import Iterator
from contextlib import AbstractContextManager, contextmanager
from pathlib import Path

from calendar_tui.storage.problems import FileProblem, SeasonFileError

LOCK_SECONDS = 5.0
_REASONS = {
    errno.EACCES: "you have no permission",
    errno.EPERM: "you have no permission",
    errno.EROFS: "the disk can only be read",
    errno.ENOSPC: "the disk is full",
    errno.EDQUOT: "your share of the disk is full",
    errno.ENOENT: "it is not there",
    errno.EISDIR: "it is a folder",
    errno.EIO: "the disk fails",
}
# What a file system answers that has no way to confirm a folder.
_NO_FOLDER_SYNC = (errno.EINVAL, errno.ENOTSUP, errno.EBADF)


def refused(path: Path, message: str, line: int | None = None) -> SeasonFileError:
    """An error about one file."""
    return SeasonFileError([FileProblem(str(path), line, message)])


def reason(error: OSError) -> str:
    """Why an operation on a file failed, in plain words."""
    return _REASONS.get(error.errno or 0, (error.strerror or str(error)).lower())


@contextmanager
def locked(path: Path, seconds: float = LOCK_SECONDS) -> Iterator[None]:
    """Hold the lock of a season file: a file `.NAME.lock` beside it, which may stay there.

    Raises SeasonFileError where the file or its folder may not be written to, or where the lock cannot be had
    within `seconds`.
    """
    # Only saving needs it, and reading must start fast.
    import filelock

    lock = path.with_name(f".{path.name}.lock")
    try:
        mode = _refuse_read_only(path)
        # Whoever may write the season may lock it.
        held = filelock.FileLock(lock, timeout=seconds, mode=mode & 0o666 | 0o600).acquire()
    except filelock.Timeout:
        message = f"somebody else is saving it: {lock} was locked for {seconds:g} s; try again in a moment"
        raise refused(path, message) from None
    except OSError as error:
        raise refused(path, f"cannot be saved: {reason(error)} to make its lock {lock}") from error
    with held:
        yield


def fresh_path(path: Path) -> Path:
    """Where the new text of a file lies on its way to replacing the old one."""
    return path.with_name(f".{path.name}.new")


def replace_whole(path: Path, old: bytes, new: bytes, noted: AbstractContextManager[None]) -> None:
    """Replace the file's content, known to be `old`, by `new`.

    The new content goes to a file of its own beside it, reaches the disk, is read back, and takes the old one's
    place inside `noted`, which must undo itself if that fails. Permissions stay, and the owner where that is allowed.
    Raises SeasonFileError; the old file then stands as it was, and nothing else is left.
    """
    fresh = fresh_path(path)
    try:
        try:
            _write_beside(fresh, new, path.stat())
            if path.read_bytes() != old:
                raise refused(path, "was changed by another program while it was being saved; save again")
            with noted:
                os.replace(fresh, path)
        finally:
            fresh.unlink(missing_ok=True)
    except OSError as error:
        where = f" ({error.filename})" if error.filename and Path(error.filename) != fresh else ""
        raise refused(path, f"not saved, and left as it was: {reason(error)}{where}") from error
    _sync_folder(path)


def keep_access(fresh: Path, like: os.stat_result) -> None:
    """Give a new file the permissions of another, and its owner and group where that is allowed."""
    now = fresh.stat()
    if os.name == "posix" and (now.st_uid, now.st_gid) != (like.st_uid, like.st_gid):
        if os.geteuid() == 0:
            os.chown(fresh, like.st_uid, like.st_gid)
        elif like.st_gid in os.getgroups():
            os.chown(fresh, -1, like.st_gid)
    fresh.chmod(stat.S_IMODE(like.st_mode))


def _refuse_read_only(path: Path) -> int:
    """The file's permission bits. Raises SeasonFileError if it or its folder is marked read-only."""
    for place, what in ((path, "the file"), (path.parent, "its folder")):
        mode = place.stat().st_mode
        # The bits count for the superuser as well: who sets them means them.
        if not mode & 0o222 or not os.access(place, os.W_OK):
            raise refused(path, f"cannot be saved: {what} is read-only; allow writing to {place} first")
    return stat.S_IMODE(path.stat().st_mode)


def _write_beside(fresh: Path, content: bytes, like: os.stat_result) -> None:
    # What a crash has left there belongs to nobody: the lock is ours.
    fresh.unlink(missing_ok=True)
    handle = os.open(fresh, os.O_WRONLY | os.O_CREAT | os.O_EXCL | getattr(os, "O_BINARY", 0), 0o600)
    with os.fdopen(handle, "wb") as stream:
        stream.write(content)
        stream.flush()
        os.fsync(stream.fileno())
    keep_access(fresh, like)
    if fresh.read_bytes() != content:
        raise OSError(errno.EIO, "what was written does not read back the same", str(fresh))


def _sync_folder(path: Path) -> None:
    """Have the disk confirm the file's new name."""
    if os.name != "posix":
        return
    try:
        handle = os.open(path.parent, os.O_RDONLY)
        try:
            os.fsync(handle)
        finally:
            os.close(handle)
    except OSError as error:
        if error.errno not in _NO_FOLDER_SYNC:
            raise refused(path, f"is saved, but the disk has not confirmed it: {reason(error)}") from error
