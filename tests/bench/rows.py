"""A line of the table of measures."""

from __future__ import annotations

from typing import NamedTuple


class Row(NamedTuple):
    """A line of the table; below: the budget, 0 where there is none."""

    what: str
    value: float
    unit: str
    below: float = 0
    note: str = ""
