"""The program on a pseudo-terminal of its own. Nothing depends on timing: what is waited for is seen in what it sends."""

from __future__ import annotations

import fcntl
import os
import pty
import re
import select
import signal
import struct
import sys
import termios
import time
from pathlib import Path
from types import TracebackType

# How long a test waits before it fails, in seconds; a busy machine is far quicker.
LIMIT_S = 90.0
STEERING = re.compile(rb"\x1b\[[0-?]*[ -/]*[@-~]|\x1b[()][A-Z0-9]|\x1b[=>]")
# What a usual terminal answers: its kind, and that it can hold a frame back until it is whole.
ANSWERS = {b"\x1b[c": b"\x1b[?62;22c", b"\x1b[?2026$p": b"\x1b[?2026;2$y"}
ASIDE = ("COLORTERM", "NO_COLOR", "COLUMNS", "LINES", "TERM_PROGRAM", "CALENDAR_TUI_TODAY")


class OnTerminal:
    """A command running on a terminal of 80 by 24 cells. sent: all that it has sent; status: as waitpid gave it."""

    def __init__(self, *words: str | Path, env: dict[str, str | None] | None = None, code: str = "") -> None:
        """code: in Python, run in place of the program."""
        command = [sys.executable, *(("-c", code) if code else ("-m", "calendar_tui")), *map(str, words)]
        own = {"TERM": "xterm-256color", "LANG": "C.UTF-8", "LC_ALL": "C.UTF-8", **(env or {})}
        kept = {k: v for k, v in os.environ.items() if k not in (*ASIDE, *own)}
        environment = kept | {k: v for k, v in own.items() if v is not None}
        self.sent, self._from, self._closed = b"", 0, False
        self.status: int | None = None
        self.pid, self.fd = pty.fork()
        if self.pid == 0:
            signal.signal(signal.SIGINT, signal.SIG_DFL)  # as a shell starts it, whoever runs the tests
            fcntl.ioctl(0, termios.TIOCSWINSZ, struct.pack("HHHH", 24, 80, 0, 0))
            os.execvpe(command[0], command, environment)
        self.modes = termios.tcgetattr(self.fd)

    def see(self, marker: str) -> str:
        """What was drawn since the last marker that was seen, up to this one and a little beyond."""
        until = time.monotonic() + LIMIT_S
        while marker not in (text := self._text()):
            assert self._read(until), f"{marker!r} does not come in {text[-2000:]!r}"
        self._from = len(self.sent)
        return text

    def sends(self, what: bytes, times: int) -> None:
        """Wait until the program has sent this so many times since it began; the next marker is looked for behind it."""
        until = time.monotonic() + LIMIT_S
        while self.sent.count(what) < times:
            assert self._read(until), f"{what!r} came {self.sent.count(what)} times"
        self._from = max(self._from, self.sent.rindex(what))

    def press(self, keys: str | bytes) -> None:
        os.write(self.fd, keys if isinstance(keys, bytes) else keys.encode())

    def kill(self, number: int) -> None:
        os.kill(self.pid, number)

    def kill_until(self, number: int, sends: bytes) -> None:
        """Send a signal again and again until the program sends this: two that come at once may count as one."""
        until = time.monotonic() + LIMIT_S
        while sends not in self.sent:
            assert time.monotonic() < until, f"{sends!r} does not come"
            os.kill(self.pid, number)
            self._read(time.monotonic() + 0.2)

    def stopped(self) -> bytes:
        """Wait until the program is stopped; gives all that it sent before. What is seen next is sent after that."""
        self._wait(os.WUNTRACED, os.WIFSTOPPED)
        sent = self._drained()
        self._from = len(sent)
        return sent

    def ended(self) -> tuple[int, str]:
        """Wait until the program ends; gives its exit status, negative for a signal, and all that it has drawn."""
        self.status = self._wait(0, lambda status: not os.WIFSTOPPED(status))
        return os.waitstatus_to_exitcode(self.status), self._plain(self._drained())

    def close(self) -> None:
        """Take the terminal away, as when a connection breaks."""
        os.close(self.fd)
        self._closed = True

    def _wait(self, how: int, fits: object) -> int:
        assert callable(fits)
        until = time.monotonic() + LIMIT_S
        while True:
            pid, status = os.waitpid(self.pid, os.WNOHANG | how)
            if pid and fits(status):
                return status
            assert time.monotonic() < until, f"still running: {self._text()[-2000:]!r}"
            self._read(time.monotonic() + 0.05)  # a program whose terminal takes nothing more would hang

    def _drained(self) -> bytes:
        while not self._closed and select.select([self.fd], [], [], 0)[0]:
            if not self._read(time.monotonic() + 1):
                break
        return self.sent

    def _read(self, until: float) -> bool:
        """Read what is there, or wait for it; False where nothing came until then, or nothing comes any more."""
        if self._closed:
            time.sleep(0.05)
            return False
        if not select.select([self.fd], [], [], max(until - time.monotonic(), 0))[0]:
            return False
        try:
            data = os.read(self.fd, 1 << 16)
        except OSError:  # Linux says so where the other end is closed
            return False
        self.sent += data
        for question, answer in ANSWERS.items():
            if question in data:
                os.write(self.fd, answer)
        return bool(data)

    def _text(self) -> str:
        return self._plain(self.sent[self._from :])

    @staticmethod
    def _plain(sent: bytes) -> str:
        return STEERING.sub(b"", sent).decode(errors="replace")

    def __enter__(self) -> OnTerminal:
        return self

    def __exit__(
        self, kind: type[BaseException] | None, error: BaseException | None, trace: TracebackType | None
    ) -> None:
        if self.status is None:
            os.kill(self.pid, signal.SIGKILL)
            os.waitpid(self.pid, 0)
        if not self._closed:
            os.close(self.fd)
