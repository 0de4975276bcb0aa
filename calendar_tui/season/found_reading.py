"""The readers of what a laboratory or a label writes: kept as it is written, to the last figure."""

from __future__ import annotations

import re
from decimal import Decimal
from typing import Any

from calendar_tui.season.readers import Reader, Unreadable, number, shown, text

_FIGURE = re.compile(r"\d{1,7}(?:\.\d{1,12})?", re.ASCII)
_KIND = re.compile(r"([\d.,-]+) (?:abs|% rel)", re.ASCII)
_WAIT = re.compile(r"(\d{1,3}(?:\.\d{1,2})?) ?(h|d)", re.ASCII)


def figure(value: Any) -> str:
    """A number as it is written, "0.05" of 0.05 too."""
    return _figure(value, 'write a number such as "0.05"')


def plus_minus(value: Any) -> str:
    """An uncertainty as it is written, without its unit, which stands under a key of its own."""
    return _figure(
        value, 'write a number such as "0.05", and under uncertainty_is whether it is absolute or relative'
    )


def uncertainty(value: Any) -> str:
    """An uncertainty with its kind, as it is kept: "0.03 abs", in the unit of the record, or "10 % rel"."""
    right = 'write such as "0.03 abs", in the unit of the result, or "10 % rel"'
    if not isinstance(value, str) or not (parts := _KIND.fullmatch(text(value))):
        raise Unreadable(f"is {shown(value)}; {right}")
    _figure(parts[1], right)
    return value


def amount(value: Any) -> str:
    """What was found of an analyte: a number, or that it is under a limit, as a laboratory's file may have it: "0.05", "<LOQ"."""
    # The words of laboratories are loaded with a result alone, and not with the fields of every season.
    from calendar_tui.season.measured_texts import is_below

    if isinstance(value, str) and is_below(text(value)):
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
    return f"{Decimal(repr(value)):f}"


def wait(value: Any) -> str:
    """The wait on a label, in hours or days of 24 h: "12 h", "2 d"."""
    words = text(value).strip()
    if words[:1] == "-":
        raise Unreadable(
            f'is {shown(value)}; a wait cannot be under 0: write hours or days, such as "12 h" or "2 d"'
        )
    if not _WAIT.fullmatch(words):
        raise Unreadable(
            f'is {shown(value)}; write hours or days with their unit, such as "12 h" or "2 d"; a condition of the label has a '
            "field of its own"
        )
    return words


def wait_parts(words: str) -> tuple[Decimal, str]:
    """How many of which unit, "h" or "d", of a wait that reads."""
    parts = _WAIT.fullmatch(words)
    assert parts is not None, words
    return Decimal(parts[1]), parts[2]


def exact(low: str, high: str) -> Reader:
    """The reader of an exact figure: a number, or text in quotes; its digits as they are written, from low to high."""
    least, most = Decimal(low), Decimal(high)
    as_number = number(float(least), float(most))

    def read(value: Any) -> Decimal:
        # A number of a file is the shortest one of its digits, so that its text is what was written.
        figure = _decimal_text(value) if isinstance(value, str) else Decimal(repr(as_number(value)))
        if not least <= figure <= most:
            raise Unreadable(f"is {shown(value)}; it must be from {low} to {high}")
        return figure

    return read


def _decimal_text(value: str) -> Decimal:
    if not (value.isascii() and value.replace(".", "", 1).isdigit()):
        raise Unreadable(f'is {shown(value)}; write a number with a decimal point, such as "0.877"')
    return Decimal(value)


# Their values are kept as they are typed, to the last figure: "0.050".
AS_WRITTEN = frozenset((figure, plus_minus, uncertainty, amount, wait))
