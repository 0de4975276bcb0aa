"""Where a person stands in a season: what is kept of it when the program is left, and taken up the next time."""

from __future__ import annotations

from collections.abc import Mapping
from datetime import date
from typing import Any, NamedTuple

# Of a text, in characters, and of texts in a row; more was not written here.
LONGEST, MOST = 200, 200


class Bookmark(NamedTuple):
    """view: the view that was open, by its name in the table of views. cursor: the day of the time cursor, None for
    today, which stays today. cohort: the selected one. zoom, arranged: by their names. words: of the filter.
    folded: the groups that are. "" and nothing stand for what a season opens with at first.
    """

    view: str = ""
    cursor: date | None = None
    cohort: str = ""
    zoom: str = ""
    arranged: str = ""
    words: str = ""
    folded: tuple[str, ...] = ()


AT_FIRST = Bookmark()


def plain_values(bookmark: Bookmark) -> dict[str, Any]:
    """A bookmark in the values that JSON has."""
    values = bookmark._asdict() | {"cursor": bookmark.cursor and bookmark.cursor.isoformat()}
    return {name: value for name, value in values.items() if value}


def bookmark_of(kept: Mapping[str, Any]) -> Bookmark:
    """The bookmark of plain values; what is not of its kind is as at first."""
    texts = {name: _text(kept.get(name)) for name in ("view", "cohort", "zoom", "arranged", "words")}
    folded = kept.get("folded")
    names = folded[:MOST] if isinstance(folded, list | tuple) else ()
    return Bookmark(cursor=_day(kept.get("cursor")), folded=tuple(filter(None, map(_text, names))), **texts)


def _text(value: Any) -> str:
    return value if isinstance(value, str) and len(value) <= LONGEST and value.isprintable() else ""


def _day(value: Any) -> date | None:
    try:
        return date.fromisoformat(_text(value))
    except ValueError:
        return None
