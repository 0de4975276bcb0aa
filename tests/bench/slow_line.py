"""A key held down over a slow line, and a terminal that is resized all the time: python -m tests.bench.slow_line [SEASON].

The line takes so many bytes a second and no more, as a bad connection does. What is told is by the clock, and is in no test;
`tests/screens/test_slow_line.py` counts the bytes of the same keys.
"""

from __future__ import annotations

import fcntl
import os
import shutil
import signal
import struct
import sys
import tempfile
import termios
import time
from collections.abc import Iterator
from pathlib import Path
from select import select

from tests.bench.__main__ import TODAY
from tests.bench.big_season import EXAMPLE
from tests.bench.commands import PROGRAM
from tests.bench.line import KEYS, Line

RATE, HELD_S, REPEATS = 30_000, 2.0, 30
SLICE_S = 0.05
OPENED = {"season": "", "today": "t", "week": "w", "lamps": "l", "load": "h", "cohort": "Enter", "help": "?"}
SIZES = [(width, height) for width in (40, 61, 80, 133, 200) for height in (12, 20, 24, 50)]


def main() -> None:
    example = Path(sys.argv[1]) if len(sys.argv) > 1 else EXAMPLE
    with tempfile.TemporaryDirectory() as folder:
        season = Path(shutil.copy(example, folder))
        print(
            f"| {RATE:,} bytes/s, {REPEATS} keys/s for {HELD_S:g} s | bytes | still coming after the last key |"
        )
        print("| --- | ---: | ---: |")
        for view, opening in OPENED.items():
            for key in ("Down", "PgDn"):
                size, behind_s = _held(season, opening, key)
                print(f"| {key} in {view} | {size:,} | {behind_s:.2f} s |", flush=True)
        print(f"resized {_resized(season)} times: it draws and quits")


def _held(season: Path, opening: str, key: str) -> tuple[int, float]:
    """The bytes of a key held down in a view, and for how long they still come once it is let go, in s."""
    with Line([PROGRAM, str(season)], TODAY) as line:
        if opening:
            line.press(opening)
        size, began, pressed = 0, time.perf_counter(), 0
        last = began
        for now in _slices():
            while pressed < min((now - began) * REPEATS, HELD_S * REPEATS):
                os.write(line.fd, KEYS[key])
                pressed += 1
            data = _taken(line.fd, int(RATE * SLICE_S))
            size, last = size + data, now if data else last
            if pressed >= HELD_S * REPEATS and now - max(last, began + HELD_S) > 1:
                return size, max(last - began - HELD_S, 0.0)
    raise AssertionError


def _slices() -> Iterator[float]:
    while True:
        time.sleep(SLICE_S)
        yield time.perf_counter()


def _taken(fd: int, most: int) -> int:
    """How many bytes came over the line, of so many that it takes in one slice."""
    size = 0
    while size < most and select([fd], [], [], 0)[0]:
        try:
            size += len(os.read(fd, most - size))
        except OSError:  # Linux says so where the other end is closed
            break
    return size


def _resized(season: Path) -> int:
    """Resize it some hundred times while keys come, then leave it. How often; raises where it does not end well."""
    count = 0
    with Line([PROGRAM, str(season)], TODAY) as line:
        for key in ("Down", "w", "Down", "Escape", "Enter", "Escape", "t", "PgDn", "Escape"):
            for columns, rows in SIZES:
                fcntl.ioctl(line.fd, termios.TIOCSWINSZ, struct.pack("HHHH", rows, columns, 0, 0))
                os.kill(line.pid, signal.SIGWINCH)
                _taken(line.fd, 1 << 16)
                count += 1
            line.press(key)
        fcntl.ioctl(line.fd, termios.TIOCSWINSZ, struct.pack("HHHH", 24, 80, 0, 0))
        os.kill(line.pid, signal.SIGWINCH)
        line.press("Down")
        line.press("q")
        _ended_well(line)
    return count


def _ended_well(line: Line) -> None:
    until = time.perf_counter() + 10
    while not (ended := os.waitid(os.P_PID, line.pid, os.WEXITED | os.WNOHANG | os.WNOWAIT)):
        _taken(line.fd, 1 << 16)
        if time.perf_counter() > until:
            raise SystemExit("it does not end after so many sizes")
    if ended.si_status:
        raise SystemExit(f"it ended badly: {line.seen[-2000:].decode(errors='replace')}")


if __name__ == "__main__":
    main()
