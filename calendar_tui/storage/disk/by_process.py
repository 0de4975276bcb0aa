"""Files on their way, named after the process that writes them, so that what a killed one has left can be told and cleared."""

from __future__ import annotations

import os
from pathlib import Path

from calendar_tui.storage.disk.lock_holder import runs

_END = ".new"
# How the names begin of what is written apart from a season, whatever it is to be called.
_APART = ".calendar-tui."


def numbered(folder: Path, begin: str) -> Path:
    """Where this process may write: the number of the process stands behind `begin`."""
    return folder / f"{begin}{os.getpid()}{_END}"


def sweep(folder: Path, begin: str) -> None:
    """Take away what such a process has left in a folder that does not run any more. Raises OSError."""
    for other in folder.iterdir():
        number = other.name.removeprefix(begin).removesuffix(_END)
        if other.name == f"{begin}{number}{_END}" and number.isdigit() and not runs(int(number)):
            other.unlink(missing_ok=True)


def apart_path(folder: Path) -> Path:
    """Where a new file of a folder lies on its way, once what killed processes left there is gone. Raises OSError."""
    sweep_apart(folder)
    return numbered(folder, _APART)


def sweep_apart(folder: Path) -> None:
    """Take away what killed merges have left in a folder. Raises OSError."""
    sweep(folder, _APART)
