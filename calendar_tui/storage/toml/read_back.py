"""What a new text says, read back; records whose lines stand in it as they were are not parsed again.

A row of `RowLines` is a whole member of its list, whatever stands around it: no string, comment, list or table begins on its
line and ends elsewhere. So a text says the same with a row in place of another member there, and the row says what it
said before. In the text that is parsed all such rows that follow one another are a number: which stretch of known records.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from itertools import groupby
from typing import TYPE_CHECKING, Any

import tomli

from calendar_tui.season.kinds import IN_RECORDS, RECORDS, by_kind, identity_keys
from calendar_tui.storage.toml.row_lines import is_row, row_lines
from calendar_tui.storage.toml.values import data_in

if TYPE_CHECKING:
    from calendar_tui.season.edits import Data


def read_back(new: str, old: str, data: Data) -> Data:
    """The data in a new text. data: those in the old one, which share the tables of rows that stand in both.

    Raises as `data_in` does.
    """
    known = {rows.key: _known(rows.key, rows.lines, data) for rows in row_lines(old)}
    short: list[str] = []
    stretches: list[list[Any]] = []
    sizes: dict[str, int] = {}
    done = 0
    for rows in row_lines(new):
        lines, found = _shortened(rows.lines, known.get(rows.key, {}), len(stretches))
        short += [new[done : rows.start], *(f"{line}\n" for line in lines)]
        stretches += found
        sizes[rows.key] = len(found) + sum(map(is_row, lines))
        done = rows.end
    if not stretches:
        return data_in(new)
    read = tomli.loads("".join([*short, new[done:]]))
    for key, size in sizes.items():
        listed = read[RECORDS][key]
        # A number behind the rows is one that was written there.
        rows_read = [stretches[row] if type(row) is int else [row] for row in listed[:size]]
        listed[:size] = [record for some in rows_read for record in some]
    return by_kind(read)


def _shortened(
    lines: Sequence[str], known: Mapping[str, Any], first: int
) -> tuple[list[str], list[list[Any]]]:
    """The lines with a number, counted from `first`, for each stretch of known ones, and the records of these."""
    short: list[str] = []
    stretches: list[list[Any]] = []
    for stay, some in groupby(lines, known.__contains__):
        if stay:
            short.append(f"{first + len(stretches)},")
            stretches.append([known[line] for line in some])
        else:
            short += some
    return short, stretches


def _known(kind: str, lines: Sequence[str], data: Data) -> dict[str, Any]:
    """The records of a list of the old text by their lines; none where lines and records do not go together."""
    if kind not in IN_RECORDS or kind in data.get(RECORDS, {}):
        return {}
    rows, records, keys = list(filter(is_row, lines)), data.get(kind, []), identity_keys(kind)
    together = len(rows) <= len(records) and all(
        isinstance(record, dict) and all(_written(record.get(key)) in row for key in keys)
        for row, record in zip(rows, records, strict=False)
    )
    return dict(zip(rows, records, strict=False)) if together else {}


def _written(value: Any) -> str:
    """A value that names a record as its row has it."""
    return f'"{value}"' if isinstance(value, str) else str(value)
