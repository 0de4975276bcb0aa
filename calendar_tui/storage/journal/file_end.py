"""A long file of lines read from its end, so that the work grows with what is wanted and not with the file."""

from __future__ import annotations

import os
from collections.abc import Collection
from pathlib import Path

from calendar_tui.storage.disk.plain_file import open_plain

_BLOCK = 1 << 16


def last_lines(file: Path, most: int | None) -> tuple[list[bytes], int]:
    """The last lines of a file with their ends, and where in it they begin, 0 where these are all.

    most: how many; None for all. None are there if there is no file. Raises OSError.
    """
    try:
        handle = open_plain(file)
    except FileNotFoundError:
        return [], 0
    with os.fdopen(handle, "rb") as stream:
        begin = stream.seek(0, os.SEEK_END)
        tail = b""
        while begin and (most is None or tail.count(b"\n") <= most):
            size = min(begin, begin if most is None else max(_BLOCK, len(tail)))
            begin -= size
            stream.seek(begin)
            tail = stream.read(size) + tail
    lines = tail.splitlines(keepends=True)
    kept = lines if most is None else lines[-most:]
    return kept, begin + len(tail) - sum(map(len, kept))


def first_line(file: Path) -> bytes:
    """The first line of a file. Raises OSError."""
    with os.fdopen(open_plain(file), "rb") as stream:
        return stream.readline()


def holds_any(file: Path, end: int, words: Collection[bytes]) -> bool:
    """Whether any of the words stands in the first `end` bytes of a file. Raises OSError."""
    overlap = max(map(len, words), default=1) - 1
    with os.fdopen(open_plain(file), "rb") as stream:
        rest = b""
        while end > 0:
            block = stream.read(min(_BLOCK << 4, end))
            if not block:
                return False
            end -= len(block)
            if any(word in rest + block for word in words):
                return True
            rest = block[-overlap:] if overlap else b""
    return False
