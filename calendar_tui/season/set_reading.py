"""The readers of what a fit to records leaves of a variety: its sets, the figures before it, and its marks."""

from __future__ import annotations

from collections.abc import Mapping
from typing import Any

from calendar_tui.season.readers import (
    Reader,
    Unreadable,
    choices,
    clock_hours,
    day_length,
    number,
    one_of,
    shown,
    span_days,
    text,
)
from calendar_tui.season.records import FigureSet, Span

_SETS, _A_SET = (
    (10, 500),
    '["14:00", "12:30", 25, 8]: critical day, full-response day, juvenile and inductive days',
)


# The figures that a fit may change, and the reader of each.
FITTED: Mapping[str, Reader] = {
    "critical_day": clock_hours,
    "full_response_day": clock_hours,
    "juvenile_d": span_days,
    "inductive_days": span_days,
    "emergence_d": span_days,
    "rooting_d": span_days,
    "induced_to_flowering_d": span_days,
    "flowering_to_harvest_d": span_days,
    "drying_d": span_days,
}


def mark_of(*words: str) -> Reader:
    """The reader of where a figure comes from: one of the words; behind "measured", a comma and of what."""
    one = one_of(*words)

    def read(value: Any) -> str:
        measured, comma, of = text(value).partition(", ") if isinstance(value, str) else ("", "", "")
        return str(value) if comma and of and measured == "measured" else str(one(value))

    return read


def figures_before(value: Any) -> Mapping[str, Span]:
    """The figures that a variety had before its first fit, by key."""
    if not isinstance(value, dict):
        raise Unreadable(
            f'is {shown(value)}; write figures by their keys, such as {{ critical_day = "14:00" }}'
        )
    figures = {}
    for key, figure in value.items():
        if key not in FITTED:
            raise Unreadable(f"has {shown(key)}, which no fit changes{choices(key, FITTED)}")
        try:
            figures[key] = FITTED[key](figure)
        except Unreadable as wrong:
            raise Unreadable(f"has {key} that {wrong}") from wrong
    return figures


def figure_sets(value: Any) -> tuple[FigureSet, ...]:
    """Equally likely figures of the response that go together, as a fit to records leaves them."""
    few, many = _SETS
    if not isinstance(value, list) or not few <= len(value) <= many:
        count = f"a list of {len(value)}" if isinstance(value, list) else shown(value)
        raise Unreadable(f"is {count}; write {few} to {many} sets, each such as {_A_SET}")
    return tuple([_figure_set(one, n) for n, one in enumerate(value, 1)])


def _figure_set(value: Any, n: int) -> FigureSet:
    try:
        critical, full, juvenile, inductive = value if isinstance(value, list) else [value]
        one = FigureSet(
            day_length(critical), day_length(full), number(0, 400)(juvenile), number(0.1, 400)(inductive)
        )
    except ValueError as wrong:
        raise Unreadable(f"has {shown(value)} as set {n}; write each as {_A_SET}") from wrong
    if one.full_h >= one.critical_h:
        raise Unreadable(
            f"has {shown(value)} as set {n}; its full-response day must be under its critical day"
        )
    return one
