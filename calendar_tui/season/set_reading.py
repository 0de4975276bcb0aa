"""The reader of the sets of figures that records leave of a variety."""

from __future__ import annotations

from typing import Any

from calendar_tui.season.readers import Unreadable, day_length, number, shown
from calendar_tui.season.records import FigureSet

_SETS, _A_SET = (
    (10, 500),
    '["14:00", "12:30", 25, 8]: critical day, full-response day, juvenile and inductive days',
)


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
