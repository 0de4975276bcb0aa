"""The plain data in the text of a file."""

from __future__ import annotations

from functools import lru_cache
from typing import TYPE_CHECKING

import tomli

from calendar_tui.season.kinds import by_kind

if TYPE_CHECKING:
    from calendar_tui.season.edits import Data


@lru_cache(maxsize=1)
def data_in(text: str) -> Data:
    """The data in TOML text, each kind of record under its own name, to be looked at and not changed.

    The newest text is remembered, so that no step of a save parses again what the step before it has parsed.
    Raises tomli.TOMLDecodeError; ValueError or RecursionError for what is too long or too deep.
    """
    return by_kind(tomli.loads(text))
