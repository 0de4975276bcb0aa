"""What a record has in a field, also where its file leaves it open: a figure by its type, a default of a chore."""

from __future__ import annotations

from collections.abc import Callable, Mapping
from typing import Any

from calendar_tui.planning.changes.chore_change import KEYS as CHORE_FIELDS
from calendar_tui.planning.changes.chore_change import written as chore_value
from calendar_tui.planning.changes.field_edits import Path, value_at
from calendar_tui.planning.changes.held_season import HeldSeason, Ident, Record
from calendar_tui.planning.changes.variety_change import FIGURES
from calendar_tui.planning.changes.variety_change import written as figure_value
from calendar_tui.season.field import REQUIRED


def value_standing(held: HeldSeason, kind: str, ident: Ident, record: Record, path: Path) -> Any:
    """The value at a path of a record; where that leaves it open, what holds then. () is the identity of a new one."""
    value = value_at(record, path)
    if value is None and kind in _OPEN:
        return _OPEN[kind](held, ident, path[0])
    return value


def _figure(held: HeldSeason, ident: Ident, key: str) -> Any:
    variety = held.plan.season.varieties.get(str(ident[0])) if ident else None
    if variety is None or key not in FIGURES:
        return None
    return figure_value(FIGURES[key], getattr(variety, FIGURES[key].name))


def chore_default(key: str) -> Any:
    """What a field of a chore is where its record leaves it open, as a season file has it; None for nothing."""
    field = CHORE_FIELDS.get(key)
    return None if field is None or field.default is REQUIRED else chore_value(field.default)


_OPEN: Mapping[str, Callable[[HeldSeason, Ident, str], Any]] = {
    "variety": _figure,
    "chore": lambda held, ident, key: chore_default(key),
}
