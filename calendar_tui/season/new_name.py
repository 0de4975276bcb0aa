"""The name that is typed for a record."""

from __future__ import annotations

from calendar_tui.season.field_errors import FieldError, FieldErrors
from calendar_tui.season.field_names import field_named
from calendar_tui.season.readers import Unreadable, name_id

# Words that are typed behind a number, or for no value: a record of such a name could not be told from them.
_WORDS = ("day", "days", "week", "weeks", "hour", "hours", "min", "minutes", "m2", "ha", "none")


def new_name(kind: str, typed: str) -> str:
    """The id of a new record, or the new one of another. Raises FieldErrors."""
    name = typed.strip()
    if right := _wrong(kind, name):
        raise FieldErrors([FieldError("id", typed, right)])
    return name


def _wrong(kind: str, name: str) -> str:
    """Why a record of a kind cannot have this name; "" where it can."""
    if name.casefold() in _WORDS:
        return "this word stands for a unit or for no value; give another name"
    if field_named(kind, name) is not None:
        return "this is the name of a field; give another name"
    try:
        name_id(name)
    except Unreadable as wrong:
        return str(wrong).partition("; ")[2]
    return ""
