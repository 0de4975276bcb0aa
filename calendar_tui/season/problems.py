"""A problem in a season: where it stands in the data, and a sentence that says what would be right."""

from __future__ import annotations

from typing import NamedTuple

KeyPath = tuple[str | int, ...]


class Problem(NamedTuple):
    path: KeyPath
    message: str
