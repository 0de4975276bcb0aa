"""Lines that hold one whole record each, and where they stand one below the other in `[records]`."""

from __future__ import annotations

import re
from collections.abc import Iterator
from functools import lru_cache
from typing import NamedTuple

from calendar_tui.season.kinds import RECORDS

# A record with at most plain tables in it, then the rest of a line that it has for itself: texts end where they begin, on the
# line, and no comment stands there. (No groups here: Python's `re` loses them inside of a possessive repeat.)
_INSIDE = r"""[^{}"'#\n]++|"(?:[^"\\\n]++|\\.)*+"(?!")|'[^'\n]*+'(?!')"""
RECORD = rf"\{{(?:{_INSIDE}|\{{(?:{_INSIDE})*+\}})*+\}}"
TO_LINE_END = r"[ \t]*+,[ \t]*+\r?\n"
_NO_ROW = r"[ \t]*+(?:#[^\n]*+)?\r?"
_OPENS = rf"(?:{_NO_ROW}\n)++(\w++)[ \t]*+=[ \t]*+\[[ \t]*+\r?\n"
_HEAD = re.compile(rf"^\[{RECORDS}\]{_OPENS}", re.MULTILINE)
_NEXT = re.compile(rf"[ \t]*+\]{_OPENS}")
_RUN = re.compile(rf"(?:[ \t]*+{RECORD}{TO_LINE_END}|{_NO_ROW}\n)*+")


class RowLines(NamedTuple):
    """The lines from below `key = [` in `[records]` to the last before one that is neither a row, blank nor a comment.

    start, end: their offsets in the text, with their line endings.
    """

    key: str
    start: int
    end: int
    lines: tuple[str, ...]


@lru_cache(maxsize=1)
def row_lines(text: str) -> tuple[RowLines, ...]:
    """The rows of the lists of `[records]`, as far as the lists are written so, one below the other; of the newest text they
    are remembered, which the next save begins with.

    Of a text that is TOML they are the first members of each list, in turn: without strings of several lines above them
    each line begins outside of strings, and `[records]` above a key is nothing but a table's name. Rows end where they begin,
    so what closes the list below them closes it, and the next list is a key of the same table.
    """
    head = _HEAD.search(text)
    if head is None or '"""' in text[: head.end()] or "'''" in text[: head.end()]:
        return ()
    return tuple(_lists(text, head))


def _lists(text: str, opens: re.Match[str] | None) -> Iterator[RowLines]:
    while opens is not None:
        start = opens.end()
        run = _RUN.match(text, start)
        end = run.end() if run else start
        yield RowLines(opens[1], start, end, tuple(text[start:end].split("\n")[:-1]))
        opens = _NEXT.match(text, end)


def is_row(line: str) -> bool:
    """Whether a line of `RowLines` holds a record."""
    return line.lstrip(" \t").startswith("{")
