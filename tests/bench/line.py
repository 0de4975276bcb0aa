"""A program on a pseudo-terminal of its own: what each key costs, in bytes over the line, in time, and in work."""

from __future__ import annotations

import fcntl
import os
import pty
import select
import signal
import struct
import termios
import time
from collections.abc import Mapping, Sequence
from types import TracebackType
from typing import NamedTuple

KEYS = {
    "Up": b"\x1b[A",
    "Down": b"\x1b[B",
    "Right": b"\x1b[C",
    "Left": b"\x1b[D",
    "PgUp": b"\x1b[5~",
    "PgDn": b"\x1b[6~",
    "Home": b"\x1b[H",
    "End": b"\x1b[F",
    "Enter": b"\r",
    "Escape": b"\x1b",
    "Space": b" ",
}
# What a usual terminal answers: its kind, and that it can hold a frame back until it is whole.
ANSWERS = {b"\x1b[c": b"\x1b[?62;22c", b"\x1b[?2026$p": b"\x1b[?2026;2$y"}
TERMINAL = {"TERM": "xterm-256color", "LANG": "C.UTF-8", "LC_ALL": "C.UTF-8"}
ASIDE = ("COLORTERM", "NO_COLOR", "COLUMNS", "LINES", "TERM_PROGRAM", "PYTHONDONTWRITEBYTECODE")
QUIET_S, START_QUIET_S, LONGEST_S = 0.3, 0.8, 20.0


class Cost(NamedTuple):
    """ms: until the last byte before the line fell quiet, 0 where none came; bytes: how many were sent.

    cpu_ms: the program's own work, in all its threads, until the line fell quiet.
    """

    ms: float
    bytes: int
    cpu_ms: float


class Line:
    """The program's terminal. `start` is the cost of its first picture; on leaving the program is ended.

    picture_cpu_ms: the program's work until the first picture was whole: until `last_word` stood in it.
    """

    def __init__(
        self,
        command: Sequence[str],
        env: Mapping[str, str],
        columns: int = 80,
        rows: int = 24,
        last_word: bytes = b"quit",
    ) -> None:
        environment = {k: v for k, v in os.environ.items() if k not in ASIDE} | TERMINAL | dict(env)
        began = time.perf_counter()
        self.pid, self.fd = pty.fork()
        if self.pid == 0:
            fcntl.ioctl(0, termios.TIOCSWINSZ, struct.pack("HHHH", rows, columns, 0, 0))
            os.execvpe(command[0], list(command), environment)
        self.seen, self._last_word, self.picture_cpu_ms = b"", last_word, 0.0
        self.start = self._listen(began, START_QUIET_S)

    def press(self, key: str) -> Cost:
        """Press a key, by its name or as the character it types."""
        began = time.perf_counter()
        os.write(self.fd, KEYS.get(key, key.encode()))
        return self._listen(began, QUIET_S)

    def _listen(self, began: float, quiet: float) -> Cost:
        last, size, worked = began, 0, self._cpu_ms()
        while select.select([self.fd], [], [], quiet if size else LONGEST_S / 4)[0]:
            try:
                data = os.read(self.fd, 1 << 16)
            except OSError:  # Linux says so where the other end is closed
                break
            if not data or time.perf_counter() - began > LONGEST_S:
                break
            last = time.perf_counter()
            size += len(data)
            self.seen += data
            if not self.picture_cpu_ms and self._last_word in self.seen:
                self.picture_cpu_ms = self._cpu_ms()
            for question, answer in ANSWERS.items():
                if question in data:
                    os.write(self.fd, answer)
        return Cost((last - began) * 1000, size, self._cpu_ms() - worked)

    def _cpu_ms(self) -> float:
        """What the program has worked so far; Linux has a clock for each process (clock_getcpuclockid)."""
        return time.clock_gettime(~self.pid << 3 | 2) * 1000

    def __enter__(self) -> Line:
        return self

    def __exit__(
        self, kind: type[BaseException] | None, error: BaseException | None, trace: TracebackType | None
    ) -> None:
        os.kill(self.pid, signal.SIGKILL)
        os.waitpid(self.pid, 0)
        os.close(self.fd)
