"""The fields of a record as lines of a form, and what is typed in them as it is understood."""

from __future__ import annotations

from collections.abc import Collection, Iterable, Iterator, Mapping, Sequence
from datetime import date
from typing import Any

from calendar_tui.planning.changes.field_edits import value_at
from calendar_tui.planning.changes.held_season import HeldSeason, Ident, Record
from calendar_tui.planning.changes.standing_values import chore_default, value_standing
from calendar_tui.planning.changes.variety_change import FIGURES
from calendar_tui.screens.forms.blank import FormField
from calendar_tui.season.field_names import NamedField, field_named, fields_of
from calendar_tui.season.measures import unit_shown
from calendar_tui.season.stages import DECIDED, FIRST
from calendar_tui.season.typed_dates import read_day_text
from calendar_tui.season.typed_values import (
    NotRight,
    allowed_words,
    converted_text,
    measure_of,
    plain_value,
    shown_text,
    typed_text,
)
from calendar_tui.season.variety_types import from_type, variety_types
from calendar_tui.season.wording import full_day_text, hours_text

ID = "id"
# How a value is typed, by the unit of its field; what a unit has behind " [" is left out.
_TYPED_AS: Mapping[str, str] = {
    "date": "such as 12 Nov, 12 Nov 2026, fri or +9",
    "dates": "such as 25 Dec, 1 Jan",
    "h:min": "such as 14:10, 14h10 or 14 h 10",
    "days": "early, likely, late, such as 10, 14, 20; or one number",
    "degree-days": "early, likely, late, such as 220, 270, 350; or one number",
    "m": "such as 1.5x0.6 m",
    "RFC 5545 rule": "such as FREQ=WEEKLY, or with its end: FREQ=DAILY;INTERVAL=3 until harvest -3",
}
# The headings that stand over fields of an inner table.
_ABOVE: Mapping[str, str] = {"lamps": "Lamps", "columns": "Columns"}
_LISTED = 80
# The kinds whose tables have names of their own in each record; by key, those that any may have.
_OWN_NAMES: Mapping[str, Mapping[str, tuple[str, ...]]] = {
    "result": {"found": ("THC", "THCA", "CBD", "CBDA")},
    "laboratory": {},
    "trial": {},
    "plot": {},
}


def form_fields(kind: str, held: HeldSeason, record: Record) -> Iterator[FormField]:
    """The fields of a record with what it has, each with its unit, what it means, and what it may be completed to."""
    for field in _fields_shown(kind, held, record):
        yield FormField(
            field.words,
            typed_text(field, _value(kind, record, field)),
            _open_text(kind, held, record, field)
            or shown_text(field, _value(kind, record, field))
            or _unit(field),
            _meaning(field),
            _completions(field, held)[:_LISTED],
            _ABOVE.get(field.path[0], "") if len(field.path) > 1 else "",
        )


def in_order(fields: Iterable[FormField], first: Sequence[str]) -> list[FormField]:
    """The fields with these names first, in this order; the rest as it was."""
    return sorted(fields, key=lambda field: first.index(field.words) if field.words in first else len(first))


def _value(kind: str, record: Record, field: NamedField) -> Any:
    """What the record has; of a chore also where it leaves a field open, which is plain then."""
    value = value_at(record, field.path)
    return chore_default(field.key) if value is None and kind == "chore" else value


def _open_text(kind: str, held: HeldSeason, record: Record, field: NamedField) -> str:
    """ "14 h 10, by its type": what a figure of a variety is that the record does not give; "" for any other."""
    variety = held.plan.season.varieties.get(str(record.get("id", ""))) if kind == "variety" else None
    if variety is None or field.key not in FIGURES or field.key in record:
        return ""
    value = value_standing(held, kind, (variety.id,), record, field.path)
    by = "by its type" if field.key in from_type(variety) else "by default"
    text = (
        _shown(field, value)
        or shown_text(field, value)
        or f"{typed_text(field, value)} {field.unit.partition(' [')[0]}".strip()
    )
    return "" if value is None else f"{text}, {by}"


