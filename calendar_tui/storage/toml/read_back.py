"""What a new text says, read back; records whose lines stand in it as they were are not parsed again.

A row of `RowLines` is a whole member of its list, whatever stands around it: no string, comment, list or table begins on its
line and ends elsewhere. So a text says the same with a row in place of another member there, and the row says what it
said before. In the text that is parsed each such row is a number, its place among the records that are known.
"""

from __future__ import annotations

from typing import TYPE_CHECKING, Any

import tomli

from calendar_tui.season.kinds import IN_RECORDS, RECORDS, by_kind
from calendar_tui.storage.toml.row_lines import is_row, row_lines
from calendar_tui.storage.toml.values import data_in

if TYPE_CHECKING:
    from calendar_tui.season.edits import Data


def read_back(new: str, old: str, data: Data) -> Data:
    """The data in a new text. data: those in the old one, which share the tables of rows that stand in both.

    Raises as `data_in` does.
    """
    rows = row_lines(new)
    known = _known(old, data) if rows else {}
    if rows is None or not any(map(known.__contains__, rows.lines)):
        return data_in(new)
    stay = [line for line in rows.lines if line in known]
    places = iter(range(len(stay)))
    short = [f"{next(places)}," if line in known else line for line in rows.lines]
    read = tomli.loads("\n".join([new[: rows.start] + short[0], *short[1:], new[rows.end :]]))
    listed = read[RECORDS][rows.key]
    size = sum(map(is_row, rows.lines))
    listed[:size] = [known[stay[row]] if type(row) is int else row for row in listed[:size]]
    return by_kind(read)


def _known(old: str, data: Data) -> dict[str, Any]:
    """The records of the old text by their lines; none where lines and records do not go together."""
    rows = row_lines(old)
    if rows is None or (RECORDS, rows.key) not in IN_RECORDS.values() or rows.key in data.get(RECORDS, {}):
        return {}
    lines, records = list(filter(is_row, rows.lines)), data.get(rows.key, [])
    together = len(lines) <= len(records) and all(map(_names, lines, records))
    return dict(zip(lines, records, strict=False)) if together else {}


def _names(line: str, record: Any) -> bool:
    """Whether a row names the record that is taken for its own."""
    return isinstance(record, dict) and f'"{record.get("id")}"' in line
