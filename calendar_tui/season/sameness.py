"""Whether two values of a season's plain data are the same, types and all."""

from __future__ import annotations

from collections.abc import Callable, Mapping
from datetime import date, datetime, time
from typing import Any

# Values of these types that are equal are the same.
_EXACT = frozenset((str, int, bool, date))
_NOT_THERE = object()


def same(one: Any, other: Any) -> bool:
    """Whether two values are the same and of the same types all the way down: 1, 1.0 and true differ."""
    if one is other:
        return True
    kind = type(one)
    if kind is not type(other):
        return False
    compare = _COMPARE.get(kind)
    return bool(one == other if compare is None else compare(one, other))


def _same_values(one: Mapping[str, Any], other: Mapping[str, Any]) -> bool:
    """Whether two tables are the same; most of what a season file holds is compared here, without a further call."""
    if len(one) != len(other):
        return False
    for key, value in one.items():
        there = other.get(key, _NOT_THERE)
        kind = type(value)
        # A number over 0 is the same where it is equal; nan is equal to nothing, and 0.0 to -0.0.
        if kind in _EXACT or (kind is float and value > 0):
            if kind is not type(there) or value != there:
                return False
        elif not same(value, there):
            return False
    return True


def _same_items(one: list[Any], other: list[Any]) -> bool:
    return len(one) == len(other) and all(map(same, one, other))


# How values of a type are compared, where being equal is not enough: written out, -0.0 differs from 0.0 and one offset
# from another, and nan is nan.
_COMPARE: Mapping[type, Callable[[Any, Any], bool]] = {
    dict: _same_values,
    list: _same_items,
    float: lambda one, other: repr(one) == repr(other),
    datetime: lambda one, other: one.isoformat() == other.isoformat(),
    time: lambda one, other: one.isoformat() == other.isoformat(),
}
