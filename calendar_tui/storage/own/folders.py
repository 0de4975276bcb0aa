"""The folders of a person's own files."""

from __future__ import annotations

from pathlib import Path


def make_folder(folder: Path) -> None:
    """Make a folder that only the person can enter, and those above it, where it is not there. Raises SeasonFileError."""
    from calendar_tui.storage.disk.whole_file import reason, refused

    try:
        folder.mkdir(mode=0o700, parents=True, exist_ok=True)
    except OSError as error:
        raise refused(folder, f"cannot be made: {reason(error)}") from error
