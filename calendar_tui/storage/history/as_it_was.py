"""A season file as it was: found from the file as it is, along the steps of its history.

Each step leads from one text to another and back, exactly; the SHA-256 tell which texts are the same. So the text after
an entry is known to the byte where steps lead there from the file as it is. Where somebody edited the file by hand in
between, none do: then the fields of entries are taken back one by one from the nearest text that is known, as far as
they fit, and what was edited by hand stays in. That is always told.
"""

from __future__ import annotations

from collections import deque
from collections.abc import Iterable, Iterator, Mapping, Sequence
from dataclasses import dataclass
from datetime import date, datetime, time, timedelta, tzinfo
from pathlib import Path

from calendar_tui.season.edits import Data, Edit, EditError, outcome
from calendar_tui.season.sameness import same
from calendar_tui.storage.disk.whole_file import refused
from calendar_tui.storage.history.taking_back import field_name, first_difference
from calendar_tui.storage.history.undo import History, history_and_text
from calendar_tui.storage.journal.file import digest
from calendar_tui.storage.journal.lines import Entry, Step
from calendar_tui.storage.problems import StorageError
from calendar_tui.storage.season_file import parse
from calendar_tui.storage.toml.splice import spliced
from calendar_tui.storage.toml.splices import Splice, reverse, splice_lines

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
    end = datetime.combine(day + timedelta(days=1), time.min, zone)
    history, text = history_and_text(path, lambda part: any(e.when < end for e in _happened(part)))
    moved = history.shortened
    if moved is not None and day + timedelta(days=1) < moved.before:
        raise refused(
            path,
            f"its history from before {moved.before} is in {moved.moved_to}; to look further back than "
            f"{moved.before - timedelta(days=1)}, put the lines of that file in front of the history",
        )
    kept = [i for i, entry in enumerate(_happened(history), 1) if entry.when < end]
    return _found(path, history, text, kept[-1] if kept else 0, zone)


def as_it_was_after(path: str | Path, n: int, zone: tzinfo) -> AsItWas:
    """A season file as it was right after an entry of its history. zone: of the dates in the notes.

    Raises SeasonFileError where the history does not lead there, with the reason.
    """
    path = Path(path)
    history, text = history_and_text(path, lambda part: any(e.n <= n for e in _happened(part)))
    kept = next((i for i, entry in enumerate(_happened(history), 1) if entry.n == n), None)
    if kept is None:
        raise refused(path, f"change {n} is not in its history, or never reached the file")
    return _found(path, history, text, kept, zone)


def _happened(history: History) -> list[Entry]:
    """The entries that were in the file at some time, oldest first."""
    return sorted((*history.entries, *history.gone), key=lambda entry: entry.n)


def _found(path: Path, history: History, text: str, kept: int, zone: tzinfo) -> AsItWas:
    """The file as it was after the first `kept` entries that happened."""
    entries = _happened(history)
    now = digest(text.encode())
    routes = _routes(entries, now)
    last = entries[kept - 1] if kept else None
    for goal, note in _goals(entries, kept, now, zone):
        if goal in routes:
            text = _along(path, text, routes, goal)
            return AsItWas(text, parse(path, text), (note,) if note else (), last)
    standing = set(map(id, history.entries))
    held = [entry for entry in entries[kept:] if id(entry) in standing]
    at = next((i for i, entry in enumerate(held) if entry.before in routes), len(held))
    text = _along(path, text, routes, held[at].before if at < len(held) else now)
    text, data, left = _back_by_fields(path, text, parse(path, text), held[:at])
    begins = [] if kept else [note for _, note in _goals(entries, kept, now, zone)]
    return AsItWas(text, data, (_by_hand_note(entries, held, at, zone), *begins, *left), last)


# --- to the byte


def _routes(entries: Iterable[Entry], now: str) -> dict[str, tuple[str, Sequence[Splice]]]:
    """All texts that are known to the byte, by their SHA-256: each with the text before it on the way from the file
    as it is, and the splices from that one to it.
    """
    ways: dict[str, list[tuple[str, Sequence[Splice]]]] = {}
    for step in (step for entry in entries for step in entry.steps):
        ways.setdefault(step.before, []).append((step.after, step.splices))
        ways.setdefault(step.after, []).append((step.before, reverse(step.splices)))
    routes: dict[str, tuple[str, Sequence[Splice]]] = {now: (now, ())}
    at = deque([now])
    while at:
        here = at.popleft()
        for there, splices in ways.get(here, ()):
            if there not in routes:
                routes[there] = here, splices
                at.append(there)
    return routes


def _along(path: Path, text: str, routes: Mapping[str, tuple[str, Sequence[Splice]]], goal: str) -> str:
    """The text at the end of a route. Raises SeasonFileError where the history does not lead there."""
    way: list[Sequence[Splice]] = []
    at = goal
    while routes[at][0] != at:
        at, splices = routes[at]
        way.append(splices)
    pieces = text.split("\n")
    try:
        for splices in reversed(way):
            splice_lines(pieces, splices)
    except StorageError as error:
        raise refused(path, f"its history does not lead back: {error}", error.line) from error
    text = "\n".join(pieces)
    if digest(text.encode()) != goal:
        raise refused(path, "its history does not lead back: what it leads to is another text than was there")
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
            names = [field_name(edit) for edit in step.back if edit not in taken]
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


# --- what is not certain


def _goals(entries: Sequence[Entry], kept: int, now: str, zone: tzinfo) -> Iterator[tuple[str, str]]:
    """The SHA-256 of the texts to show after the first `kept` entries, the best first, each with a note or ""."""
    if not entries:
        yield now, "Its history has no changes, so it is shown as it is now."
        return
    if not kept:
        first = _dated(entries[0], zone)
        yield (
            entries[0].before,
            f"The history begins with {first}; it is shown as it was before that, and when it came to be so is not "
            "noted.",
        )
        return
    after = entries[kept - 1].after
    then = now if kept == len(entries) else entries[kept].before
    between = f"The file was also edited by hand {_between(entries, kept, zone)}, on a day that is not noted"
    if then == after:
        yield after, ""
    elif kept == len(entries):
        yield now, f"{between}; that edit is in what is shown."
    else:
        yield after, f"{between}; that edit is not in what is shown."
        yield then, f"{between}; that edit is in what is shown."


def _by_hand_note(entries: Sequence[Entry], held: Sequence[Entry], at: int, zone: tzinfo) -> str:
    """Which edit by hand lies between what is known to the byte and what is to be shown."""
    place = entries.index(held[at]) if at < len(held) else len(entries)
    return (
        f"The file was edited by hand {_between(entries, place, zone)}. What was edited by hand is in what is shown; "
        "the changes before that are taken back field by field."
    )


def _between(entries: Sequence[Entry], at: int, zone: tzinfo) -> str:
    before = _dated(entries[at - 1], zone)
    if at == len(entries):
        return f"after {before}"
    return f"between {before} and {_dated(entries[at], zone)}"


def _dated(entry: Entry, zone: tzinfo) -> str:
    return f"change {entry.n} of {entry.when.astimezone(zone).date()}"
