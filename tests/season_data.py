"""The data in the text of a season file, by the reader of Python's own library."""

from __future__ import annotations

import tomllib

from calendar_tui.season.edits import Data
from calendar_tui.season.kinds import by_kind


def data_of(text: str) -> Data:
    """The data, each kind of record under its own name."""
    return by_kind(tomllib.loads(text))
