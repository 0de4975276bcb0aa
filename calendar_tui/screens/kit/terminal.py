"""The terminal under the full screen: stopped and gone on with by job control, told to end, or hung up.

Textual's driver is taken over where it would leave a terminal or a save in the middle:
a stop waits for the save that runs, since one who sleeps on the season's lock keeps everybody else from saving;
whoever was stopped by force may come back to a terminal that the shell has set otherwise;
and a terminal that was closed takes nothing more, which is no reason to hang.
"""

from __future__ import annotations

import asyncio
import os
import signal
from collections.abc import Callable, Coroutine, Iterator
from contextlib import contextmanager
from functools import partial
from typing import IO, TYPE_CHECKING, Any, Protocol, cast

from textual.drivers import linux_driver
from textual.drivers.linux_driver import LinuxDriver

from calendar_tui.screens.kit.answers import ASK_BACKGROUND, MUTE, Reader

if TYPE_CHECKING:
    from textual.app import App

ENDINGS = (signal.SIGTERM, signal.SIGHUP)
# The shape of the cursor (DECSCUSR): a line that stands still; as the terminal has it by itself.
LINE_CURSOR, OWN_CURSOR = "\x1b[4 q", "\x1b[0 q"
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


class Painted(Protocol):
    """An app that draws for the background of its terminal."""

    def take_background(self, is_dark: bool) -> None: ...


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

    def start_application_mode(self) -> None:
        """As Textual does, with the terminal's own cursor in sight, a line that does not blink, for those who follow it."""
        super().start_application_mode()  # type: ignore[no-untyped-call]
        if self.input_tty:
            self.write((LINE_CURSOR if self._knows_more else "") + "\x1b[?25h")
            self.flush()

    def stop_application_mode(self) -> None:
        if self._knows_more:
            self.write(OWN_CURSOR)
        super().stop_application_mode()

    @property
    def _knows_more(self) -> bool:
        """Whether it is a terminal that takes what not all take."""
        return self.input_tty and not os.environ.get("TERM", "").startswith(MUTE)

    def ask_background(self) -> None:
        """Ask for the colour of the background, of a terminal that knows of such questions."""
        if self._knows_more:
            self.write(ASK_BACKGROUND)
            self.flush()

    def run_input_thread(self) -> None:
        # Textual makes the reader of keys by this name, and has no other place to take answers out of them.
        linux_driver.XTermParser = partial(Reader, self._take_background)  # type: ignore[assignment,attr-defined]
        super().run_input_thread()

    def _take_background(self, is_dark: bool) -> None:
        self._app.call_later(cast("Painted", self._app).take_background, is_dark)

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
        if self._must_signal_resume:
            super()._sigcont_application()
        else:  # not stopped by the handler above: not here either, as this may interrupt the drawing, which holds the lock of what is written
            _soon(self.take_up)

    async def take_up(self) -> None:
        """Draw all again on a terminal that the shell may have set otherwise."""
        if self._ending.ends:
            return
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
