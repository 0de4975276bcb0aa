"""The lines of a table that comes from elsewhere, and the cells of a line: marks, ends of lines and separators, whoever wrote it."""

from __future__ import annotations

import csv
import re
from collections.abc import Mapping

from calendar_tui.season.readers import Unreadable

BOM = "\ufeff"
SEPARATORS: Mapping[str, str] = {"comma": ",", "semicolon": ";", "tab": "\t"}
_QUOTED = re.compile(r'"[^"]*"')


def file_lines(file_text: str) -> list[str]:
    """The lines without their ends and without a byte order mark; line 1 is the first."""
    plain = file_text.removeprefix(BOM).replace("\r\n", "\n").replace("\r", "\n")
    return plain.removesuffix("\n").split("\n")


def separator_of(line: str) -> str:
    """The separator that a line of headings has most of, outside quotes; of two alike the one that is no decimal mark."""
    return max([*SEPARATORS.values()][::-1], key=_QUOTED.sub("", line).count)


def line_cells(line: str, separator: str) -> list[str]:
    """The cells of one line. separator: a sign. Raises Unreadable."""
    try:
        return [cell.strip() for row in csv.reader([line], delimiter=separator, strict=True) for cell in row]
    except csv.Error as error:
        raise Unreadable(
            f"cannot be taken apart ({error}); a quote may be open, or be in the middle of a cell"
        ) from None
