"""Which changes an undo or redo takes: the newest, whoever made them; those of given numbers; or one's own first."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from datetime import datetime, timedelta
from pathlib import Path
from typing import TYPE_CHECKING

from calendar_tui.storage.problems import FileProblem, NothingToUndo
from calendar_tui.storage.taking_back import DONE, Way
from calendar_tui.storage.whole_file import refused

if TYPE_CHECKING:
    from calendar_tui.storage.history import History
    from calendar_tui.storage.stacks import Standing

# The changes to take of a history, in that order; raises SeasonFileError where they are not there.
Choose = Callable[[Path, "History"], Sequence["Standing"]]
# One's own change is taken from below newer ones of other people only while it is fresh: an older one is hardly meant.
FRESH = timedelta(days=1)


def newest(way: Way, count: int) -> Choose:
    """The `count` changes that stand, or are undone, last; the last of them first."""
    if count < 1:
        raise ValueError(f"{count} steps cannot be {DONE[way]}; take 1 or more")
    return lambda path, history: _enough(path, history, way, count)[:count]


def own_first(way: Way, count: int, who: str, now: datetime) -> Choose:
    """A person's own changes of the last day, the last of them first; then the others, whosever they are."""

    def choose(path: Path, history: History) -> Sequence[Standing]:
        there = _enough(path, history, way, count)
        own = [s for s in there if s.who == who and s.when > now - FRESH]
        return [*own, *(s for s in there if s not in own)][:count]

    return choose


def numbered(way: Way, numbers: Sequence[int], whats: Sequence[str] = ()) -> Choose:
    """The changes of these numbers, in this order. whats: what each was known as, for the message where one is gone."""

    def choose(path: Path, history: History) -> Sequence[Standing]:
        there = {standing.n: standing for standing in history.steps(way)}
        for at, n in enumerate(numbers):
            if n not in there:
                state = "does not stand" if way == "undo" else "is not undone"
                told = f"change {n} ({whats[at]}) {state} any more" if whats else f"change {n} {state}"
                raise refused(path, f"{told}; nothing is {DONE[way]}")
        return [there[n] for n in numbers]

    return choose


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
