"""Standard output that may be lost on the way: a reader that has left, a full disk, a stream that is closed.

A command goes on without it: what is saved without asking is saved, and told on standard error. What would have to be
asked is not saved (`command_input.ask`).
"""

from __future__ import annotations

import contextlib
import errno
import io
import os
import sys
from collections.abc import Iterator
from typing import Any, TextIO


class Output:
    """A text stream in place of sys.stdout. lost: why it took no more; saved: what the command has saved, in words.

    A stream that is closed, None, has the attributes of an empty one.
    """

    def __init__(self, stream: TextIO | None) -> None:
        self._stream = io.StringIO() if stream is None else stream
        self.lost = OSError(errno.EBADF, "it is closed") if stream is None else None
        self.saved: list[str] = []

    def write(self, text: str) -> int:
        if self.lost is None:
            try:
                return self._stream.write(text)
            except OSError as error:
                self._lose(error)
        return len(text)

    def flush(self) -> None:
        if self.lost is None:
            try:
                self._stream.flush()
            except OSError as error:
                self._lose(error)

    def _lose(self, error: OSError) -> None:
        self.lost = error
        # What is still in the stream's buffer goes nowhere: the interpreter would try to write it once more at its end.
        if self._stream is sys.__stdout__ and sys.__stdout__ is not None:
            os.dup2(os.open(os.devnull, os.O_WRONLY), sys.__stdout__.fileno())

    def __getattr__(self, name: str) -> Any:
        """All else is the stream's own."""
        return getattr(self._stream, name)


@contextlib.contextmanager
def kept_going() -> Iterator[Output]:
    """Put an Output in place of sys.stdout, and the stream back at the end, with nothing left to be written."""
    output = Output(sys.stdout)
    with contextlib.redirect_stdout(output):
        try:
            yield output
        finally:
            output.flush()


def note_saved(what: str) -> None:
    """Remember what was saved, for a person who cannot be told of it on standard output."""
    if isinstance(sys.stdout, Output):
        sys.stdout.saved.append(what)


def is_lost() -> bool:
    """Whether standard output, with all that is printed so far, reaches nobody."""
    if not isinstance(sys.stdout, Output):
        return sys.stdout is None
    sys.stdout.flush()
    return sys.stdout.lost is not None


def lost_text(output: Output) -> str:
    """What is told on standard error of output that was lost; "" for a reader that has seen enough, such as head."""
    if output.lost is None or isinstance(output.lost, BrokenPipeError):
        return ""
    saved = f"Saved: {'; '.join(output.saved)}." if output.saved else "Nothing was saved."
    return f"calendar-tui: the output could not be written: {output.lost.strerror}. {saved}"
