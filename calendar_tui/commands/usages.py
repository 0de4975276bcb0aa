"""How each command is called, from the file of usages: read only where a help, the manual page or a page of docs is made."""

from __future__ import annotations

from functools import cache
from pathlib import Path
from typing import NamedTuple

_FILE = Path(__file__).with_name("usages.toml")
# How the full screen, which has no name, is called in the file.
_PROGRAM = "program"
_PAGE = "page"


class Usages(NamedTuple):
    """The ways to call a command: its words as they may stand, and what they do. page: of docs/, "" where it has none."""

    page: str
    does: dict[str, str]


@cache
def all_usages() -> dict[str, Usages]:
    """By command, in the order of the file; "" is the full screen."""
    import tomllib

    tables = tomllib.loads(_FILE.read_text(encoding="utf-8"))
    return {
        "" if name == _PROGRAM else name: Usages(
            table.get(_PAGE, ""), {words: does for words, does in table.items() if words != _PAGE}
        )
        for name, table in tables.items()
    }
