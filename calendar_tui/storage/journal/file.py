"""The history file of a season: one JSON object a line in a file beside it, only ever added to.

An entry reaches the disk before the season file is replaced, so no change can be in the file and not in the history.
If the program stops between the two, the entry says what never happened. Such an entry is known in two ways:

- by the next content that was seen (the file now, or what the next entry started from): it is what the entry started
  from, not what it would have made. `holding` leaves these out, and in the same way what is out of the file because an
  older version of it was put back.
- by the new text, which then still lies beside the season file and is what the last entry would have made, while the
  file is not. So it is known also where somebody edited the file by hand after the crash. As the next save writes its
  own new text there, it first adds a line which says that the entry never happened.
"""

from __future__ import annotations

import os
from collections.abc import Iterator, Sequence
from contextlib import contextmanager
from dataclasses import dataclass
from datetime import datetime
from pathlib import Path

from calendar_tui.storage.disk.by_process import sweep_apart
from calendar_tui.storage.disk.plain_file import NotPlain, open_plain, read_plain
from calendar_tui.storage.disk.whole_file import fresh_path, keep_access, sync_folder
from calendar_tui.storage.journal.file_end import first_line, last_lines
from calendar_tui.storage.journal.lines import Entry, Line, Never, Shortened, decoded, encoded

# So many lines at the end of a history are looked through for the last entry, before all are.
_SOME_LINES = 50


@dataclass(frozen=True, slots=True)
class Journal:
    """A history file as it stands, or the end of it. never: the numbers of entries it says never happened; shortened:
    where its older lines went last; warnings: a sentence for each line that cannot be read; begins: where in the file
    the lines begin that were read, 0 for all; older: how many entries are before that.
    """

    entries: tuple[Entry, ...]
    never: frozenset[int]
    shortened: Shortened | None
    warnings: tuple[str, ...]
    begins: int = 0
    older: int = 0

    @property
    def last(self) -> int:
        """The highest number given so far, 0 before the first."""
        numbers = [entry.n for entry in self.entries]
        return max([*numbers, self.shortened.last if self.shortened else 0])


def digest(content: bytes) -> str:
    """The SHA-256 of a file's bytes, in hexadecimal."""
    import hashlib

    return hashlib.sha256(content).hexdigest()


def history_lines(file: Path) -> list[bytes]:
    """The lines of a history file with their ends, none if there is no file. Raises OSError."""
    return last_lines(file, None)[0]


def read_journal(file: Path, most: int | None = None) -> Journal:
    """What a history file says, or so many lines at its end. Raises OSError if it is there and cannot be read."""
    lines, begins = last_lines(file, most)
    entries: list[Entry] = []
    never: set[int] = set()
    shortened: Shortened | None = None
    warnings: list[str] = []
    for number, raw in enumerate(lines, 1):
        line = decoded(raw)
        if isinstance(line, Entry):
            entries.append(line)
        elif isinstance(line, Never):
            never.add(line.n)
        elif isinstance(line, Shortened):
            shortened = line
        elif raw.strip():
            place = (
                f"{file}:{number}" if begins == 0 else f"{file}, line {len(lines) - number + 1} from its end"
            )
            warnings.append(f"{place}: this line is not whole and is passed over")
    older = 0
    if begins:
        first = decoded(first_line(file))
        shortened = shortened or (first if isinstance(first, Shortened) else None)
        older = _older(first, entries)
    return Journal(tuple(entries), frozenset(never), shortened, tuple(warnings), begins, older)


def _older(first: Line | None, entries: Sequence[Entry]) -> int:
    """How many entries come before these, by their numbers. first: the first line of the history."""
    if not entries:
        return 0
    return entries[0].n - (
        first.n if isinstance(first, Entry) else first.last + 1 if isinstance(first, Shortened) else 1
    )


def last_line(file: Path) -> Entry | Shortened | None:
    """The last line of a history that gives or keeps a number. Raises OSError."""
    for most in (1, _SOME_LINES, None):
        lines, begins = last_lines(file, most)
        for raw in reversed(lines):
            line = decoded(raw)
            if isinstance(line, Entry | Shortened):
                return line
        if not begins:
            break
    return None


