"""A file that is handed on, written whole: never half of it under its name, and nothing left where it fails."""

from __future__ import annotations

import os
from collections.abc import Mapping
from pathlib import Path
from stat import S_ISREG

from calendar_tui.storage.disk.by_process import numbered, sweep
from calendar_tui.storage.disk.plain_file import refuse_odd
from calendar_tui.storage.disk.whole_file import keep_access, reason, refused


def read_if_exists(path: Path) -> bytes | None:
    """What a file holds that is to be replaced; None where it is not there yet.

    Raises SeasonFileError where no file can be written there: no folder to hold it, or something that is no file.
    """
    try:
        if not path.parent.is_dir():
            raise refused(path, f"cannot be written: there is no folder {path.parent}; make it first")
        # What hinders a look is an error here: Path.exists and Path.is_file pass over it from Python 3.14 on.
        if not S_ISREG(path.stat().st_mode):
            raise refused(path, "is no plain file; name another")
        return path.read_bytes()
    except FileNotFoundError:
        return None
    except OSError as error:
        raise refused(path, f"cannot be read: {reason(error)}") from error


def hand_out(files: Mapping[Path, bytes]) -> None:
    """Write these files, each whole or not at all, over what is there. Raises SeasonFileError, naming the one."""
    written: list[str] = []
    for path, content in files.items():
        try:
            refuse_odd(Path(os.path.realpath(path)))
            put(Path(os.path.realpath(path)), content)
        except OSError as error:
            before = f"; written before it: {', '.join(written)}" if written else ""
            raise refused(path, f"is not written: {reason(error)}{before}") from error
        written.append(str(path))


def put(path: Path, content: bytes) -> None:
    """Write one file whole, over what is there. Raises OSError."""
    begin = f".{path.name}."
    sweep(path.parent, begin)
    fresh = numbered(path.parent, begin)
    handle = os.open(fresh, os.O_WRONLY | os.O_CREAT | os.O_EXCL | getattr(os, "O_BINARY", 0), 0o666)
    try:
        with os.fdopen(handle, "wb") as stream:
            stream.write(content)
            stream.flush()
            os.fsync(stream.fileno())
            if path.exists():
                keep_access(stream.fileno(), path.stat())
        os.replace(fresh, path)
    except BaseException:
        fresh.unlink(missing_ok=True)
        raise
