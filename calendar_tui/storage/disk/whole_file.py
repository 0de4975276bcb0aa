"""Replace a file whole or not at all, on disks and in folders that may refuse it."""

from __future__ import annotations

import errno
import os
import stat
from contextlib import AbstractContextManager
from pathlib import Path

from calendar_tui.storage.disk.plain_file import read_plain
from calendar_tui.storage.problems import ChangedMeanwhile, FileProblem, SeasonFileError

_REASONS = {
    errno.EACCES: "you have no permission",
    errno.EPERM: "you have no permission",
    errno.EROFS: "the disk can only be read",
    errno.ENOSPC: "the disk is full",
    errno.EDQUOT: "your share of the disk is full",
    errno.ENOENT: "it is not there",
    errno.EISDIR: "it is a folder",
    errno.EIO: "the disk fails",
    errno.ELOOP: "it is a symbolic link that may not be followed",
    errno.EFBIG: "it would be larger than files may be here",
    errno.EBUSY: "the system holds it in its place, as it does a file that is mounted by itself; mount its folder",
    errno.ESTALE: "its network folder went away and came back; try again",
}
# What a file system answers that has no way to confirm a folder.
_NO_FOLDER_SYNC = (errno.EINVAL, errno.ENOTSUP, errno.EBADF)


def refused(path: Path, message: str, line: int | None = None) -> SeasonFileError:
    """An error about one file."""
    return SeasonFileError([FileProblem(str(path), line, message)])


def reason(error: OSError) -> str:
    """Why an operation on a file failed, in plain words."""
    return _REASONS.get(error.errno or 0, (error.strerror or str(error)).lower())


def fresh_path(path: Path) -> Path:
    """Where the new text of a file lies on its way to replacing the old one."""
    return path.with_name(f".{path.name}.new")


def replace_whole(path: Path, old: bytes, new: bytes, noted: AbstractContextManager[None]) -> None:
    """Replace the file's content, known to be `old`, by `new`.

    The new content goes to a file of its own beside it, reaches the disk, is read back, and takes the old one's
    place inside `noted`, which must undo itself if that fails. Permissions stay, and the owner where that is allowed.
    Raises SeasonFileError, ChangedMeanwhile where the content is not `old` any more; the file then stands as it was,
    and nothing else is left.
    """
    fresh = fresh_path(path)
    try:
        try:
            _write_beside(fresh, new, path.stat())
            _refuse_changed(path, old)
            with noted:
                # An editor takes no lock: look once more, as late as can be.
                _refuse_changed(path, old)
                os.replace(fresh, path)
        except BaseException:
            fresh.unlink(missing_ok=True)
            raise
    except OSError as error:
        where = f" ({error.filename})" if error.filename and Path(error.filename) != fresh else ""
        raise refused(path, f"not saved, and left as it was: {reason(error)}{where}") from error
    _confirm(path)


def _refuse_changed(path: Path, old: bytes) -> None:
    if path.read_bytes() != old:
        message = "not saved: another program changed it at the same moment; save again"
        raise ChangedMeanwhile([FileProblem(str(path), None, message)])


def parted_text(path: Path) -> tuple[str, ...]:
    """What to know where a file has further names (hard links): a save makes a new file of this one.

    Raises SeasonFileError, before anything is written.
    """
    try:
        others = path.stat().st_nlink - 1
    except OSError as error:
        raise refused(path, f"not saved: {reason(error)}") from error
    if others < 1:
        return ()
    names = "another name" if others == 1 else f"{others} other names"
    return (f"{path} had {names} (hard links): there the season stays as it was before this save.",)


def put_beside(path: Path, content: bytes, like: os.stat_result, fresh: Path) -> None:
    """Make a file that is not there yet, whole or not at all, with the permissions of another. Raises OSError.

    fresh: where it lies on its way, in the same folder: a place that others clear where this process is killed.
    """
    made = fresh
    try:
        _write_beside(made, content, like)
        os.replace(made, path)
        made = path
        sync_folder(path)
    except BaseException:
        made.unlink(missing_ok=True)
        raise


def keep_access(fresh: int, like: os.stat_result) -> None:
    """Give a new file, by its handle, the permissions of another, and its owner and group where that is allowed."""
    if os.name != "posix":
        return
    now = os.fstat(fresh)
    if (now.st_uid, now.st_gid) != (like.st_uid, like.st_gid):
        if os.geteuid() == 0:
            os.chown(fresh, like.st_uid, like.st_gid)
        elif like.st_gid in os.getgroups():
            os.chown(fresh, -1, like.st_gid)
    os.chmod(fresh, stat.S_IMODE(like.st_mode))


def _write_beside(fresh: Path, content: bytes, like: os.stat_result) -> None:
    # What a crash has left there belongs to nobody: the lock is ours.
    fresh.unlink(missing_ok=True)
    handle = os.open(fresh, os.O_WRONLY | os.O_CREAT | os.O_EXCL | getattr(os, "O_BINARY", 0), 0o600)
    with os.fdopen(handle, "wb") as stream:
        stream.write(content)
        stream.flush()
        os.fsync(stream.fileno())
        keep_access(stream.fileno(), like)
    if read_plain(fresh) != content:
        raise OSError(errno.EIO, "what was written does not read back the same", str(fresh))


def sync_folder(path: Path) -> None:
    """Have the disk confirm a new name in the file's folder, where the system can. Raises OSError."""
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
            raise


def _confirm(path: Path) -> None:
    """Have the disk confirm that the file is saved."""
    try:
        sync_folder(path)
    except OSError as error:
        raise refused(path, f"is saved, but the disk has not confirmed it: {reason(error)}") from error
