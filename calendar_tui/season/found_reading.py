"""The readers of what a laboratory or a label writes: kept as it is written, to the last figure."""

from __future__ import annotations

import re
from typing import Any

from calendar_tui.season.readers import Unreadable, shown, text

_FIGURE = re.compile(r"\d{1,7}(?:\.\d{1,12})?", re.ASCII)
_UNDER = re.compile(r"<\s*(?:\d{1,7}(?:\.\d{1,12})?|LOQ|LOD)|ND|BLOQ|BLOD", re.ASCII)
_WAIT = re.compile(r"(\d{1,3}(?:\.\d{1,2})?) ?(h|d)", re.ASCII)


def figure(value: Any) -> str:
    """A number as it is written, "0.05" of 0.05 too."""
    return _figure(value, 'write a number such as "0.05"')


def amount(value: Any) -> str:
    """What was found of an analyte: a number, or that it is under a limit: "0.05", "<0.02", "<LOQ", "ND"."""
    if isinstance(value, str) and _UNDER.fullmatch(value):
        return value
    return _figure(value, 'write a number or what is under a limit, such as "0.05", "<0.02", "<LOQ" or "ND"')


def _figure(value: Any, right: str) -> str:
    if isinstance(value, bool) or not isinstance(value, int | float | str):
        raise Unreadable(f"is {shown(value)}; {right}")
    written = text(value) if isinstance(value, str) else _plain(value)
    if "," in written and _FIGURE.fullmatch(written.replace(",", ".", 1)):
        raise Unreadable(f"is {shown(value)}; write a point before the decimals: {written.replace(',', '.')}")
    if written.startswith("-"):
        raise Unreadable(f"is {shown(value)}; it cannot be under 0: {right}")
    if not _FIGURE.fullmatch(written):
        raise Unreadable(f"is {shown(value)}; {right}")
    return written


def _plain(value: float) -> str:
    """A number without an exponent: 0.00001 and not 1e-05."""
    from decimal import Decimal

    return f"{Decimal(repr(value)):f}"


def reentry(value: Any) -> str:
    """The wait on a label: hours, days, or a condition in words."""
    wait = text(value).strip()
    if not wait:
        raise Unreadable(
            'is ""; write hours or days as on the label, such as "12 h" or "2 d", or its condition in words'
        )
    if wait[0].isdigit() and not _WAIT.fullmatch(wait):
        raise Unreadable(f'is {shown(value)}; write hours or days with their unit, such as "12 h" or "2 d"')
    if wait[0] == "-":
        raise Unreadable(
            f'is {shown(value)}; a wait cannot be under 0: write hours or days, such as "12 h" or "2 d"'
        )
    return wait


# Their values are kept as they are typed, to the last figure: "0.050".
AS_WRITTEN = frozenset((figure, amount))
