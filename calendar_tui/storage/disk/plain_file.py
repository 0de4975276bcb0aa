"""Files beside a season, opened as plain files only: no symbolic link is followed, and no pipe or device waited for.

Whoever may write to the folder may put a link there that leads to somebody else's file, or a pipe that never ends. What
was opened is looked at, and not its name, which may lead elsewhere a moment later.
"""

from __future__ import annotations

import errno
import os
import stat
from pathlib import Path

# What systems answer where a link may not be followed, and where a pipe has no reader.
_A_LINK = (errno.ELOOP, getattr(errno, "EMLINK", errno.ELOOP))
_FLAGS = sum(getattr(os, name, 0) for name in ("O_NOFOLLOW", "O_NONBLOCK", "O_BINARY", "O_CLOEXEC"))


class NotPlain(OSError):
    """There is something of that name, and it is no plain file."""


def open_plain(path: Path, flags: int = os.O_RDONLY, mode: int = 0o666) -> int:
    """The handle of a plain file; flags, mode: as for `os.open`. Raises OSError, NotPlain for anything else there."""
    try:
        handle = os.open(path, flags | _FLAGS, mode)
    except OSError as error:
        if error.errno in _A_LINK:
            raise NotPlain(
                errno.EINVAL, "it is a symbolic link that may not be followed", str(path)
            ) from error
        raise
    try:
        if not stat.S_ISREG(os.fstat(handle).st_mode):
            raise NotPlain(errno.EINVAL, "it is no plain file", str(path))
    except BaseException:
        os.close(handle)
        raise
    return handle


def read_plain(path: Path) -> bytes:
    """What a plain file holds. Raises OSError, NotPlain for anything else there."""
    with os.fdopen(open_plain(path), "rb") as stream:
        return stream.read()


def refuse_odd(path: Path) -> None:
    """Raise NotPlain where something of that name is there that is no plain file."""
    try:
        mode = os.lstat(path).st_mode
    except FileNotFoundError:
        return
    if stat.S_ISLNK(mode):
        raise NotPlain(errno.EINVAL, "it is a symbolic link that may not be followed", str(path))
    if not stat.S_ISREG(mode):
        raise NotPlain(errno.EINVAL, "it is no plain file", str(path))
