"""Whether two values of a season's plain data are the same, types and all."""

from __future__ import annotations

from datetime import date, time
from typing import Any


def same(one: Any, other: Any) -> bool:
    """Whether two values are the same and of the same types all the way down: 1, 1.0 and true differ."""
    if one is other:
        return True
    if type(one) is not type(other):
        return False
    if isinstance(one, dict):
        return len(one) == len(other) and all(k in other and same(v, other[k]) for k, v in one.items())
    if isinstance(one, list):
        return len(one) == len(other) and all(map(same, one, other))
    # Written out, -0.0 differs from 0.0 and one offset from another, and nan is nan.
    if isinstance(one, date | time):
        return bool(one.isoformat() == other.isoformat())
    return bool(repr(one) == repr(other) if isinstance(one, float) else one == other)
