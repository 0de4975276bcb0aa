"""Records by the names of their fields, in words: what is set, and what could be."""

from __future__ import annotations

from collections.abc import Iterator, Sequence

from calendar_tui.handing_on.tables.record_rows import FieldValue, field_values
from calendar_tui.handing_on.words.plain_text import WIDTH, wrapped
from calendar_tui.planning.changes.held_season import HeldSeason, Ident
from calendar_tui.planning.changes.record_notes import label
from calendar_tui.season.typed_values import shown_text, typed_text

# Dates and looks that are recorded have commands of their own, so that they are shown only where they are set.
_SHOWN_WHERE_SET = ("recorded", "not_yet")


def records_text(held: HeldSeason, kind: str, idents: Sequence[Ident], width: int = WIDTH) -> Iterator[str]:
    """Each record: its name, a line a field that is set, and the names of those that are not."""
    for number, ident in enumerate(idents):
        if number:
            yield ""
        name = label(kind, ident)
        yield name if name.startswith(kind) else f"{kind} {name}"
        rows = list(field_values(held, kind, ident))
        given = [row for row in rows if row.value is not None]
        names = max((len(row.field.words) for row in given), default=0)
        for row in given:
            yield from wrapped(_value_text(row), " " * (names + 4), width, f"  {row.field.words:<{names}}  ")
        if rest := [
            row.field.words for row in rows if row.value is None and row.field.path[0] not in _SHOWN_WHERE_SET
        ]:
            yield from wrapped(f"not set: {', '.join(rest)}", "    ", width, "  ")


# How a value is typed, or what it names, and not the unit in which it is.
_NO_UNIT = ("date", "h:min", "stage", "variety", "place", "12 h or 2 d")


def _value_text(row: FieldValue) -> str:
    """ "180 m2", "10, 14, 20 days"."""
    if shown := shown_text(row.field, row.value):
        return f"{shown} ({typed_text(row.field, row.value)})"
    unit = row.field.unit
    shown = "" if unit.startswith(_NO_UNIT) else unit.split(" [")[0]
    return f"{typed_text(row.field, row.value)} {shown}".strip()
