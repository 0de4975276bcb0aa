"""Repeat rules that give no day: refused where they are no rule of RFC 5545, else told by check."""

from __future__ import annotations

from pathlib import Path

import pytest
from small_season import line_of, run


def with_rule(season: Path, rule: str) -> None:
    text = season.read_text(encoding="utf-8")
    season.write_text(text.replace('"FREQ=WEEKLY"', f'"{rule}"', 1), encoding="utf-8")


@pytest.mark.parametrize("rule", ["FREQ=DAILY;BYEASTER=0", "freq=yearly;byeaster=-2"])
def test_easter_is_no_part_of_the_standard(season: Path, rule: str) -> None:
    with_rule(season, rule)
    ran = run("check", season)
    assert ran.status == 1
    assert "BYEASTER is no part of RFC 5545" in ran.out


@pytest.mark.parametrize("rule", ["FREQ=YEARLY;BYMONTH=8", "FREQ=WEEKLY;UNTIL=20200101T000000"])
def test_a_rule_that_falls_on_no_day_of_any_cohort_is_a_note_of_check(season: Path, rule: str) -> None:
    with_rule(season, rule)
    ran = run("check", season)
    assert ran.status == 0, ran.said
    line = line_of(season.read_text(encoding="utf-8"), rule)
    told = f"note: {season}:{line}: chore scout makes no task: its repeat {rule} gives no day from transplant to harvest of any"
    assert told in ran.out


def test_a_rule_that_gives_days_to_one_cohort_is_not_noted(season: Path) -> None:
    assert "makes no task" not in run("check", season).out
