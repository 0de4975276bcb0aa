"""The lamps of a season: what its file may say of them, and the command that tells their timers' settings."""

from __future__ import annotations

from pathlib import Path

import pytest
from small_season import PLAIN, line_of, run

LAMPS = "lamps = { target_h = 16.0, kw = 0.9 }"


def with_lamps(path: Path, keys: str) -> Path:
    assert LAMPS in PLAIN
    path.write_text(PLAIN.replace(LAMPS, f"lamps = {{ {keys} }}"), encoding="utf-8")
    return path


@pytest.mark.parametrize(
    ("keys", "says"),
    [
        ("kw = 0.9", "add target_h = 16.0"),
        ("target_h = 0.5", "target_h is 0.5; it must be from 1 to 24"),
        ('method = "night-break", from = "22:00"', 'add from = "22:00", to = "02:00"'),
        ('method = "night-break", from = "22:00", to = "22:00"', "from and to are the same time"),
        ('method = "night-break", from = "24:00", to = "02:00"', "a time of the 24-hour clock"),
        ('method = "night-break", from = 22, to = "02:00"', "a time of the 24-hour clock"),
        ('target_h = 16.0, from = "22:00"', 'add method = "night-break"'),
        ('target_h = 16.0, side = "noon"', "after sunset, before sunrise, both"),
        ('target_h = 16.0, timer_follows_clock = "no"', "write true or false"),
    ],
)
def test_lamps_that_cannot_be_are_told_with_their_line(tmp_path: Path, keys: str, says: str) -> None:
    path = with_lamps(tmp_path / "wrong.toml", keys)
    ran = run("check", path)
    assert ran.status == 1, ran.said
    assert says in ran.out
    assert f"wrong.toml:{line_of(path.read_text(), 'lamps =')}: " in ran.out


@pytest.mark.parametrize(
    "keys",
    [
        'target_h = 16.0, method = "extend", side = "both", kw = 0.9, timer_follows_clock = false, cost_per_kwh = 0.2',
        'method = "night-break", from = "22:00", to = "02:00"',
    ],
)
def test_lamps_that_can_be_are_read(tmp_path: Path, keys: str) -> None:
    ran = run("check", with_lamps(tmp_path / "right.toml", keys))
    assert ran.status == 0, ran.said
