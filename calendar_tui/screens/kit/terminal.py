"""The terminal under the full screen: stopped and gone on with by job control, told to end, or hung up.

Textual's driver is taken over where it would leave a terminal or a save in the middle:
a stop waits for the save that runs, since one who sleeps on the season's lock keeps everybody else from saving;
whoever was stopped by force may come back to a terminal that the shell has set otherwise;
and a terminal that was closed takes nothing more, which is no reason to hang.
"""

from __future__ import annotations

import asyncio
import signal
from collections.abc import Callable, Coroutine, Iterator
from contextlib import contextmanager
from typing import IO, TYPE_CHECKING, Any, Protocol, cast

from textual.drivers.linux_driver import LinuxDriver

if TYPE_CHECKING:
    from textual.app import App

ENDINGS = (signal.SIGTERM, signal.SIGHUP)
# A program that a signal has ended gives this and the signal's number as its exit status, by the custom of shells.
SIGNALLED = 128
# What of Textual is taken over that it keeps for itself, having no public name for it; a test looks that it is there.
PRIVATE = (
    "_app",  # whose saves a stop waits for
    "_file",  # all that is written goes through it, and may find the terminal closed
    "_sigtstp_application",  # Textual's stop, which waits for no save
    "_sigcont_application",  # its going on, which sets up nothing after a stop by force
    "_must_signal_resume",  # whether it was its own stop
)


class Ending(Protocol):
    """An app that finishes its saves before it is stopped or ends. ends: whether it is about to."""

    ends: bool

    async def after_saves(self, act: Callable[[], None]) -> None: ...

    async def end(self, status: int) -> None: ...


class Terminal(LinuxDriver):
    """Textual's driver for a terminal on Linux and macOS, with the above."""

    def __init__(self, app: App[Any], **how: Any) -> None:
        super().__init__(app, **how)
        self._file = cast("Any", TerminalLine(cast("IO[str]", self._file)))

    @property
    def _ending(self) -> Ending:
        return cast("Ending", self._app)

    def _sigtstp_application(self, *_: object) -> None:
        _soon(lambda: self._ending.after_saves(self._stop))

    def _stop(self) -> None:
        super()._sigtstp_application()

    def _sigcont_application(self, *_: object) -> None:
        if self._ending.ends:
            return
        if not self._must_signal_resume:  # not stopped by the handler above
            self.suspend_application_mode()
            self._must_signal_resume = True
        super()._sigcont_application()


class TerminalLine:
    """What is written to the terminal; goes nowhere once that is closed, as nobody is there to be told."""

    def __init__(self, file: IO[str]) -> None:
        self._file, self._open = file, True

    def write(self, text: str) -> None:
        self._try(lambda: self._file.write(text))

    def flush(self) -> None:
        self._try(self._file.flush)

    def fileno(self) -> int:
        return self._file.fileno()

    def _try(self, act: Callable[[], object]) -> None:
        if not self._open:
            return
        try:
            act()
        except OSError:
            self._open = False


@contextmanager
def ended_by_signals(app: Ending) -> Iterator[None]:
    """Within this, SIGTERM and SIGHUP end the app: its saves are finished and its terminal is put back."""

    def end(number: int, _: object) -> None:
        status = SIGNALLED + number
        _soon(lambda: app.end(status))

    before = {number: signal.signal(number, end) for number in ENDINGS}
    try:
        yield
    finally:
        for number, handler in before.items():
            signal.signal(number, handler)


def _soon(work: Callable[[], Coroutine[Any, Any, None]]) -> None:
    """Do work in the event loop; from a signal's handler, which interrupts it anywhere.

    Raises SystemExit before and after there is one: the terminal is not, or no more, the program's.
    """
    try:
        loop = asyncio.get_running_loop()
    except RuntimeError:
        raise SystemExit(SIGNALLED + signal.SIGTERM) from None
    loop.call_soon_threadsafe(lambda: loop.create_task(work()))
