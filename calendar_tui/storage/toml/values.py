"""The plain data in the text of a file."""

from __future__ import annotations

import re
from functools import lru_cache
from typing import TYPE_CHECKING

import tomli

from calendar_tui.season.kinds import by_kind

if TYPE_CHECKING:
    from calendar_tui.season.edits import Data

_MULTILINE = ('"""', "'''")


@lru_cache(maxsize=1)
def data_in(text: str) -> Data:
    """The data in TOML text, each kind of record under its own name, to be looked at and not changed.

    The newest text is remembered, so that no step of a save parses again what the step before it has parsed.
    Raises tomli.TOMLDecodeError; ValueError or RecursionError for what is too long or too deep.
    """
    return by_kind(tomli.loads(text))


def without_lines(text: str, kind: str) -> str:
    """The text with as many empty lines in place of those records, so that all else keeps its line.

    The text as it is where they stand in another form, or where it has text of several lines, in which anything may stand.
    """
    if any(quotes in text for quotes in _MULTILINE):
        return text
    rows = re.search(rf"^{kind} = \[\n((?:[ \t]+[{{#][^\n]*+\n)*+)\]", text, re.MULTILINE)
    if rows is None:
        return text
    empty = "\n" * rows[1].count("\n")
    return f"{text[: rows.start(1)]}{empty}{text[rows.end(1) :]}"
