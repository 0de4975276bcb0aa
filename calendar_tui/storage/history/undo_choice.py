"""Which changes an undo or redo takes: the newest, whoever made them; those of given numbers; or one's own first."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import dataclass
from datetime import datetime, timedelta
from pathlib import Path
from typing import TYPE_CHECKING

from calendar_tui.storage.disk.whole_file import refused
from calendar_tui.storage.history.taking_back import DONE, Way
from calendar_tui.storage.problems import FileProblem, NothingToUndo

if TYPE_CHECKING:
    from calendar_tui.storage.history.stacks import Standing
    from calendar_tui.storage.history.undo import History

# Whether as much of a history as was read from its end will do.
Enough = Callable[["History"], bool]
# One's own change is taken from below newer ones of other people only while it is fresh: an older one is hardly meant.
FRESH = timedelta(days=1)


@dataclass(frozen=True, slots=True)
class UndoChoice:
    """enough: whether the changes meant are among what was read; pick: these changes of a history, in the order in which
    they are to be taken. It raises SeasonFileError where they are not there.
    """

    enough: Enough
    pick: Callable[[Path, History], Sequence[Standing]]


def newest(way: Way, count: int) -> UndoChoice:
    """The `count` changes that stand, or are undone, last; the last of them first."""
    if count < 1:
        raise ValueError(f"{count} steps cannot be {DONE[way]}; take 1 or more")
    return UndoChoice(
        lambda history: _all_known(history, history.steps(way)[-count:], count),
        lambda path, history: _enough(path, history, way, count)[:count],
    )


def own_first(way: Way, count: int, who: str, now: datetime) -> UndoChoice:
    """A person's own changes of the last day, the last of them first; then the others, whosever they are."""

    def own(standing: Standing) -> bool:
        return standing.who == who and standing.when > now - FRESH

    def order(history: History) -> list[Standing]:
        there = history.steps(way)[::-1]
        return sorted(there, key=lambda standing: not own(standing))[:count]

    def enough(history: History) -> bool:
        chosen = order(history)
        read = (*history.entries, *history.gone, *history.never)
        far = all(map(own, chosen)) or any(entry.when <= now - FRESH for entry in read)
        return far and _all_known(history, chosen, count)

    def pick(path: Path, history: History) -> Sequence[Standing]:
        _enough(path, history, way, count)
        return order(history)

    return UndoChoice(enough, pick)


def numbered(way: Way, numbers: Sequence[int], whats: Sequence[str] = ()) -> UndoChoice:
    """The changes of these numbers, in this order. whats: what each was known as, for the message where one is gone."""

    def enough(history: History) -> bool:
        chosen = [standing for standing in history.steps(way) if standing.n in numbers]
        return _all_known(history, chosen, len(numbers))

    def pick(path: Path, history: History) -> Sequence[Standing]:
        there = {standing.n: standing for standing in history.steps(way)}
        for at, n in enumerate(numbers):
            if n not in there:
                what = f" ({whats[at]})" if whats else ""
                raise refused(path, f"{_why_not(history, way, n, what)}; nothing is {DONE[way]}")
        return [there[n] for n in numbers]

    return UndoChoice(enough, pick)


def _why_not(history: History, way: Way, n: int, what: str) -> str:
    """Why the change of a number is none of those that can be taken. what: as which it was, behind its number."""
    if not what and n not in {entry.n for entry in (*history.entries, *history.gone, *history.never)}:
        moved = f"; older changes went to {history.shortened.moved_to}" if history.shortened else ""
        return f"there is no change {n} in its history{moved}"
    state = "does not stand" if way == "undo" else "is not undone"
    return f"change {n}{what} {state}{' any more' if what else ''}"


def _all_known(history: History, chosen: Sequence[Standing], count: int) -> bool:
    """Whether so many changes are chosen, and each with the entry that made it."""
    first = min((entry.n for entry in (*history.entries, *history.gone)), default=0)
    return len(chosen) == count and all(standing.n >= first for standing in chosen)


def _enough(path: Path, history: History, way: Way, count: int) -> Sequence[Standing]:
    """All changes that can be taken, the last first. Raises where there are fewer than `count`."""
    there = history.steps(way)
    if len(there) >= count:
        return there[::-1]
    moved = history.shortened
    beyond = (
        f"; older changes went to {moved.moved_to} and cannot be undone" if moved and way == "undo" else ""
    )
    if not there:
        raise NothingToUndo([FileProblem(str(path), None, f"there is nothing to {way}{beyond}")])
    many = f"{len(there)} change{' can' if len(there) == 1 else 's can'} be {DONE[way]}"
    raise refused(path, f"only {many}, and {count} were asked for, so nothing is {DONE[way]}{beyond}")