def next_number(line: Entry | Shortened | None) -> int:
    """The number that comes after the last line of a history."""
    if line is None:
        return 1
    return (line.n if isinstance(line, Entry) else line.last) + 1


def holding(entries: Sequence[Entry], now: str) -> list[Entry]:
    """The entries whose change is in the file, or was until an edit by hand or another entry changed it again.

    `now` is the SHA-256 of the file as it is. Where an entry, or the file as it is, starts from what an older entry
    started from or led to, what came between is out: it never reached the file, or an older file was put back.
    """
    return held_and_unknown(entries, now)[0]


def held_and_unknown(entries: Sequence[Entry], now: str) -> tuple[list[Entry], list[str]]:
    """As `holding`, and the SHA-256 of what was seen and none of the entries tells: edits by hand, or older lines do."""
    held: list[Entry] = []
    unknown: list[str] = []
    for at, entry in enumerate(entries):
        if at and not _wind_back(held, entry.before):
            unknown.append(entry.before)
        held.append(entry)
    if not _wind_back(held, now):
        unknown.append(now)
    return held, unknown


def _wind_back(held: list[Entry], seen: str) -> bool:
    """Take away the entries that are not in the file whose SHA-256 is `seen`; whether any of them tells of that."""
    for at in reversed(range(len(held))):
        if held[at].after == seen:
            del held[at + 1 :]
            return True
        if held[at].before == seen:
            del held[at:]
            return True
    return False


def never_happened(season: Path, last: Line | None, now: str) -> bool:
    """Whether the last entry's new text still lies beside the season file, whose SHA-256 is `now`. Raises OSError."""
    if not isinstance(last, Entry) or now == last.after:
        return False
    try:
        return digest(read_plain(fresh_path(season))) == last.after
    except (FileNotFoundError, NotPlain):  # nothing that a save has left
        return False


def note_never(file: Path, entry: Entry, who: str, when: datetime) -> None:
    """Add the line which says that an entry never happened. Raises OSError."""
    append(file, encoded(Never(entry.n, when, who)))


@contextmanager
def noted(file: Path, entry: Entry, season: Path) -> Iterator[None]:
    """Add an entry for what happens to the season file inside; if that fails, the entry is taken back.

    A new history gets the permissions of the season file. Raises OSError.
    """
    size = _size(file)
    fresh_path(file).unlink(missing_ok=True)  # what a shortening or an upgrade has left that was killed
    sweep_apart(file.parent)  # and a merge
    try:
        append(file, encoded(entry), season.stat() if size is None else None)
        if size is None:
            sync_folder(file)  # its name too is there before the season's new text
        yield
    except BaseException:
        # Stopped by Ctrl+C right after the file was replaced, the entry is true.
        if entry.before == entry.after or digest(season.read_bytes()) != entry.after:
            _cut(file, size)
        raise


def _size(file: Path) -> int | None:
    try:
        return os.lstat(file).st_size
    except FileNotFoundError:
        return None


def _cut(file: Path, size: int | None) -> None:
    if size is None:
        file.unlink(missing_ok=True)
        return
    handle = open_plain(file, os.O_RDWR)
    try:
        os.ftruncate(handle, size)
    finally:
        os.close(handle)


def append(file: Path, line: bytes, like: os.stat_result | None = None) -> None:
    """Add a line, and have it reach the disk. like: whose permissions a new file gets. Raises OSError."""
    with os.fdopen(open_plain(file, os.O_RDWR | os.O_CREAT | os.O_APPEND), "a+b") as stream:
        if like is not None:
            keep_access(stream.fileno(), like)
        if stream.seek(0, os.SEEK_END):
            stream.seek(-1, os.SEEK_END)
            # The rest of a torn line must not swallow this one.
            line = line if stream.read(1) == b"\n" else b"\n" + line
        stream.write(line)
        stream.flush()
        os.fsync(stream.fileno())
