"""The lamps of a season: what its file may say of them, and the command that tells their timers' settings."""

from __future__ import annotations

import json
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
        ('method = "night-break", on = "22:00"', 'add on = "22:00", off = "02:00"'),
        (
            'method = "night-break", on = "22:00", off = "22:00"',
            "on and off of a night break are the same time",
        ),
        ('method = "night-break", on = "24:00", off = "02:00"', "a time of the 24-hour clock"),
        ('method = "night-break", on = 22, off = "02:00"', "a time of the 24-hour clock"),
        ('target_h = 16.0, on = "22:00"', 'add method = "night-break"'),
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
        'method = "night-break", on = "22:00", off = "02:00"',
    ],
)
def test_lamps_that_can_be_are_read(tmp_path: Path, keys: str) -> None:
    ran = run("check", with_lamps(tmp_path / "right.toml", keys))
    assert ran.status == 0, ran.said


def test_the_programme_by_week_with_its_sums_and_cautions(tmp_path: Path) -> None:
    ran = run("lamps", with_lamps(tmp_path / "own.toml", "target_h = 16.0, kw = 0.9, cost_per_kwh = 0.5"))
    assert ran.status == 0, ran.said
    lines = ran.out.splitlines()
    assert lines[0].startswith("H1  day extension to 16 h 00, after sunset; 0.9 kW")
    # Lights on 30 October, the transplant, in the week of Monday the 26th; that day's sunset by PyEphem is 19:13.
    week = next(n for n, line in enumerate(lines) if " on 19:13 off " in line)
    assert lines[week].startswith("  Mon 26 Oct  on 19:13 off 21:")
    # Where a row is too long for its sums they stand below it, whole.
    assert lines[week + 1].startswith("              3 nights  ")
    assert "  cost " in lines[week + 1]
    total = next(line.split() for line in lines if "in all" in line)
    least = next(line.split() for line in lines if "set anew every night" in line)
    assert float(least[4]) < float(total[2])
    hours, kwh, cost = float(total[2]), float(total[4]), float(total[7])
    assert kwh == pytest.approx(0.9 * hours, abs=0.1)
    assert cost == pytest.approx(0.5 * kwh, abs=0.1)
    for word in ("NEC 410.184", "IEC 60364-7-705", "licensed electrician", "by its cord", "Park et al. 2023"):
        assert word in " ".join(lines)
    assert max(map(len, lines)) <= 80


def test_as_json_each_run_is_a_row_of_its_place(season: Path) -> None:
    rows = json.loads(run("lamps", season, "h1", "--json").out)
    assert {"date", "on", "off", "lamp_h", "dark_span_h", "kwh", "place"} <= rows[0].keys()
    assert {row["place"] for row in rows} == {"H1"}
    assert (rows[0]["date"], rows[-1]["date"]) == ("2026-10-30", "2027-02-09")
    assert "2026-11-20" not in {row["date"] for row in rows}  # an outage
    assert rows[0]["kwh"] == pytest.approx(0.9 * rows[0]["lamp_h"], abs=1e-3)


def test_a_night_break_and_a_timer_on_standard_time(tmp_path: Path) -> None:
    keys = 'method = "night-break", on = "22:00", off = "02:00", timer_follows_clock = false'
    path = with_lamps(tmp_path / "break.toml", keys)
    out = run("lamps", path, "H1").out
    assert "night break 22:00 to 02:00; power not set; the timer does not follow" in out
    assert "set the timer, on standard time: on 22:00 off 02:00" in out
    assert "kWh" not in out
    rows = json.loads(run("lamps", path, "--json").out)
    assert {row["kwh"] for row in rows} == {None}
    assert {row["lamp_h"] for row in rows} == {4.0}


@pytest.mark.parametrize(
    ("words", "says"),
    [
        (("F1",), "F1 has no lamps; places with lamps: H1"),
        (("Z9",), '"Z9" is not a place of this season'),
        (("H1", "N1"), "not understood: N1"),
    ],
)
def test_a_place_needs_lamps(season: Path, words: tuple[str, ...], says: str) -> None:
    ran = run("lamps", season, *words)
    assert ran.status == 2
    assert says in ran.err


def test_a_season_without_lamps_is_told_how_to_have_some(tmp_path: Path) -> None:
    path = tmp_path / "dark.toml"
    text = "\n".join(
        line for line in PLAIN.replace(", lights_off = 2027-02-10", "").splitlines() if LAMPS not in line
    )
    path.write_text(text.partition("[[outage]]")[0], encoding="utf-8")
    ran = run("lamps", path)
    assert ran.status == 2
    assert "no place of this season has lamps" in ran.err


def test_lamps_too_short_for_a_cohort_are_told_under_their_place(tmp_path: Path) -> None:
    """amber's critical day is 14 h."""
    short = run("lamps", with_lamps(tmp_path / "short.toml", "target_h = 13.9")).out
    assert "  ! A1 asks for the lamps of H1, which on " in short
    assert "a day of 13 h 54" in " ".join(short.split())
    assert "! A1" not in run("lamps", with_lamps(tmp_path / "long.toml", "target_h = 14.1")).out


def test_nights_of_an_outage_are_marked_in_their_week_and_told_above(season: Path) -> None:
    lines = run("lamps", season, "H1").out.splitlines()
    assert "  Lamps failed on 2 nights, 20 Nov to 21 Nov." in lines
    at = next(n for n, line in enumerate(lines) if line.startswith("  Mon 16 Nov"))
    assert "5 nights" in lines[at]
    assert lines[at + 1].strip() == "! lamps failed on 2 nights, 20 Nov to 21 Nov"
    assert sum("lamps failed" in line for line in lines) == 1
