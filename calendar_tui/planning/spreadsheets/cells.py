"""Values as the cells of a spreadsheet, and cells as spreadsheets leave them, as a person would type them."""

from __future__ import annotations

import re
from datetime import date, timedelta
from decimal import Decimal
from typing import Any, NamedTuple

from calendar_tui.season.field_names import NamedField
from calendar_tui.season.found_reading import AS_WRITTEN
from calendar_tui.season.harmless import harmless, unguarded
from calendar_tui.season.readers import Unreadable
from calendar_tui.season.typed_values import NotRight, is_level_date, text_in_file_unit, with_file_unit
from calendar_tui.season.wording import year_day_text

# A cell that takes a value out; an empty one leaves it alone.
CLEAR = "-"
# Day 1 is 1 Jan 1900, and 1900 is counted as a leap year: from 1 Mar 1900 on days count from here (ECMA-376 part 1, 18.17.4.1,
# read in a copy of it). The numbers are days from 1954 to 2119.
_DAY_0 = date(1899, 12, 30)
_SERIAL = re.compile(r"([2-7]\d{4})(?:[.,]\d+)?", re.ASCII)
_MIDNIGHT = re.compile(r"(.*\d)[T ]+0?0:00(?::00(?:\.0+)?)?", re.ASCII)
_CLOCK = re.compile(r"(\d{1,2}):(\d\d)(?::00)?\s*([ap])?\.?m?\.?", re.ASCII | re.IGNORECASE)
_MONTH_AND = re.compile(r"[^\W\d_]{3,}\.?[- ]\d\d", re.IGNORECASE)
_FIGURE = re.compile(r"[+-]?(?:\d+(?:[.,]\d+)?|[.,]\d+)", re.ASCII)
_WITH_COMMA = re.compile(r"[+-]?\d*,\d+", re.ASCII)
_WHOLE = re.compile(r"([+-]?\d+)[.,]0+", re.ASCII)
_TWO_WITH_COMMA = re.compile(r"\d+(?:[.,]\d+)?\s*[x×]\s*\d+(?:[.,]\d+)?", re.ASCII)
_THOUSANDS = re.compile(r"[+-]?[1-9]\d{0,2}([.,])\d{3}", re.ASCII)


class Cell(NamedTuple):
    """text: as it is typed. note: how it was read, where it may have been meant otherwise."""

    text: str
    note: str = ""


def cell_text(field: NamedField, value: Any) -> str:
    """A value of the file as a cell: dates by ISO 8601, quantities in the unit of the heading, all else as it is typed; "" for none."""
    if isinstance(value, list | tuple) and any(isinstance(part, date) for part in value):
        return ", ".join(cell_text(field, part) for part in value)
    return value.isoformat() if isinstance(value, date) else text_in_file_unit(field, value)


def is_as_written(cell: str, text: str) -> bool:
    """Whether a cell is what this text is written as."""
    plain = plain_cell(cell)
    return cell in (text, harmless(text)) or plain == text or _is_same_number(plain, text)


def _is_same_number(cell: str, text: str) -> bool:
    """Whether both are the same number: spreadsheets drop noughts at either end, and may write a decimal comma."""
    if "," in text or not (_FIGURE.fullmatch(cell) and _FIGURE.fullmatch(text)):
        return False
    return Decimal(cell.replace(",", ".")) == Decimal(text)


def plain_cell(cell: str) -> str:
    """The text of a cell on one line, without blanks around it and without the apostrophe before a formula."""
    return unguarded(" ".join(cell.split()))


def read_cell(field: NamedField, cell: str, separator: str = ",") -> Cell:
    """A cell as a person would type it. separator: between the cells of its file.

    Raises NotRight where a sign may stand before decimals or thousands.
    """
    text = plain_cell(cell)
    if field.unit == "date" or is_level_date(field):
        return day_cell(text)
    if field.unit.startswith("h:min"):
        return Cell(_clock_text(text))
    if field.read in AS_WRITTEN or field.words_allowed:
        return Cell(text)
    return Cell(with_file_unit(field, _number_text(field, text, separator)))


def day_cell(text: str) -> Cell:
    """A date without the midnight that spreadsheets add, or from the number of its day.

    Raises NotRight for a month with the two figures of a day or of a year behind it.
    """
    if _MONTH_AND.fullmatch(text):
        raise NotRight(
            "it may be a day of a month, or a month of a year; write the whole date, such as 2026-12-08"
        )
    if serial := _SERIAL.fullmatch(text):
        day = _DAY_0 + timedelta(days=int(serial[1]))
        return Cell(
            day.isoformat(),
            f"{text} is read as {year_day_text(day)}, the day of this number in a spreadsheet",
        )
    midnight = _MIDNIGHT.fullmatch(text)
    return Cell(midnight[1] if midnight else text)


def _clock_text(text: str) -> str:
    """14:00 of 14:00:00 and of 2:00 PM."""
    clock = _CLOCK.fullmatch(text)
    if clock is None or (not clock[3] and not text.endswith(":00")):
        return text
    hour = int(clock[1])
    if clock[3]:
        hour = hour % 12 + (12 if clock[3] in "pP" else 0)
    return f"{hour:02}:{clock[2]}"


def _number_text(field: NamedField, text: str, separator: str) -> str:
    """12.5 of 12,5 and 120 of 120.0, where the field is a number; 1.5x0.6 of 1,5x0,6."""
    if _TWO_WITH_COMMA.fullmatch(text):
        return text.replace(",", ".")
    if whole := _WHOLE.fullmatch(text):
        return whole[1] if _takes(field, int(whole[1])) else text
    point = text.replace(",", ".")
    of_thousands = _THOUSANDS.fullmatch(text)
    if of_thousands and (of_thousands[1] == "," or separator == ";") and _is_number(field):
        raise NotRight(
            f"it may be {re.sub('[.,]', '', text)} or {point}; write it without a sign between thousands"
        )
    return point if _WITH_COMMA.fullmatch(text) and _is_number(field) else text


def _is_number(field: NamedField) -> bool:
    """Whether a field is one number."""
    return any(_takes(field, value) for value in (0, 1, 10, 100, 1000, 0.5))


def _takes(field: NamedField, value: float) -> bool:
    try:
        field.read(value)
    except Unreadable:
        return False
    return True
