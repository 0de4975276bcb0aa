"""Lines that hold one whole record each, and where they stand one below the other in `[records]`."""

from __future__ import annotations

import re
from typing import NamedTuple

from calendar_tui.season.kinds import RECORDS

# A record with nothing in braces in it, then the rest of a line that it has for itself: texts end where they begin, on the
# line, and no comment stands there. (No groups here: Python's `re` loses them inside of a possessive repeat.)
RECORD = r"""\{(?:[^{}"'#\n]++|"(?:[^"\\\n]++|\\.)*+"(?!")|'[^'\n]*+'(?!'))*+\}"""
TO_LINE_END = r"[ \t]*+,[ \t]*+\r?\n"
_NO_ROW = r"[ \t]*+(?:#[^\n]*+)?\r?"
_HEAD = re.compile(rf"^\[{RECORDS}\](?:{_NO_ROW}\n)++(\w++)[ \t]*+=[ \t]*+\[[ \t]*+\r?\n", re.MULTILINE)
_RUN = re.compile(rf"(?:[ \t]*+{RECORD}{TO_LINE_END}|{_NO_ROW}\n)*+")


class RowLines(NamedTuple):
    """The lines from below `key = [` in `[records]` to the last before one that is neither a row, blank nor a comment.

    start, end: their offsets in the text, with their line endings.
    """

    key: str
    start: int
    end: int
    lines: tuple[str, ...]


def row_lines(text: str) -> RowLines | None:
    """The rows of the first list of `[records]`; None where it is not written so.

    Of a text that is TOML they are the first members of that list, in turn: without strings of several lines above them
    each line begins outside of strings, and `[records]` above a key is nothing but a table's name.
    """
    head = _HEAD.search(text)
    if head is None or '"""' in text[: head.end()] or "'''" in text[: head.end()]:
        return None
    run = _RUN.match(text, head.end())
    end = run.end() if run else head.end()
    return RowLines(head[1], head.end(), end, tuple(text[head.end() : end].split("\n")[:-1]))


def is_row(line: str) -> bool:
    """Whether a line of `RowLines` holds a record."""
    return line.lstrip(" \t").startswith("{")
