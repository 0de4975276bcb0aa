"""A season file as it was: the history walked back from the file as it is.

While the file is just as an entry left it, the entry's lines are put back, and the text is known to the byte. Where it
was edited by hand between two entries, the text between the two is not known: from there on the fields of older
entries are taken back one by one as far as they fit, and what was edited by hand stays in. That is always told.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from datetime import date, datetime, time, timedelta, tzinfo
from pathlib import Path

from calendar_tui.season.edits import Data, Edit, EditError, outcome
from calendar_tui.season.sameness import same
from calendar_tui.storage.history import History, first_difference, history_and_text
from calendar_tui.storage.history_lines import Entry, Step
from calendar_tui.storage.journal import digest
from calendar_tui.storage.problems import StorageError
from calendar_tui.storage.season_file import parse
from calendar_tui.storage.splice import spliced
from calendar_tui.storage.splices import apply_splices, reverse
from calendar_tui.storage.whole_file import refused

_MOST_NAMED = 5


@dataclass(frozen=True, slots=True)
class AsItWas:
    """A season file as it was. notes: sentences about what is not certain of it; none where every byte is known.
    last: the newest entry of the history that is in it, None before the first.
    """

    text: str
    data: Data
    notes: tuple[str, ...]
    last: Entry | None


def as_it_was_on(path: str | Path, day: date, zone: tzinfo) -> AsItWas:
    """A season file as it was at the end of a day in a time zone.

    Raises SeasonFileError where the history does not lead there, with the reason.
    """
    path = Path(path)
    history, text = history_and_text(path)
    moved = history.shortened
    if moved is not None and day + timedelta(days=1) < moved.before:
        raise refused(
            path,
            f"its history from before {moved.before} is in {moved.moved_to}; to look further back than "
            f"{moved.before - timedelta(days=1)}, put the lines of that file in front of the history",
        )
    end = datetime.combine(day + timedelta(days=1), time.min, zone)
    kept = [i for i, entry in enumerate(history.entries, 1) if entry.when < end]
    return _walked(path, history, text, kept[-1] if kept else 0, zone)


def as_it_was_after(path: str | Path, n: int, zone: tzinfo) -> AsItWas:
    """A season file as it was right after an entry of its history. zone: of the dates in the notes.

    Raises SeasonFileError where the history does not lead there, with the reason.
    """
    path = Path(path)
    history, text = history_and_text(path)
    kept = next((i for i, entry in enumerate(history.entries, 1) if entry.n == n), None)
    if kept is None:
        raise refused(path, f"change {n} is not in its history, or never reached the file")
    return _walked(path, history, text, kept, zone)


def _walked(path: Path, history: History, text: str, kept: int, zone: tzinfo) -> AsItWas:
    """The text without the entries after the first `kept`."""
    entries = history.entries
    exact = _exact_from(entries, kept, digest(text.encode()))
    text = _back_exactly(path, text, entries[exact:])
    data = parse(path, text)
    notes = _notes(entries, kept, exact, digest(text.encode()), zone)
    if exact > kept:
        text, data, left = _back_by_fields(path, text, data, entries[kept:exact])
        notes += left
    return AsItWas(text, data, tuple(notes), entries[kept - 1] if kept else None)


def _exact_from(entries: Sequence[Entry], kept: int, now: str) -> int:
    """The place of the oldest entry, `kept` or a later one, down to which every byte is known."""
    at = len(entries)
    while at > kept and entries[at - 1].after == now:
        at -= 1
        now = entries[at].before
    return at


def _back_exactly(path: Path, text: str, entries: Sequence[Entry]) -> str:
    if not entries:
        return text
    try:
        for step in (step for entry in reversed(entries) for step in reversed(entry.steps)):
            text = apply_splices(text, reverse(step.splices))
    except StorageError as error:
        raise refused(path, f"its history does not lead back: {error}", error.line) from error
    if digest(text.encode()) != entries[0].before:
        raise refused(path, f"its history does not lead back to what was there before change {entries[0].n}")
    return text


# --- over an edit by hand


def _back_by_fields(
    path: Path, text: str, data: Data, entries: Sequence[Entry]
) -> tuple[str, Data, list[str]]:
    """The text with the fields of entries taken back as far as they fit, and a sentence where some do not."""
    fitting: list[Edit] = []
    left: list[str] = []
    now = data
    for entry in reversed(entries):
        for step in reversed(entry.steps):
            taken, now = _taken_back(now, step)
            fitting += taken
            names = [_name(edit) for edit in step.back if edit not in taken]
            left += [f"{name} (change {entry.n})" for name in names]
    try:
        made = spliced(text, data, fitting)
    except (EditError, StorageError) as error:
        raise refused(path, f"cannot be shown as it was, since it was edited by hand: {error}") from error
    named = ", ".join(left[:_MOST_NAMED]) + (
        f" and {len(left) - _MOST_NAMED} more" if left[_MOST_NAMED:] else ""
    )
    return made.text, made.data, [f"Shown as edited by hand since: {named}."] if left else []


def _taken_back(data: Data, step: Step) -> tuple[list[Edit], Data]:
    """The edits that take a step back, those of them that fit, and what they make of the data."""
    whole = _fitting(data, step.back, step.edits)
    if whole is not None:
        return list(step.back), whole
    taken = []
    for back, edit in zip(step.back, reversed(step.edits), strict=True):
        made = _fitting(data, [back], [edit])
        if made is not None:
            taken.append(back)
            data = made
    return taken, data


def _fitting(data: Data, back: Sequence[Edit], edits: Sequence[Edit]) -> Data | None:
    """The data with edits taken back; None where their records or fields are gone or have other values by now."""
    try:
        made = outcome(data, back)
    except EditError:
        return None
    if first_difference(made.back, edits) is None or same(made.data, data):
        return made.data
    return None


def _name(edit: Edit) -> str:
    return " ".join(part for part in (edit.kind, *map(str, edit.ident), ".".join(edit.field)) if part)


# --- what is not certain


def _notes(entries: Sequence[Entry], kept: int, exact: int, found: str, zone: tzinfo) -> list[str]:
    """found: the SHA-256 of the text down to which every byte is known."""
    if not entries:
        return ["No change is noted in its history, so it is shown as it is now."]
    if exact > kept:
        return [
            f"The file was edited by hand {_between(entries, exact, zone)}. What was edited by hand is in what is "
            "shown; the changes before that are taken back field by field."
        ]
    if not kept:
        return [
            f"The history begins with {_dated(entries[0], zone)}; it is shown as it was before that, and when it "
            "came to be so is not noted."
        ]
    if found != entries[kept - 1].after:
        return [
            f"The file was also edited by hand {_between(entries, kept, zone)}, on a day that is not noted; that edit "
            "is in what is shown."
        ]
    return []


def _between(entries: Sequence[Entry], at: int, zone: tzinfo) -> str:
    before = _dated(entries[at - 1], zone)
    if at == len(entries):
        return f"after {before}"
    return f"between {before} and {_dated(entries[at], zone)}"


def _dated(entry: Entry, zone: tzinfo) -> str:
    return f"change {entry.n} of {entry.when.astimezone(zone).date()}"
