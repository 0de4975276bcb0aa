"""Repeats of chores: rules that surely give dates are not tried out, and the others are."""

from __future__ import annotations

from datetime import datetime

import pytest
from dateutil.rrule import rrulestr

from calendar_tui.season import repeat_rules
from calendar_tui.season.readers import Unreadable
from calendar_tui.season.repeat_rules import repeat_rule

PLAIN = [
    *(f"FREQ={freq}" for freq in ("DAILY", "WEEKLY", "MONTHLY", "YEARLY")),
    *(f"FREQ={freq};INTERVAL=9;COUNT=2" for freq in ("DAILY", "WEEKLY", "MONTHLY", "YEARLY")),
    *(f"FREQ=WEEKLY;INTERVAL={n};BYDAY={day}" for n in (1, 9) for day in ("MO", "SU", "TU,FR", "SA,WE,TH")),
    "freq=weekly;byday=mo,th;count=5",
]
TRIED = ["FREQ=DAILY;BYDAY=MO", "FREQ=MONTHLY;BYMONTH=6,7", "FREQ=WEEKLY;INTERVAL=10", "COUNT=2;FREQ=DAILY"]


@pytest.fixture
def tried(monkeypatch: pytest.MonkeyPatch) -> list[str]:
    rules: list[str] = []
    gives_a_date = repeat_rules._gives_a_date
    monkeypatch.setattr(
        repeat_rules, "_gives_a_date", lambda value, rule: rules.append(value) or gives_a_date(value, rule)
    )
    return rules


@pytest.mark.parametrize("rule", PLAIN)
def test_a_rule_that_is_not_tried_gives_dates_from_any_day_on(rule: str, tried: list[str]) -> None:
    assert repeat_rule(rule) == rule
    assert tried == []
    for day in range(1, 8):
        assert next(iter(rrulestr(rule, dtstart=datetime(9985, 1, day))), None) is not None


@pytest.mark.parametrize("rule", TRIED)
def test_any_other_rule_is_tried(rule: str, tried: list[str]) -> None:
    assert repeat_rule(rule) == rule
    assert tried == [rule]


@pytest.mark.parametrize("rule", ["FREQ=WEEKLY;BYDAY=XX", "FREQ=DAILY;COUNT=0", "FREQ=WEEKLY;INTERVAL=0"])
def test_a_rule_that_is_almost_plain_is_refused(rule: str) -> None:
    with pytest.raises(Unreadable):
        repeat_rule(rule)
