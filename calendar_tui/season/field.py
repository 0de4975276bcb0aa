"""One key of a record: its reader, its default, and what the reference says of it."""

from __future__ import annotations

from typing import Any, NamedTuple

from calendar_tui.season.readers import Reader

REQUIRED: Any = object()
# How files of other programs may write 31 January 2026.
DATE_FORMS = ("2026-01-31", "20260131", "2026/01/31", "31/01/2026", "01/31/2026")
# In which order files write day, month and year in numbers, and what a column of a weather file may hold.
FILE_ORDERS = ("day-first", "month-first", "year-first")
HEADING_ROLES = ("date", "time", "low", "high", "temperature", "station")


class Field(NamedTuple):
    """One key of a record. `attr` is its name in the record where that differs; `table` names an inner record."""

    key: str
    read: Reader | None
    default: Any
    unit: str
    meaning: str
    attr: str = ""
    table: str = ""

    @property
    def name(self) -> str:
        return self.attr or self.key
