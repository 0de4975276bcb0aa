"""What changes of one field of a record share: its key, and what is typed read as the season file's reader does."""

from __future__ import annotations

from collections.abc import Iterable
from typing import Any

from calendar_tui.season.checks import CHECKS
from calendar_tui.season.fields import MARKS, Field
from calendar_tui.season.readers import Unreadable, choices, one_of
from calendar_tui.season.records import Season
from calendar_tui.season.refusal import Refusal


def find_key(typed: str, keys: Iterable[str], what: str, label: str) -> str:
    """The key that is meant: "critical day" and "critical-day" are critical_day. Raises Refusal.

    what: "a figure of a variety"; label: what the keys are called in the list of them.
    """
    keys, key = tuple(keys), typed.strip().casefold().replace("-", "_").replace(" ", "_")
    if key not in keys:
        raise Refusal(f'"{typed}" is not {what}{choices(key, keys, label)}')
    return key


def read_as(field: Field, value: Any) -> Any:
    """A plain value as the record keeps it. Raises Refusal with what would be right."""
    assert field.read is not None
    try:
        return field.read(value)
    except Unreadable as wrong:
        raise Refusal(f"{field.key} {wrong}") from wrong


def number(word: str) -> int | float | str:
    """The number that is written, or else the word, for the field's reader to refuse."""
    for kind in (int, float):
        try:
            return kind(word)
        except ValueError:
            continue
    return word


def short(figure: float) -> float:
    """12.0 as 12; in whatever unit the figure has."""
    return int(figure) if figure == int(figure) else figure


def read_mark(typed: str) -> str:
    """One of MARKS. Raises Refusal."""
    try:
        return str(one_of(*MARKS)(typed.strip().casefold()))
    except Unreadable as wrong:
        raise Refusal(f"mark {wrong}") from wrong


def checked(season: Season) -> Season:
    """The season, where it makes sense. Raises Refusal with the first problem."""
    for check in CHECKS:
        for problem in check(season):
            raise Refusal(problem.message)
    return season
