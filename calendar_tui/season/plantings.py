"""How a planting is written: when its lamps go off."""

from __future__ import annotations

from datetime import date, datetime
from typing import Any

from calendar_tui.season.readers import Unreadable, day, shown
from calendar_tui.season.typed_values import NotRight, typed_days

NATURAL = "natural"
MOST_OFF_D = 366
_FORMS = f"write +28d or +4w after planting, up to +{MOST_OFF_D}d, or a date, such as 2026-12-08"


def lights_off(value: Any) -> date | int | None:
    """A date; "+28d" or "+4w" as days after planting; None for "natural" days. Raises Unreadable."""
    if isinstance(value, date):
        return day(value)
    word = value.strip() if isinstance(value, str) else ""
    if word == NATURAL:
        return None
    if not word.startswith("+"):
        return _written_date(value, word)
    try:
        days = typed_days(word)
    except NotRight:
        raise Unreadable(f"is {shown(value)}; {_FORMS}") from None
    if not 1 <= days <= MOST_OFF_D:
        raise Unreadable(f"is {shown(value)}; {_FORMS}")
    return days


def _written_date(value: Any, word: str) -> date:
    try:
        return day(datetime.strptime(word, "%Y-%m-%d").date())
    except ValueError:
        raise Unreadable(f"is {shown(value)}; {_FORMS}") from None


def lights_off_text(off: date | int | None) -> str:
    """As a table has it: "natural", "28 d", "2026-12-08"; no spreadsheet takes one for a formula."""
    if off is None:
        return NATURAL
    return f"{off} d" if isinstance(off, int) else off.isoformat()
