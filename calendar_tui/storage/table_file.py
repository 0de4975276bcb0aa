"""The text of a table that comes from elsewhere, a laboratory or a spreadsheet: a plain file, in the letters that they write."""

from __future__ import annotations

from pathlib import Path

from calendar_tui.storage.disk.plain_file import read_plain
from calendar_tui.storage.disk.whole_file import reason, refused

# A season's results are some hundred lines.
MOST_BYTES = 5_000_000
# The tasks of a large farm are a hundred thousand lines, and so are the readings of some years.
_MOST_OF_SPREADSHEET = 50_000_000


def laboratory_text(path: Path) -> str:
    """The text of a file. Raises SeasonFileError with what would be right."""
    return table_text(path, "a laboratory's file")


def spreadsheet_text(path: Path) -> str:
    """The text of a table that a spreadsheet saved. Raises SeasonFileError with what would be right."""
    return table_text(path, "a table", _MOST_OF_SPREADSHEET)


def weather_file_text(path: Path) -> str:
    """The text of a weather file as it was downloaded. Raises SeasonFileError with what would be right."""
    return table_text(path, "a weather file", _MOST_OF_SPREADSHEET)


def table_text(path: Path, what: str, most: int = MOST_BYTES) -> str:
    """The text of a file that is a table of at most so many bytes; what: what it is, for a message.

    Raises SeasonFileError with what would be right.
    """
    try:
        content = read_plain(path)
    except OSError as error:
        raise refused(path, f"cannot be read: {reason(error)}") from error
    if len(content) > most:
        raise refused(path, f"has {len(content):,} bytes; {what} has at most {most:,}")
    if content[:2] in (b"\xff\xfe", b"\xfe\xff"):
        return content.decode("utf-16", "replace")
    try:
        return content.decode("utf-8-sig")
    except UnicodeDecodeError:
        # What spreadsheets of western Windows write; every byte is a letter there or is told as a strange one.
        return content.decode("cp1252", "replace")
