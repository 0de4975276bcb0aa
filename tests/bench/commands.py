"""CPU time of whole commands and of a save, each to that of something that anyone can run beside it."""

from __future__ import annotations

import gc
import os
import subprocess
import sys
import time
import tomllib
from collections.abc import Callable, Iterator, Sequence
from datetime import UTC, datetime
from functools import partial
from pathlib import Path
from statistics import median

from calendar_tui.cli import GARBAGE_AFTER
from calendar_tui.planning.changes.ticks import tick_edits
from calendar_tui.season.edits import Change
from calendar_tui.season.reading import read_season
from calendar_tui.storage.opening import season_problems
from calendar_tui.storage.season_file import load, save_change
from tests.bench.big_season import example_today
from tests.bench.rows import Row

PROGRAM = str(Path(sys.executable).with_name("calendar-tui"))


def command_rows(small: Path, big: Path, rounds: int) -> Iterator[Row]:
    nothing = [sys.executable, "-c", "pass"]
    loading = [sys.executable, "-c", f"import tomllib; tomllib.load(open({str(big)!r}, 'rb'))"]
    for what, words, other, below in (
        ("`--version`, to `python -c pass`", ["--version"], nothing, 2.5),
        ("`week` of the example, to `python -c pass`", ["week", str(small)], nothing, 6),
        ("`week`, to loading the same file with tomllib", ["week", str(big)], loading, 0.9),
    ):
        ours, bare = _in_turn(partial(cpu_ms, [PROGRAM, *words]), partial(cpu_ms, other), rounds)
        yield Row(what, ours / bare, "x", below, f"{ours:.0f} ms to {bare:.0f} ms of CPU")


def week_row(observed: Path, bare: Path, rounds: int) -> Row:
    """The week of a season full of observations, to that of the same season without them."""
    ours, other = _in_turn(
        partial(cpu_ms, [PROGRAM, "week", str(observed)]),
        partial(cpu_ms, [PROGRAM, "week", str(bare)]),
        rounds,
    )
    what = "`week` beside 6,000 observations, to the same season without them"
    return Row(what, ours / other, "x", 1.3, f"{ours:.0f} ms to {other:.0f} ms of CPU")


def tick_row(path: Path, rounds: int) -> Row:
    """A tick as the full screen saves it, with the file as it was read before."""
    current = load(path)
    reading = read_season(current.data)
    tasks = iter(reading.readable.tasks[len(reading.readable.tasks) // 2 :])
    when, today = datetime(2026, 12, 8, 12, tzinfo=UTC), example_today()
    check = partial(season_problems, earlier=reading)

    def tick() -> None:
        nonlocal current
        change = Change("one tick", tick_edits([next(tasks)], today))
        saved = save_change(path, change, who="bench", when=when, check=check, loaded=current)
        current = load(path) if saved.n is None else type(current)(path, saved.text, saved.data)

    text, threshold = current.text, gc.get_threshold()
    gc.set_threshold(GARBAGE_AFTER)  # as in the program
    ours, bare = _in_turn(partial(_of_work, tick), partial(_of_work, lambda: tomllib.loads(text)), rounds)
    gc.set_threshold(*threshold)
    what = "one tick saved, checked and noted, to parsing the file with tomllib"
    return Row(what, ours / bare, "x", 0.6, f"{ours:.0f} ms to {bare:.0f} ms of CPU")


def cpu_ms(command: Sequence[str]) -> float:
    """ms of CPU."""
    env = {**os.environ, "CALENDAR_TUI_TODAY": example_today().isoformat()}
    env.pop("PYTHONDONTWRITEBYTECODE", None)  # what is installed has been compiled once
    process = subprocess.Popen(command, stdout=subprocess.DEVNULL, env=env)
    _, status, used = os.wait4(process.pid, 0)
    process.returncode = os.waitstatus_to_exitcode(status)
    if process.returncode:
        raise SystemExit(f"{' '.join(command)}: exit status {process.returncode}")
    return (used.ru_utime + used.ru_stime) * 1000


def _of_work(work: Callable[[], object]) -> float:
    """ms of CPU."""
    began = time.process_time()
    work()
    return (time.process_time() - began) * 1000


def _in_turn(ours: Callable[[], float], other: Callable[[], float], rounds: int) -> tuple[float, float]:
    """The medians of two measures that take turns; the first turn of each only warms the caches."""
    pairs = [(ours(), other()) for _ in range(rounds + 1)][1:]
    return median(a for a, _ in pairs), median(b for _, b in pairs)
