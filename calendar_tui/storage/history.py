"""The history of a season: what stands, what is undone, and undo and redo of any number of changes.

Undo and redo are one thing: the step that brought the file where it is is taken back. For an undo that is the step of
the change (or of the redo that brought it again), for a redo the step of the undo.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass, replace
from datetime import datetime
from pathlib import Path
from typing import Literal

from calendar_tui.season.edits import Data, Edit, EditError
from calendar_tui.season.sameness import same
from calendar_tui.storage.history_lines import Entry, Shortened, Step
from calendar_tui.storage.journal import Journal, digest, history_path, holding, never_happened, read_journal
from calendar_tui.storage.lock import in_turn
from calendar_tui.storage.problems import FileProblem, NothingToUndo, StorageError
from calendar_tui.storage.season_file import (
    Check,
    Made,
    Note,
    parse,
    put_in_place,
    read_text,
    real_path,
    step_of,
)
from calendar_tui.storage.splice import spliced
from calendar_tui.storage.splices import apply_splices, reverse
from calendar_tui.storage.whole_file import reason, refused

Way = Literal["undo", "redo"]
_DONE = {"undo": "undone", "redo": "redone"}
# A history is read while others may write to it: this often it is read again until it fits the file.
_READINGS = 5
_MOST_NAMED = 3


@dataclass(frozen=True, slots=True)
class Standing:
    """A change, and the step that last put it into the file or took it out."""

    n: int
    what: str
    step: Step


@dataclass(frozen=True, slots=True)
class History:
    """What was saved, oldest first, and sentences about lines that cannot be read.

    entries: what is or was in the file; gone: what is out of it, since an older file was put back; never: what the
    program was stopped at, and never was in it; shortened: where older lines went; done: the changes that stand;
    undone: those that can be redone, the next one last.
    """

    entries: tuple[Entry, ...]
    gone: tuple[Entry, ...]
    never: tuple[Entry, ...]
    shortened: Shortened | None
    done: tuple[Standing, ...]
    undone: tuple[Standing, ...]
    warnings: tuple[str, ...]

    def steps(self, way: Way) -> tuple[Standing, ...]:
        """The changes that can be undone or redone, the next one last."""
        return self.done if way == "undo" else self.undone

    def marks(self) -> Mapping[int, tuple[tuple[str, int], ...]]:
        """By its number, what befell a change later: ("undone" or "redone", the number of the entry that did it)."""
        found: dict[int, list[tuple[str, int]]] = {}
        for entry in self.entries:
            for step in entry.steps:
                for word, n in (("undone", step.undoes), ("redone", step.redoes)):
                    if n is not None:
                        found.setdefault(n, []).append((word, entry.n))
        return {n: tuple(marks) for n, marks in found.items()}


@dataclass(frozen=True, slots=True)
class Undone:
    """What was undone or redone. changes: in the order in which it was done; exact: whether every byte is as it was
    before, and not only the fields; warnings: sentences about the history.
    """

    changes: tuple[Standing, ...]
    exact: bool
    text: str
    data: Data
    warnings: tuple[str, ...]


def read_history(path: str | Path) -> History:
    """The history of a season file. Raises SeasonFileError if it or the season file cannot be read."""
    return history_and_text(path)[0]


def history_and_text(path: str | Path) -> tuple[History, str]:
    """The history of a season file and the text it leads to. Raises SeasonFileError as `read_history` does."""
    path = Path(path)
    text = read_text(path)
    for _ in range(_READINGS):
        history = _history(path, text)
        before, text = text, read_text(path)
        if text == before:
            break
    return history, text


def steps_to(history: History, n: int) -> tuple[Way, int]:
    """How to undo or redo so that change `n` becomes the last that stands; 0 steps where it is, or never can be."""
    done = [standing.n for standing in history.done]
    if n in done:
        return "undo", len(done) - 1 - done.index(n)
    undone = [standing.n for standing in history.undone]
    return "redo", len(undone) - undone.index(n) if n in undone else 0


def stamp(path: str | Path) -> tuple[int, ...]:
    """Something that differs once a season file or its history has been written to."""
    real = real_path(Path(path))
    found: list[int] = []
    for file in (real, history_path(real)):
        try:
            status = file.stat()
        except OSError:
            found += [0, 0, 0]
        else:
            found += [status.st_mtime_ns, status.st_size, status.st_ino]
    return tuple(found)


def undo_last(
    path: str | Path, steps: int = 1, *, who: str, when: datetime, check: Check | None = None
) -> Undone:
    """Undo the newest changes that stand, `steps` of them or none; called again, those before them.

    If the file is just as a change left it, its lines are put back exactly. If not, its fields get the values that
    they had before, provided that they still have those that the change gave them.
    who, when, check: as in `save_change`. Raises NothingToUndo, or SeasonFileError and then nothing is written.
    """
    return _take_back(Path(path), "undo", steps, who, when, check)


def redo_last(
    path: str | Path, steps: int = 1, *, who: str, when: datetime, check: Check | None = None
) -> Undone:
    """Bring back the changes undone last, `steps` of them or none, until another change is saved.

    Exactly or by fields, and with the same arguments and errors as `undo_last`.
    """
    return _take_back(Path(path), "redo", steps, who, when, check)


def _take_back(path: Path, way: Way, count: int, who: str, when: datetime, check: Check | None) -> Undone:
    if when.utcoffset() is None:
        raise ValueError("the time of a change needs its offset from UTC")
    if count < 1:
        raise ValueError(f"{count} steps cannot be {_DONE[way]}; take 1 or more")
    read_text(path)

    def take_back() -> Undone:
        before = text = read_text(path)
        history = _history(path, text)
        chosen = _chosen(path, history, way, count)
        exact, steps = True, []
        for standing in chosen:
            text, step, exactly = _taken_back(path, text, standing, way, count)
            steps.append(step)
            exact = exact and exactly
        data = parse(path, text)
        put_in_place(path, before, Made(text, data, steps), Note(_what(way, chosen), who, when), check)
        return Undone(chosen, exact, text, data, history.warnings)

    return in_turn(real_path(path), who, take_back)


def _chosen(path: Path, history: History, way: Way, count: int) -> tuple[Standing, ...]:
    """The changes to take or bring back, in that order. Raises where there are not so many."""
    there = history.steps(way)
    if len(there) >= count:
        return there[::-1][:count]
    moved = history.shortened
    beyond = (
        f"; older changes went to {moved.moved_to} and cannot be undone" if moved and way == "undo" else ""
    )
    if not there:
        raise NothingToUndo([FileProblem(str(path), None, f"there is nothing to {way}{beyond}")])
    many = f"{len(there)} change{' can' if len(there) == 1 else 's can'} be {_DONE[way]}"
    raise refused(path, f"only {many}, and {count} were asked for, so nothing is {_DONE[way]}{beyond}")


def _what(way: Way, chosen: Sequence[Standing]) -> str:
    named = [standing.what for standing in chosen[:_MOST_NAMED]]
    more = len(chosen) - len(named)
    return f"{way}: {'; '.join([*named, *([f'and {more} more'] if more else [])])}"


def _history(path: Path, text: str) -> History:
    real = real_path(path)
    file = history_path(real)
    now = digest(text.encode())
    try:
        journal = read_journal(file)
        never = set(journal.never)
        if journal.entries and never_happened(real, journal.entries[-1], now):
            never.add(journal.entries[-1].n)
    except OSError as error:
        raise refused(file, f"the history cannot be read: {reason(error)}") from error
    return _history_of(journal, never, now)


def _history_of(journal: Journal, never: set[int], now: str) -> History:
    happened = [entry for entry in journal.entries if entry.n not in never]
    held = holding(happened, now)
    kept = set(map(id, held))
    done, undone = _stacks(held)
    return History(
        tuple(held),
        tuple(entry for entry in happened if id(entry) not in kept),
        tuple(entry for entry in journal.entries if entry.n in never),
        journal.shortened,
        tuple(done),
        tuple(undone),
        journal.warnings,
    )


def _stacks(entries: Sequence[Entry]) -> tuple[list[Standing], list[Standing]]:
    """The changes that stand and those that can be redone, the next one last."""
    done: list[Standing] = []
    undone: list[Standing] = []
    for entry in entries:
        if entry.is_change:
            done.append(Standing(entry.n, entry.what, entry.steps[0]))
            undone.clear()
            continue
        for step in entry.steps:
            source, target = (done, undone) if step.undoes is not None else (undone, done)
            target.append(_moved(source, entry, step))
    return done, undone


def _moved(source: list[Standing], entry: Entry, step: Step) -> Standing:
    """Take the change that a step takes or brings back from where it stands; it may stand in an older file."""
    n = step.redoes if step.undoes is None else step.undoes
    at = next((i for i in reversed(range(len(source))) if source[i].n == n), None)
    if at is not None:
        return Standing(source[at].n, source.pop(at).what, step)
    what = entry.what.split(": ", 1)[-1] if len(entry.steps) == 1 else f"change {n}"
    return Standing(n or 0, what, step)


def _taken_back(path: Path, text: str, standing: Standing, way: Way, count: int) -> tuple[str, Step, bool]:
    """The text with a change's step taken back, the step that did it, and whether exactly.

    Raises SeasonFileError, naming the change.
    """
    exact = digest(text.encode()) == standing.step.after
    data = {} if exact else parse(path, text)
    try:
        new, step = _put_back(text, standing.step) if exact else _fields_back(text, data, standing.step)
    except (EditError, StorageError) as error:
        name = f"change {standing.n} ({standing.what}) cannot be {_DONE[way]}"
        none = "" if count == 1 else f"; nothing is {_DONE[way]}"
        line = error.line if isinstance(error, StorageError) else None
        raise refused(path, f"{name}: {error}{none}", line) from error
    if way == "undo":
        return new, replace(step, undoes=standing.n), exact
    return new, replace(step, redoes=standing.n), exact


def _put_back(text: str, step: Step) -> tuple[str, Step]:
    """The text before the step, exactly. Raises StorageError if the history does not lead there."""
    splices = tuple(reverse(step.splices))
    new = apply_splices(text, splices)
    if digest(new.encode()) != step.before:
        raise StorageError("its history does not lead back to what was there before")
    return new, Step(step.back, step.edits, splices, step.after, step.before)


def _fields_back(text: str, data: Data, step: Step) -> tuple[str, Step]:
    """The text as it is now with the step's fields as they were before it."""
    try:
        made = spliced(text, data, step.back)
    except EditError as error:
        raise StorageError(f"the file was edited since, and {error}") from error
    # Taking this back must be the step itself, else somebody gave these fields other values since.
    differing = first_difference(made.back, step.edits)
    if made.splices and differing is not None:
        field = " ".join((differing.kind, *map(str, differing.ident), ".".join(differing.field))).strip()
        raise StorageError(f"{field} was edited since; edit the file by hand")
    return made.text, step_of(text, made)


def first_difference(found: Sequence[Edit], expected: Sequence[Edit]) -> Edit | None:
    """The first of the expected edits that was found to be another."""
    for one, other in zip(found, expected, strict=True):
        if one.op != other.op or not same(one.value, other.value):
            return other
    return None
