"""The history of a season: what stands, what is undone, and undo and redo of any number of changes.

Undo and redo are one thing: the step that brought the file where it is is taken back. For an undo that is the step of
the change (or of the redo that brought it again), for a redo the step of the undo.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from datetime import datetime
from pathlib import Path

from calendar_tui.season.edits import Data
from calendar_tui.storage.disk.beside import history_path
from calendar_tui.storage.disk.lock import in_turn
from calendar_tui.storage.disk.whole_file import parted_text, reason, refused
from calendar_tui.storage.history.stacks import Standing, stacks
from calendar_tui.storage.history.taking_back import Others, Way, taken_back
from calendar_tui.storage.history.undo_choice import Enough, UndoChoice, newest
from calendar_tui.storage.journal.file import Journal, digest, held_and_unknown, never_happened, read_journal
from calendar_tui.storage.journal.file_end import holds_any
from calendar_tui.storage.journal.lines import Entry, Shortened
from calendar_tui.storage.season_file import Check, Made, Note, parse, put_in_place, read_text, real_path

# A history is read while others may write to it: this often it is read again until it fits the file.
_READINGS = 5
_MOST_NAMED = 3
# So many lines of a history are read from its end where not all are asked for; and as long as they are not enough, so
# many times as many.
FIRST_LINES = 64
_MORE = 4


@dataclass(frozen=True, slots=True)
class History:
    """What was saved, oldest first, and sentences about lines that cannot be read.

    entries: what is or was in the file; gone: what is out of it, since an older file was put back; never: what the
    program was stopped at, and never was in it; shortened: where older lines went; done: the changes that stand;
    undone: those that can be redone, the next one last. older: how many entries were not read, since they were not
    asked for; then all of these are what lies nearest to the end.
    """

    entries: tuple[Entry, ...]
    gone: tuple[Entry, ...]
    never: tuple[Entry, ...]
    shortened: Shortened | None
    done: tuple[Standing, ...]
    undone: tuple[Standing, ...]
    warnings: tuple[str, ...]
    older: int = 0

    @property
    def rows(self) -> int:
        """How many entries were read."""
        return len(self.entries) + len(self.gone) + len(self.never)

    def steps(self, way: Way) -> tuple[Standing, ...]:
        """The changes that can be undone or redone, the next one last."""
        return self.done if way == "undo" else self.undone

    def marks(self) -> Mapping[int, tuple[tuple[str, int], ...]]:
        """By its number, what befell a change later: ("undone" or "redone", the number of the entry that did it)."""
        by_number: dict[int, list[tuple[str, int]]] = {}
        for entry in self.entries:
            for step in entry.steps:
                for word, n in (("undone", step.undoes), ("redone", step.redoes)):
                    if n is not None:
                        by_number.setdefault(n, []).append((word, entry.n))
        return {n: tuple(marks) for n, marks in by_number.items()}


@dataclass(frozen=True, slots=True)
class Undone:
    """What was undone or redone. changes: in the order in which it was done; exact: whether every byte is as it was
    before, and not only the fields; over: newer changes that stay; warnings: sentences about the history.
    """

    changes: tuple[Standing, ...]
    exact: bool
    over: tuple[Standing, ...]
    text: str
    data: Data
    warnings: tuple[str, ...]


def at_least(rows: int) -> Enough:
    """So many entries are read."""
    return lambda history: history.rows >= rows


def read_history(path: str | Path, enough: Enough | None = None) -> History:
    """The history of a season file. Raises SeasonFileError if it or the season file cannot be read.

    enough: whether as much as was read from its end will do; without it, all is read.
    """
    return history_and_text(path, enough)[0]


def history_and_text(path: str | Path, enough: Enough | None = None) -> tuple[History, str]:
    """The history of a season file and the text it leads to. Arguments and errors as of `read_history`."""
    path = Path(path)
    text = read_text(path)
    for _ in range(_READINGS):
        history = _history(path, text, enough)
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
    figures: list[int] = []
    for file in (real, history_path(real)):
        try:
            status = file.stat()
        except OSError:
            figures += [0, 0, 0]
        else:
            figures += [status.st_mtime_ns, status.st_size, status.st_ino]
    return tuple(figures)


def undo_last(
    path: str | Path, steps: int = 1, *, who: str, when: datetime, check: Check | None = None
) -> Undone:
    """Undo the newest changes that stand, whoever made them: see `take_back`."""
    return take_back(path, "undo", newest("undo", steps), who=who, when=when, check=check)


def redo_last(
    path: str | Path, steps: int = 1, *, who: str, when: datetime, check: Check | None = None
) -> Undone:
    """Bring back the changes undone last, whoever undid them: see `take_back`."""
    return take_back(path, "redo", newest("redo", steps), who=who, when=when, check=check)


def take_back(
    path: str | Path, way: Way, choice: UndoChoice, *, who: str, when: datetime, check: Check | None = None
) -> Undone:
    """Undo or redo the changes that `choice` picks from the history as it is then, in its order, all of them or none.

    If the file is just as a change left it, its lines are put back exactly. If not, its fields get the values that
    they had before, provided that they still have those that the change gave them, and that no newer change
    touches them.
    who, when, check: as in `save_change`. Raises NothingToUndo, or SeasonFileError and then nothing is written.
    """
    path = Path(path)
    if when.utcoffset() is None:
        raise ValueError("the time of a change needs its offset from UTC")
    read_text(path)

    def work() -> Undone:
        before = read_text(path)
        history = _history(path, before, choice.enough)
        chosen = choice.pick(path, history)
        text, taken = before, []
        for standing in chosen:
            others = Others(_without(history.done, chosen), _without(history.undone, chosen))
            taken.append(taken_back(path, text, standing, others, way))
            text = taken[-1].text
        data = parse(path, text)
        made = Made(text, data, [one.step for one in taken])
        parted = parted_text(real_path(path))
        put_in_place(path, before, made, Note(_what(way, chosen), who, when), check)
        over = {standing.n: standing for one in taken for standing in one.over}
        exact = all(one.exact for one in taken)
        return Undone(tuple(chosen), exact, tuple(over.values()), text, data, (*history.warnings, *parted))

    return in_turn(real_path(path), who, work)


def _without(standings: Sequence[Standing], taken: Sequence[Standing]) -> tuple[Standing, ...]:
    numbers = {standing.n for standing in taken}
    return tuple(standing for standing in standings if standing.n not in numbers)


def _what(way: Way, chosen: Sequence[Standing]) -> str:
    named = [standing.what for standing in chosen[:_MOST_NAMED]]
    more = len(chosen) - len(named)
    return f"{way}: {'; '.join([*named, *([f'and {more} more'] if more else [])])}"


def _history(path: Path, text: str, enough: Enough | None = None) -> History:
    real = real_path(path)
    file = history_path(real)
    now = digest(text.encode())
    most = None if enough is None else FIRST_LINES
    try:
        while True:
            journal = read_journal(file, most)
            never = set(journal.never)
            if journal.entries and never_happened(real, journal.entries[-1], now):
                never.add(journal.entries[-1].n)
            history, unknown = _history_of(journal, never, now)
            if enough is None or most is None or not journal.begins:
                return history
            # What the lines that were read do not tell, older ones may: then those between are out.
            if enough(history) and not holds_any(file, journal.begins, [seen.encode() for seen in unknown]):
                return history
            most *= _MORE
    except OSError as error:
        raise refused(file, f"the history cannot be read: {reason(error)}") from error


def _history_of(journal: Journal, never: set[int], now: str) -> tuple[History, list[str]]:
    """The history, and the SHA-256 of what was seen and its entries do not tell."""
    happened = [entry for entry in journal.entries if entry.n not in never]
    held, unknown = held_and_unknown(happened, now)
    kept = set(map(id, held))
    done, undone = stacks(held)
    history = History(
        tuple(held),
        tuple(entry for entry in happened if id(entry) not in kept),
        tuple(entry for entry in journal.entries if entry.n in never),
        journal.shortened,
        tuple(done),
        tuple(undone),
        journal.warnings,
        journal.older,
    )
    return history, unknown
