"""The alarms of an exported calendar, as they are given in flags."""

from __future__ import annotations

import argparse
import re
from datetime import time
from typing import TYPE_CHECKING

from calendar_tui.season.readers import Unreadable, clock_time
from calendar_tui.season.refusal import Refusal

if TYPE_CHECKING:
    from calendar_tui.handing_on.calendar.file import AlarmAt, Call

_MOST_DAYS_BEFORE, _MOST_MINUTES_BEFORE = 28, 1440


def call_of(args: argparse.Namespace) -> Call:
    """When tasks, dates and lamps are called out. Raises Refusal."""
    from calendar_tui.handing_on.calendar.file import Call

    return Call(
        None if args.alarm is None else _alarm(args.alarm),
        None if args.lamp_alarm is None else _minutes(args.lamp_alarm),
    )


def _alarm(word: str) -> AlarmAt:
    """18:00-1d is at 18:00 on the day before; 07:00 is on the day."""
    from calendar_tui.handing_on.calendar.file import AlarmAt

    match = re.fullmatch(r"(\d{1,2}:\d{2})(?:-(\d{1,2})d)?", word.strip(), re.ASCII)
    days = int(match[2] or 0) if match else 0
    at = _time(match[1]) if match else None
    if at is None or days > _MOST_DAYS_BEFORE:
        raise Refusal(
            f'--alarm "{word}" is no time; write 18:00-1d for 18:00 on the day before, up to {_MOST_DAYS_BEFORE} days, '
            "or 07:00 for the day itself"
        )
    return AlarmAt(at, days)


def _time(word: str) -> time | None:
    try:
        return clock_time(word)
    except Unreadable:  # the caller says what would be right
        return None


def _minutes(word: str) -> int:
    if not (word.isascii() and word.isdigit() and len(word) < 5 and int(word) <= _MOST_MINUTES_BEFORE):
        raise Refusal(f'--lamp-alarm "{word}" is no number of minutes from 0 to {_MOST_MINUTES_BEFORE}')
    return int(word)
