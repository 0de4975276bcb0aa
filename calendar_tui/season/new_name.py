"""The name that is typed for a record."""

from __future__ import annotations

from collections.abc import Collection

from calendar_tui.season.field_errors import FieldError, FieldErrors
from calendar_tui.season.field_names import field_named
from calendar_tui.season.naming import next_names
from calendar_tui.season.readers import Unreadable, name_id

# Words that are typed behind a number, or for no value: a record of such a name could not be told from them.
_WORDS = ("day", "days", "week", "weeks", "hour", "hours", "min", "minutes", "m2", "ha", "none")


def new_name(kind: str, typed: str, known: Collection[str] = ()) -> str:
    """The id of a new record, or the new one of another. known: those of its kind. Raises FieldErrors.

    That of a bag is read as its label is, and its check has to fit.
    """
    name = typed.strip()
    if kind == "sample":
        return _new_bag(name, known)
    if right := _wrong(kind, name):
        raise FieldErrors([FieldError("id", typed, right)])
    return name


def names_behind(
    kind: str, like: str, taken: Collection[str], count: int = 1, maker: str = ""
) -> tuple[str, ...]:
    """So many free names for records of a kind, behind one that is there; of bags, ids with their check.

    maker: who makes them, so that of one bag two people out of reach of one another make different ones.
    """
    if kind != "sample":
        return next_names(like, taken, count)
    from calendar_tui.season.sample_ids import next_sample_id

    names: list[str] = []
    for n in range(count):
        names.append(next_sample_id((like, str(n), maker), [*taken, *names]))
    return tuple(names)


def _new_bag(typed: str, known: Collection[str]) -> str:
    from calendar_tui.season.sample_ids import read_sample_id

    try:
        return read_sample_id(typed, known)
    except Unreadable as wrong:
        right = str(wrong).partition(" and ")[2]
        raise FieldErrors(
            [FieldError("id", typed, f"it {right}; the program makes ids: calendar-tui sample COHORT")]
        ) from wrong


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