def _completions(field: NamedField, held: HeldSeason) -> tuple[str, ...]:
    """The names that a value may be; of a type of variety the ids of all types."""
    if (field.kind, field.key) == ("variety", "type"):
        return tuple(variety_types())
    if (field.kind, field.key) == ("chore", "who"):
        return tuple(sorted({chore.who for chore in held.plan.season.chores.values() if chore.who}))
    return allowed_words(field, held.plan.season)


def _fields_shown(kind: str, held: HeldSeason, record: Record) -> Iterator[NamedField]:
    for field in fields_of(kind):
        if field.takes_name:
            yield from (
                named
                for name in _names(held, record, field)
                if (named := field_named(kind, f"{field.words} {name}"))
            )
        elif kind != "cohort" or _is_of_cohort(field, held, record):
            yield field


def _names(held: HeldSeason, record: Record, field: NamedField) -> Collection[str]:
    """The roles, the varieties, the analytes or the factors that a table has a value for or may have."""
    if field.kind in _OWN_NAMES:
        return dict.fromkeys((*_OWN_NAMES[field.kind].get(field.key, ()), *record.get(field.key, {})))
    given = {str(name) for other in held.records(field.kind) for name in other.get(field.key, {})}
    season = held.plan.season
    known = (c.who for c in season.chores.values() if c.who) if field.kind == "crew" else season.varieties
    return sorted(given | set(known))


def _is_of_cohort(field: NamedField, held: HeldSeason, record: Record) -> bool:
    """Whether a form asks for it: dates that are recorded have a view of their own, and stays say where they stand."""
    table = field.path[0]
    if table == "planned":
        others = {FIRST[start][0] for start in FIRST if start != record.get("start", start)}
        return field.path[1] in DECIDED and field.path[1] not in others
    if table == "part":
        return bool(record.get("part")) or any(p.screened for p in held.plan.season.places.values())
    if table in ("nursery", "place"):
        return "stays" not in record
    return table not in ("recorded", "not_yet")


def _unit(field: NamedField) -> str:
    """The unit, where the name of the field or the names that it takes do not have it already."""
    unit = field.unit.partition(" [")[0]
    if measure_of(field):
        return unit_shown(unit)
    return "" if unit in ("date", "dates", field.words) or unit.endswith(" id") else unit


def _meaning(field: NamedField) -> str:
    how = _TYPED_AS.get(field.unit.partition(" [")[0], "")
    if field.path[0] == "planned":
        return f"planned for; {how}"
    return "; ".join(filter(None, (field.meaning, how)))


def understood(held: HeldSeason, field: NamedField, text: str, record: Record) -> str:
    """What a typed value is taken for: "Sat 12 Dec 2026" of 12 dec, "14 h 10" of 14h10. Raises NotRight."""
    before = value_at(record, field.path)
    value = plain_value(field, text, held.typing, before if isinstance(before, date) else None)
    if field.unit == _CLOCK and value is not None:
        return "" if value == text.strip() else str(value)
    if isinstance(value, date):
        return read_day_text(text, value)
    return _shown(field, value) or converted_text(field, text, value)


# Of times of day; what stands behind it tells that they are lengths.
_CLOCK = "h:min"


def _shown(field: NamedField, value: Any) -> str:
    if value is None:
        return "none"
    if isinstance(value, list) and field.unit == "dates":
        return ", ".join(map(full_day_text, value))
    if field.unit.startswith(_CLOCK):
        lengths = value if isinstance(value, list) else [value]
        return ", ".join(_hours(str(length)) for length in lengths)
    return ""


def _hours(length: str) -> str:
    hours, _, minutes = length.partition(":")
    return hours_text(int(hours) + int(minutes) / 60)


def field_of(kind: str, words: str) -> NamedField:
    """The field of a line of a form. Raises NotRight where there is none any more."""
    field = field_named(kind, words)
    if field is None:
        raise NotRight(f"{words} is no field of this form any more")
    return field


def ident_text(ident: Ident) -> str:
    """ "H3", "H3 Sat 12 Dec 2026": what tells a record."""
    return " ".join(full_day_text(part) if isinstance(part, date) else str(part) for part in ident)
