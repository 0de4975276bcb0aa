"""The entries of a season's history, with what became of each, also as plain data for JSON."""

from __future__ import annotations

import math
from collections.abc import Iterator, Mapping
from dataclasses import dataclass
from datetime import date, datetime, time, timedelta, tzinfo
from pathlib import Path
from typing import Any

from calendar_tui.handing_on.tables.json_rows import Row
from calendar_tui.season.edits import Edit
from calendar_tui.storage.history.undo import History, read_history
from calendar_tui.storage.journal.lines import Entry

NEVER = "never reached the file: the program was stopped"
GONE = "not in the file any more: an older version of it was put back"
_STATES = {NEVER: "never", GONE: "gone"}


@dataclass(frozen=True, slots=True)
class HistoryRow:
    """One entry of a history. marks: what befell the change later, ("undone" or "redone", the entry that did it);
    out: why it is not in the file, "" where it is or was undone.
    """

    entry: Entry
    marks: tuple[tuple[str, int], ...] = ()
    out: str = ""

    @property
    def state(self) -> str:
        """How the change stands in one word: stands, undone, gone or never; an undo or redo stands."""
        if self.out:
            return _STATES[self.out]
        return "undone" if self.marks and self.marks[-1][0] == "undone" else "stands"


def rows_of(history: History) -> list[HistoryRow]:
    """Every entry of a history, oldest first."""
    marks = history.marks()
    rows = [HistoryRow(entry, marks.get(entry.n, ())) for entry in history.entries]
    rows += [HistoryRow(entry, out=NEVER) for entry in history.never]
    rows += [HistoryRow(entry, out=GONE) for entry in history.gone]
    return sorted(rows, key=lambda row: row.entry.n)


def since_yesterday(path: str | Path, today: date, zone: tzinfo) -> tuple[tuple[Entry, ...], tuple[str, ...]]:
    """The changes of a season file that stand, of a day and the day before by a clock, oldest first; what cannot be read of them.

    Raises SeasonFileError.
    """
    begin = datetime.combine(today - timedelta(days=1), time(), zone)
    history = read_history(path, lambda read: bool(read.entries) and read.entries[0].when < begin)
    end = begin + timedelta(days=2)
    stand = (row.entry for row in rows_of(history) if row.entry.is_change and row.state == "stands")
    return tuple(entry for entry in stand if begin <= entry.when < end), history.warnings


def edits_of(entry: Entry) -> Iterator[tuple[Edit, Edit]]:
    """Each edit of an entry with the one that takes it back."""
    for step in entry.steps:
        yield from zip(step.edits, reversed(step.back), strict=True)


def history_row(row: HistoryRow) -> Row:
    """An entry for JSON: n, when, who, what, state, marks, and the edits with their values before and after."""
    steps = row.entry.steps
    return {
        "n": row.entry.n,
        "when": row.entry.when,
        "who": row.entry.who,
        "what": row.entry.what,
        "state": row.state,
        "undone_by": [n for word, n in row.marks if word == "undone"],
        "redone_by": [n for word, n in row.marks if word == "redone"],
        "undoes": [step.undoes for step in steps if step.undoes is not None],
        "redoes": [step.redoes for step in steps if step.redoes is not None],
        "edits": [_edit_row(edit, back) for edit, back in edits_of(row.entry)],
    }


def _edit_row(edit: Edit, back: Edit) -> Row:
    row: Row = {"op": edit.op, "kind": edit.kind, "ident": edit.ident, "field": list(edit.field)}
    row["before"] = None if back.op in ("unset", "remove") else back.value
    row["after"] = None if edit.op in ("unset", "remove") else edit.value
    return {key: _simple(value) for key, value in row.items()}


def _simple(value: Any) -> Any:
    """A TOML value as JSON has it: dates and times as ISO 8601 text, numbers that are none as their names."""
    if isinstance(value, Mapping):
        return {key: _simple(v) for key, v in value.items()}
    if isinstance(value, list | tuple):
        return [_simple(v) for v in value]
    if isinstance(value, date | time):
        return value.isoformat()
    return repr(value) if isinstance(value, float) and not math.isfinite(value) else value
