"""The reader of a chore's repeat: a recurrence rule of RFC 5545."""

from __future__ import annotations

import re
from datetime import datetime
from typing import Any

from calendar_tui.season.readers import Unreadable, shown, text

# Rules that every reader takes and that give dates whatever day they start on: no others need to be tried out.
_PLAIN_RULE = (
    r"FREQ=(?:DAILY|WEEKLY|MONTHLY|YEARLY)(?:;INTERVAL=[1-9])?(?:;COUNT=[1-9]\d{0,2})?"
    r"|FREQ=WEEKLY(?:;INTERVAL=[1-9])?(?:;BYDAY=(?:MO|TU|WE|TH|FR|SA|SU)(?:,(?:MO|TU|WE|TH|FR|SA|SU))*)?"
    r"(?:;COUNT=[1-9]\d{0,2})?"
)
_RULE_EXAMPLE = "such as FREQ=WEEKLY or FREQ=DAILY;INTERVAL=3"


def repeat_rule(value: Any) -> str:
    """An RFC 5545 recurrence rule without a start; its end is the chore's `until` stage."""
    rule = text(value).upper()
    if not re.search(r"FREQ=(DAILY|WEEKLY|MONTHLY|YEARLY)", rule) or re.search(
        r"BY(HOUR|MINUTE|SECOND)=", rule
    ):
        raise Unreadable(
            f"is {shown(value)}; write an RFC 5545 rule that repeats by days, weeks, months or years, {_RULE_EXAMPLE}"
        )
    if "BYEASTER" in rule:
        raise Unreadable(f"is {shown(value)}; BYEASTER is no part of RFC 5545; write a rule {_RULE_EXAMPLE}")
    if re.search(r"INTERVAL=(?!0*[1-9])", rule):
        raise Unreadable(f"is {shown(value)}; INTERVAL must be 1 or more, {_RULE_EXAMPLE}")
    if not re.fullmatch(_PLAIN_RULE, rule) and not _gives_a_date(value, rule):
        raise Unreadable(f"is {shown(value)}, which gives no date; write a rule {_RULE_EXAMPLE}")
    return str(value)


def _gives_a_date(value: str, rule: str) -> bool:
    from dateutil.rrule import rrule, rrulestr  # slow to import, and few rules need it

    # A rule that never comes is tried up to the last year a date can have, so the trial starts near it.
    near_the_end = datetime(9985, 1, 1)
    try:
        rrulestr(value, dtstart=datetime(2026, 1, 1))
        repeats = rrulestr(re.sub(r"UNTIL=[^;]*;?", "", rule).rstrip(";"), dtstart=near_the_end)
    except (ValueError, KeyError, TypeError, AttributeError, IndexError, OverflowError):
        raise Unreadable(
            f"is {shown(value)}; write an RFC 5545 rule of days or weeks, {_RULE_EXAMPLE}"
        ) from None
    return isinstance(repeats, rrule) and next(iter(repeats), None) is not None
