"""Undo the changes in a season's history, newest first."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from datetime import datetime
from pathlib import Path

from calendar_tui.season.edits import Data, Edit, EditError
from calendar_tui.storage.draft import same
from calendar_tui.storage.journal import Entry, digest, history_path, holding, read_entries
from calendar_tui.storage.problems import FileProblem, NothingToUndo, StorageError
from calendar_tui.storage.season_file import (
    Check,
    Loaded,
    Note,
    current,
    parse,
    put_in_place,
    read_text,
    real_path,
)
from calendar_tui.storage.splice import Spliced, spliced
from calendar_tui.storage.splices import apply_splices, reverse
from calendar_tui.storage.whole_file import locked, reason, refused


@dataclass(frozen=True, slots=True)
class History:
    """The changes that are or were in the file, oldest first, and sentences about lines that cannot be read."""

    entries: tuple[Entry, ...]
    warnings: tuple[str, ...]

    def newest(self) -> Entry | None:
        """The newest change that is not an undo and is not undone."""
        undone = {entry.undoes for entry in self.entries}
        stands = (e for e in reversed(self.entries) if e.undoes is None and e.n not in undone)
        return next(stands, None)


@dataclass(frozen=True, slots=True)
class Undone:
    """What was undone. n: the undone change's number; exact: whether every byte is as it was before that change, and
    not only the fields that it named; warnings: sentences about the history.
    """

    what: str
    n: int
    exact: bool
    text: str
    data: Data
    warnings: tuple[str, ...]


def read_history(path: str | Path) -> History:
    """The history of a season file. Raises SeasonFileError if it or the season file cannot be read."""
    path = Path(path)
    return _history(path, read_text(path))


def undo_last(path: str | Path, *, who: str, when: datetime, check: Check | None = None) -> Undone:
    """Undo the newest change that is not undone yet; called again, the one before it.

    If the file is just as that change left it, its lines are put back exactly. If not, its fields get the values that
    they had before, provided that they still have those that the change gave them.
    who, when, check: as in `save_change`. Raises NothingToUndo, or SeasonFileError and then nothing is written.
    """
    if when.utcoffset() is None:
        raise ValueError("the time of a change needs its offset from UTC")
    path = Path(path)
    read_text(path)
    with locked(real_path(path)):
        now = current(path)
        history = _history(path, now.text)
        entry = history.newest()
        if entry is None:
            raise NothingToUndo([FileProblem(str(path), None, "there is nothing to undo")])
        exact = digest(now.text.encode()) == entry.after
        made = _put_back(now, entry) if exact else _take_back(now, entry)
        put_in_place(now, made, Note(f"undo: {entry.what}", who, when, entry.n), check)
        return Undone(entry.what, entry.n, exact, made.text, made.data, history.warnings)


def _history(path: Path, text: str) -> History:
    file = history_path(real_path(path))
    try:
        entries, warnings = read_entries(file)
    except OSError as error:
        raise refused(file, f"the history cannot be read: {reason(error)}") from error
    return History(tuple(holding(entries, digest(text.encode()))), tuple(warnings))


def _put_back(now: Loaded, entry: Entry) -> Spliced:
    """The file before the change, exactly. Raises SeasonFileError if the history does not lead there."""
    splices = reverse(entry.splices)
    try:
        text = apply_splices(now.text, splices)
    except StorageError as error:
        raise refused(now.path, f"{_name(entry)}: {error}", error.line) from error
    if digest(text.encode()) != entry.before:
        raise refused(now.path, f"{_name(entry)}: its history does not lead back to what was there before")
    return Spliced(text, parse(now.path, text), splices, entry.back, entry.edits)


def _take_back(now: Loaded, entry: Entry) -> Spliced:
    """The file as it is now with the change's fields as they were before it."""
    try:
        made = spliced(now.text, now.data, entry.back)
    except EditError as error:
        raise refused(now.path, f"{_name(entry)}: the file was edited since, and {error}") from error
    except StorageError as error:
        raise refused(now.path, f"{_name(entry)}: {error}", error.line) from error
    # Taking the undo back must be the change itself, else somebody gave these fields other values since.
    differing = _first_difference(made.back, entry.edits)
    if made.splices and differing is not None:
        field = " ".join((differing.kind, *map(str, differing.ident), ".".join(differing.field))).strip()
        raise refused(now.path, f"{_name(entry)}: {field} was edited since; edit the file by hand")
    return made


def _first_difference(found: Sequence[Edit], expected: Sequence[Edit]) -> Edit | None:
    for one, other in zip(found, expected, strict=True):
        if one.op != other.op or not same(one.value, other.value):
            return other
    return None


def _name(entry: Entry) -> str:
    return f"change {entry.n} ({entry.what}) cannot be undone"
