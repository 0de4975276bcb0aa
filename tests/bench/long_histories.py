"""Reading, undoing and saving where the history has many lines."""

from __future__ import annotations

import time
from collections.abc import Callable, Iterator
from pathlib import Path
from statistics import median

from calendar_tui.season.edits import Change, Edit
from calendar_tui.storage.history.undo import at_least, read_history, take_back
from calendar_tui.storage.history.undo_choice import own_first
from calendar_tui.storage.season_file import save_change
from tests.bench.long_history import LAST, long_history
from tests.bench.rows import Row

ENTRIES = 100_000


def history_rows(path: Path, rounds: int) -> Iterator[Row]:
    """CPU time, in ms, beside a history of so many changes."""
    long_history(path, ENTRIES)
    note = f"of a history of {ENTRIES:,} changes"
    yield Row(
        "the newest 20 changes read",
        _cpu_ms(lambda: read_history(path, at_least(20)), rounds),
        "ms",
        50,
        note,
    )
    mine = own_first("undo", 1, "ana", LAST)
    undo = _cpu_ms(lambda: take_back(path, "undo", mine, who="ana", when=LAST), rounds)
    yield Row("one's own newest change undone", undo, "ms", 100, note)
    areas = iter(range(1, rounds + 1))

    def save() -> None:
        edit = Edit("set", "place", ("F1",), ("area_m2",), next(areas))
        save_change(path, Change("another area", (edit,)), who="ana", when=LAST)

    yield Row("one change saved", _cpu_ms(save, rounds), "ms", 50, note)


def _cpu_ms(work: Callable[[], object], times: int) -> float:
    spent = []
    for _ in range(times):
        began = time.process_time()
        work()
        spent.append((time.process_time() - began) * 1000)
    return median(spent)
