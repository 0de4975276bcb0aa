"""A value on its way into a field book, and beside what stands there."""

from __future__ import annotations

import datetime as dt
from typing import NamedTuple

# As it is typed and written into a sheet.
DOT = "."
NEW, CHANGED, SAME, GONE = "new", "changed", "same", "taken out"


class Entry(NamedTuple):
    """What is to stand for a variable at a place on a day. value: "" with `state`, or where what stands is taken out."""

    date: dt.date
    at: str
    variable: str
    value: str = ""
    state: str = ""

    @property
    def ident(self) -> tuple[dt.date, str, str]:
        return self.date, self.at, self.variable

    @property
    def text(self) -> str:
        return self.value or self.state


class Compared(NamedTuple):
    """An entry beside what stood there. what: NEW, CHANGED, SAME or GONE."""

    entry: Entry
    what: str
    was: str
