"""The names that a season file gives its records, found in its text fast enough for a shell that completes words.

The text is not read as TOML: a file that is half edited has names too, and one of 40,000 tasks has them in half a second.
"""

from __future__ import annotations

import re
from collections.abc import Iterator
from pathlib import Path
from typing import NamedTuple

_NAMED = re.compile(
    r"^[ \t]*(?:"
    r"\[\[[ \t]*(?P<block>[\w-]+)[ \t]*\]\]"  # [[cohort]]
    r"|(?P<rows>[\w-]+)[ \t]*=[ \t]*\[[ \t]*$"  # task = [
    r"|\{?[ \t]*id[ \t]*=[ \t]*(?P<quote>[\"'])(?P<id>[^\"'\\\n]+)(?P=quote)(?P<rest>[^\n]*)"
    r")",
    re.MULTILINE,
)
_VALUE = r"\b{}[ \t]*=[ \t]*(?:\"([^\"\\]*)\"|([\w-]+))"


class Named(NamedTuple):
    """A record's kind and id, and what stands behind the id in its line."""

    kind: str
    id: str
    rest: str

    def value(self, key: str) -> str:
        """What stands under a key in the record's line; "" where it has none."""
        found = re.search(_VALUE.format(key), self.rest)
        return found[1] or found[2] or "" if found else ""


def names_in(text: str) -> Iterator[Named]:
    """The records with ids in the text of a season file, in their order."""
    kind = ""
    for found in _NAMED.finditer(text):
        if found["id"]:
            yield Named(kind, found["id"], found["rest"])
        else:
            kind = found["block"] or found["rows"]


def season_names(path: Path) -> list[Named]:
    """The records with ids of a season file, none where it is no file. Raises OSError where it cannot be read."""
    return list(names_in(path.read_bytes().decode(errors="replace"))) if path.is_file() else []
