"""How the text of a small season begins, and the data in such a text by the reader of Python's own library."""

from __future__ import annotations

import tomllib

from calendar_tui.season.edits import Data
from calendar_tui.season.kinds import by_kind

# The season and its site; places, varieties and cohorts follow.
TWO_RIVERS = """\
format = 3
[season]
name = "Two Rivers"
first_day = 2026-09-15
last_day = 2027-05-15
[site]
latitude = -34.3
longitude = -56.7
timezone = "America/Montevideo"
"""


def data_of(text: str) -> Data:
    """The data, each kind of record under its own name."""
    return by_kind(tomllib.loads(text))
