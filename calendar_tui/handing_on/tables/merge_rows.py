"""What a merge did and could not settle, as plain data for JSON."""

from __future__ import annotations

from typing import Any

from calendar_tui.handing_on.tables.json_rows import Row
from calendar_tui.season.edits import Edit
from calendar_tui.season.merging import Conflict
from calendar_tui.storage.toml.rendering import toml_value

SIDES = ("base", "ours", "theirs")


def conflict_row(conflict: Conflict, line: int | None) -> Row:
    """For JSON: what it is about, the three values as TOML or null, whose value is kept, and its line or null."""
    sides = {side: _toml(getattr(conflict, side)) for side in SIDES}
    about = {"kind": conflict.kind, "ident": list(conflict.ident), "field": list(conflict.field)}
    return {**about, **sides, "kept": conflict.kept, "line": line}


def edit_row(edit: Edit) -> Row:
    """For JSON: an edit, its value as TOML or null."""
    about = {"op": edit.op, "kind": edit.kind, "ident": list(edit.ident), "field": list(edit.field)}
    return {**about, "value": _toml(edit.value)}


def _toml(value: Any) -> str | None:
    return None if value is None else toml_value(value)
