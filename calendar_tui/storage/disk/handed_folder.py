"""A folder that is handed on, written whole: never half of it under its name, and nothing of anybody else's in it replaced."""

from __future__ import annotations

import errno
import os
import shutil
from collections.abc import Collection, Mapping
from pathlib import Path

from calendar_tui.storage.disk.handed_file import put
from calendar_tui.storage.disk.lock_holder import runs
from calendar_tui.storage.disk.plain_file import read_plain
from calendar_tui.storage.disk.whole_file import reason, refused, sync_folder

# What desktops put into every folder that is looked at.
_BY_SYSTEMS = frozenset({".DS_Store", "Thumbs.db", "desktop.ini"})
_NEW, _OLD = ".new", ".old"


def folder_names(folder: Path) -> frozenset[str] | None:
    """What is in a folder, without what desktops put there; None where there is no folder yet.

    Raises SeasonFileError where none can be written there, with the reason.
    """
    try:
        if not folder.parent.is_dir():
            raise refused(folder, f"cannot be written: there is no folder {folder.parent}; make it first")
        if not os.path.lexists(folder):
            return None
        if not folder.is_dir():
            raise refused(folder, "is a file; name a folder that is empty or not there yet")
        return frozenset(os.listdir(folder)) - _BY_SYSTEMS
    except OSError as error:
        raise refused(folder, f"cannot be read: {reason(error)}") from error


def read_in(folder: Path, name: str) -> bytes | None:
    """What a plain file of a folder holds; None where there is none, or something else. Raises SeasonFileError."""
    try:
        return read_plain(folder / name)
    except FileNotFoundError:
        return None
    except OSError as error:
        raise refused(folder / name, f"cannot be read: {reason(error)}") from error


def hand_out_folder(folder: Path, files: Mapping[str, bytes], known: Collection[str]) -> None:
    """Write a folder with these files alone, whole or not at all. known: the names of what may be replaced in it.

    All is written into a folder beside it, which then takes its name. Raises SeasonFileError; then the one that was there
    stands as it was.
    """
    real = Path(os.path.realpath(folder))
    fresh, old = (real.parent / f".{real.name}.{os.getpid()}{end}" for end in (_NEW, _OLD))
    try:
        _sweep(real)
        fresh.mkdir()
        try:
            for name, content in files.items():
                put(fresh / name, content)
            sync_folder(fresh / "any")
            _take_place(fresh, real, old, known)
        except BaseException:
            shutil.rmtree(fresh, ignore_errors=True)
            raise
        sync_folder(real)
    except OSError as error:
        raise refused(folder, f"is not written: {reason(error)}") from error


def _take_place(fresh: Path, real: Path, old: Path, known: Collection[str]) -> None:
    """Put the new folder in place of the old one, which is looked at once more where nobody adds to it."""
    if not os.path.lexists(real):
        os.rename(fresh, real)
        return
    mode = real.stat().st_mode
    os.rename(real, old)
    try:
        if strangers := sorted(frozenset(os.listdir(old)) - _BY_SYSTEMS - {*known}):
            raise OSError(errno.EEXIST, f"{', '.join(strangers)} came into it meanwhile")
        os.chmod(fresh, mode & 0o7777)
        os.rename(fresh, real)
    except BaseException:
        os.rename(old, real)
        raise
    shutil.rmtree(old, ignore_errors=True)


def _sweep(real: Path) -> None:
    """Take away what killed writers have left, and bring back a folder that one had just put aside. Raises OSError."""
    begin = f".{real.name}."
    for other in real.parent.iterdir():
        number, _, end = other.name.removeprefix(begin).rpartition(".")
        if (
            not other.name.startswith(begin)
            or not number.isdigit()
            or runs(int(number))
            or not other.is_dir()
        ):
            continue
        if f".{end}" == _OLD and not os.path.lexists(real):
            os.rename(other, real)
        elif f".{end}" in (_NEW, _OLD):
            shutil.rmtree(other)
