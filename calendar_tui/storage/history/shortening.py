"""Shorten a history: its older lines go, whole and in order, into a file of their own beside it."""

from __future__ import annotations

import os
from collections.abc import Sequence
from contextlib import nullcontext
from dataclasses import dataclass
from datetime import date, datetime, time, tzinfo
from pathlib import Path

from calendar_tui.storage.disk.beside import history_path
from calendar_tui.storage.disk.lock import in_turn
from calendar_tui.storage.disk.plain_file import read_plain
from calendar_tui.storage.disk.whole_file import fresh_path, put_beside, reason, refused, replace_whole
from calendar_tui.storage.journal.file import history_lines
from calendar_tui.storage.journal.lines import Entry, Shortened, decoded, encoded
from calendar_tui.storage.problems import SeasonFileError
from calendar_tui.storage.season_file import read_text, real_path


@dataclass(frozen=True, slots=True)
class Older:
    """The lines of a history up to the last entry before a date. first, last: the oldest and newest entry of them;
    count: how many entries; to: the file that they go to.
    """

    lines: tuple[bytes, ...]
    rest: tuple[bytes, ...]
    first: Entry
    last: Entry
    count: int
    to: Path


def older_lines(path: str | Path, before: date, zone: tzinfo) -> Older | None:
    """What a history holds from before a date at the site; None where there is nothing. Raises SeasonFileError."""
    path = Path(path)
    read_text(path)
    file = history_path(real_path(path))
    try:
        lines = history_lines(file)
    except OSError as error:
        raise refused(file, f"the history cannot be read: {reason(error)}") from error
    start = datetime.combine(before, time.min, zone)
    all_lines = [decoded(line) for line in lines]
    # Clocks differ between machines, so the lines are cut at one place and never picked out one by one.
    newer = (n for n, line in enumerate(all_lines) if isinstance(line, Entry) and line.when >= start)
    cut = next(newer, len(lines))
    entries = [line for line in all_lines[:cut] if isinstance(line, Entry)]
    if not entries:
        return None
    to = file.with_name(f"{file.name.removesuffix('.jsonl')}-before-{before}.jsonl")
    return Older(tuple(lines[:cut]), tuple(lines[cut:]), entries[0], entries[-1], len(entries), to)


def shorten_history(
    path: str | Path, before: date, zone: tzinfo, *, who: str, when: datetime
) -> Older | None:
    """Move what a history holds from before a date at the site to a file of its own; None where there is nothing.

    The lines are in the other file, and on the disk, before they leave the history; the numbers of changes go on.
    Raises SeasonFileError, and then no line is lost: the history stands as it was.
    """
    path = Path(path)
    read_text(path)
    return in_turn(real_path(path), who, lambda: _shorten(path, before, zone, who, when))


def _shorten(path: Path, before: date, zone: tzinfo, who: str, when: datetime) -> Older | None:
    older = older_lines(path, before, zone)
    if older is None:
        return None
    file = history_path(real_path(path))
    _put_away(older, file)
    mark = Shortened(before, older.to.name, max(_numbers(older.lines)), when, who)
    old, rest = b"".join(older.lines + older.rest), b"".join(older.rest)
    replace_whole(file, old, encoded(mark) + rest, nullcontext())
    return older


def _numbers(lines: Sequence[bytes]) -> list[int]:
    """The numbers of the entries in the lines, and of those that went before."""
    all_lines = [decoded(line) for line in lines]
    before = [line.last for line in all_lines if isinstance(line, Shortened)]
    return [*before, *(line.n for line in all_lines if isinstance(line, Entry))]


def _put_away(older: Older, file: Path) -> None:
    """Write the older lines to their file. Raises SeasonFileError where that holds something else."""
    content = b"".join(older.lines)
    try:
        if os.path.lexists(older.to):
            # The same lines are there where the program was stopped before they left the history.
            if read_plain(older.to) == content:
                return
            raise refused(older.to, "is there already; move it away, or shorten before another date")
        put_beside(older.to, content, file.stat(), fresh_path(file))
    except SeasonFileError:
        raise
    except OSError as error:
        raise refused(file, f"not shortened, and left as it was: {reason(error)} ({older.to})") from error
