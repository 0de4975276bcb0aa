"""The stays of a cohort as its record has them: read from plain data, and written back."""

from __future__ import annotations

from collections.abc import Callable, Iterable, Mapping
from datetime import date
from typing import Any

from calendar_tui.season.readers import Unreadable, choices, day, name_id, near, shown
from calendar_tui.season.records import WrittenStay
from calendar_tui.season.stages import STAGES

_FORM = 'a list such as [{ place = "N1" }, { place = "H1", from = "transplant" }, { place = "F1", from = 2026-12-26 }]'


def stays(value: Any) -> tuple[WrittenStay, ...]:
    """Stays in turn, each a table of its place, its part and what it begins with."""
    if not isinstance(value, list) or not value or not all(isinstance(row, dict) for row in value):
        raise Unreadable(f"is {shown(value)}; write {_FORM}")
    return tuple(_stay(row) for row in value)


def _stay(row: Mapping[str, Any]) -> WrittenStay:
    values: dict[str, Any] = {}
    for key, value in row.items():
        if key not in _KEYS:
            raise Unreadable(
                f"has a stay with {shown(key)}, which is not a key of a stay{choices(key, _KEYS)}"
            )
        name, read = _KEYS[key]
        try:
            values[name] = read(value)
        except Unreadable as wrong:
            raise Unreadable(f"has a stay of which {key} {wrong}") from None
    if "place" not in values:
        raise Unreadable(f"has a stay without place; write {_FORM}")
    return WrittenStay(**values)


def stay_begin(value: Any) -> str | date:
    """A stage, or a date."""
    if not isinstance(value, str):
        return day(value)
    if value not in STAGES:
        raise Unreadable(f"is {shown(value)}; write a stage or a date without quotes{near(value, STAGES)}")
    return value


_KEYS: Mapping[str, tuple[str, Callable[[Any], Any]]] = {
    "place": ("place", name_id),
    "part": ("part", name_id),
    "from": ("begins", stay_begin),
}


def stay_rows(written: Iterable[WrittenStay]) -> list[dict[str, Any]]:
    """Stays as the season file has them."""
    names = {key: name for key, (name, _) in _KEYS.items()}
    return [{key: v for key, name in names.items() if (v := getattr(stay, name))} for stay in written]
