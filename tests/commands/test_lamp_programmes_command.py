"""The lamps command over a season with periods, covers, lamps by the clock, lamps in turn and a screened place."""

from __future__ import annotations

import json
import tomllib
from pathlib import Path

import pytest
from small_season import PLAIN, line_of, run, swap

OWN = "lamps = { target_h = 16.0, kw = 0.9 }"
BLACKOUT = """
[[programme]]
place = "H1"
from = 2027-01-04
to = 2027-01-24
method = "blackout"
on = "18:00"
off = "08:00"
"""


def season_with(path: Path, lamps: str = OWN, more: str = "", house: str = "", cohort: str = "") -> Path:
    text = swap(OWN, lamps + house)(PLAIN)
    text = swap('place = "H1"\nplants', f'place = "H1"\n{cohort}plants')(text)
    path.write_text(text + more, encoding="utf-8")
    return path


def told(path: Path, *words: str) -> str:
    ran = run("lamps", path, *words)
    assert ran.status == 0, ran.said
    assert max(map(len, ran.out.splitlines())) <= 80
    return " ".join(ran.out.split())


def test_periods_are_listed_and_weeks_of_covers_told_with_the_heat_caution(tmp_path: Path) -> None:
    path = season_with(tmp_path / "covers.toml", more=BLACKOUT)
    out = told(path, "H1")
    for line in (
        "1 Sep to 3 Jan day extension to 16 h 00, after sunset",
        "4 Jan to 24 Jan blackout, covers 18:00 to 08:00",
        "25 Jan to 30 Jun day extension to 16 h 00, after sunset",
        "Mon 4 Jan covers on 18:00 off 08:00 dark 14 h 00 no lamps",
        "about 81 F (27 C) and more under the cloth can delay flowering",
        "A1 asks for the lamps of H1 on 21 nights from 4 Jan of a blackout",
    ):
        assert line in out
    rows = [r for r in json.loads(run("lamps", path, "--json").out) if r["method"] == "blackout"]
    assert len(rows) == 21
    assert {(r["on"], r["off"], r["lamp_h"], r["dark_span_h"], r["kwh"]) for r in rows} == {
        ("18:00", "08:00", 0.0, 14.0, 0.0)
    }


def test_a_season_that_only_has_covers_has_a_sheet(tmp_path: Path) -> None:
    path = season_with(tmp_path / "field.toml", more=BLACKOUT.replace('"H1"', '"F1"'))
    assert told(path, "F1").startswith("F1 blackout, covers 18:00 to 08:00; no lamps")


def test_lamps_in_turn_are_told_with_their_warning_and_a_fifth_of_the_hours(tmp_path: Path) -> None:
    """6 min on, 24 off: Runkle et al. 1998, HortScience 33:672."""
    keys = 'lamps = { method = "night-break", on = "22:00", off = "02:00", cyclic_min = [6, 24], kw = 1.0 }'
    path = season_with(tmp_path / "turns.toml", keys)
    out = told(path, "H1")
    assert "night break 22:00 to 02:00, 6 min on and 24 off in turn; 1 kW" in out
    assert "4 of 6 long-day species" in out
    assert (
        "nothing was found for hemp. Try it on few plants first (Runkle et al. 1998, HortScience 33:672)."
        in out
    )
    rows = json.loads(run("lamps", path, "--json").out)
    assert {(r["method"], r["lamp_h"], r["kwh"]) for r in rows} == {("night-break", 0.8, 0.8)}


def test_lamps_by_the_clock(tmp_path: Path) -> None:
    keys = 'lamps = { method = "clock", on = "05:00", off = "21:00", kw = 0.5, timer_follows_clock = false }'
    out = told(season_with(tmp_path / "clock.toml", keys), "H1")
    assert "lamps by the clock 05:00 to 21:00; 0.5 kW; the timer does not follow the clock change" in out
    assert "on 05:00 off 21:00 dark 8 h 00 112.0 h 56.0 kWh" in out
    # Lights off is on Wednesday 10 February: the last lit evening has no lamps in the morning after it.
    (last,) = (line for line in out.split(" Mon ") if line.startswith("8 Feb"))
    assert "dark 8 h 00" not in last


def test_nights_with_a_natural_day_past_the_target_are_told(tmp_path: Path) -> None:
    out = told(season_with(tmp_path / "long.toml", "lamps = { target_h = 14.1 }"), "H1")
    assert (
        "for which lamps are asked, the natural day is as long as their target or longer: nothing burns."
        in out
    )
    assert "nothing burns" not in told(season_with(tmp_path / "longer.toml"), "H1")


def test_a_screened_place_has_a_sheet_for_each_part(tmp_path: Path) -> None:
    path = season_with(
        tmp_path / "parts.toml", house='\nscreened = ["east", "west"]', cohort='part = "east"\n'
    )
    both, one = told(path, "h1"), told(path, "h1", "EAST")
    assert "0.45 kW, 1 of 2 equal parts of H1" in one
    assert one.startswith("H1 east ")
    assert "H1 west " in both
    assert "H1 west" not in one
    assert "No night with lamps" in both
    assert {r["place"] for r in json.loads(run("lamps", path, "--json").out)} == {"H1 east"}


@pytest.mark.parametrize("words", [("H1 east",), ("h1", "east")])
def test_a_failure_of_one_part_is_recorded_read_and_undone(tmp_path: Path, words: tuple[str, ...]) -> None:
    path = season_with(
        tmp_path / "parts.toml", house='\nscreened = ["east", "west"]', cohort='part = "east"\n'
    )
    before = path.read_bytes()
    ran = run("record", path, *words, "outage", "2027-02-01", "2027-02-03", "--yes", today="2027-02-20")
    assert ran.status == 0, ran.said
    assert "A1: 3 nights without the lamps of H1 east from 1 Feb" in " ".join(ran.out.split())
    assert tomllib.loads(path.read_text())["outage"][-1]["place"] == "H1 east"
    assert run("check", path).status == 0
    assert run("undo", path).status == 0
    assert path.read_bytes() == before


def test_an_outage_of_a_part_that_is_not_there_is_told_with_its_line(tmp_path: Path) -> None:
    more = '\n[[outage]]\nplace = "H1 east"\nfrom = 2027-02-01\nto = 2027-02-02\n'
    path = season_with(tmp_path / "whole.toml", more=more)
    ran = run("check", path)
    assert ran.status == 1
    assert f"whole.toml:{line_of(path.read_text(), 'H1 east')}: " in ran.out
    assert '"H1 east" is not a place of this season' in ran.out


def test_covers_over_one_part_are_read_and_told(tmp_path: Path) -> None:
    parts = {"house": '\nscreened = ["east", "west"]', "cohort": 'part = "east"\n'}
    path = season_with(tmp_path / "half.toml", more=BLACKOUT.replace('"H1"', '"H1 west"'), **parts)
    assert run("check", path).status == 0, run("check", path).said
    rows = json.loads(run("lamps", path, "--json").out)
    assert {(r["place"], r["method"]) for r in rows} == {("H1 east", "extend"), ("H1 west", "blackout")}
    ran = run("record", path, "H1", "esat", "outage", "2027-02-01", today="2027-02-20")
    assert ran.status == 2
    assert '"esat" is not a part of H1; did you mean "east"? Its parts: east, west' in ran.err


def test_covers_with_their_times_swapped_are_told_in_every_place(tmp_path: Path) -> None:
    more = BLACKOUT.replace("18:00", "8").replace("08:00", "18:00").replace('"8"', '"08:00"')
    path = season_with(tmp_path / "swapped.toml", more=more)
    says = "the covers lie over the plants by day, 08:00 to 18:00, when it is light from 05:"
    ran = run("check", path)
    line = line_of(path.read_text(), 'on = "08:00"')
    assert ran.status == 1
    assert f"swapped.toml:{line}: H1: {says}" in ran.out
    assert 'write on = "18:00", off = "08:00"' in ran.out
    assert says in " ".join(run("dates", path, "A1").out.split())
    assert says in told(path, "H1")
    assert "by day" not in run("check", season_with(tmp_path / "right.toml", more=BLACKOUT)).out


@pytest.mark.parametrize(("on", "status"), [("08:30", 1), ("09:00", 0)])
def test_covers_that_leave_less_than_an_hour_of_light_are_a_slip(
    tmp_path: Path, on: str, status: int
) -> None:
    more = BLACKOUT.replace("18:00", on)
    path = season_with(tmp_path / "dark.toml", more=more)
    ran = run("check", path)
    if status:
        line = line_of(path.read_text(), 'off = "08:00"')
        assert f"dark.toml:{line}: programme of H1: " in ran.out
        assert "the covers would lie for 23 h 30 a day, from 08:30 to 08:00: at most 23 h" in ran.out
    assert ("the covers would lie" in ran.out) == bool(status)


@pytest.mark.parametrize(
    ("words", "says"), [(("H1", "north"), "not understood: north"), (("N1",), "N1 has no lamps")]
)
def test_a_part_that_is_not_there_is_refused(tmp_path: Path, words: tuple[str, ...], says: str) -> None:
    path = season_with(
        tmp_path / "parts.toml", house='\nscreened = ["east", "west"]', cohort='part = "east"\n'
    )
    ran = run("lamps", path, *words)
    assert ran.status == 2
    assert says in ran.err


def test_a_clash_of_two_cohorts_is_told_in_full_once(tmp_path: Path) -> None:
    neighbour = """
[[cohort]]
id = "C1"
variety = "amber"
start = "cutting"
place = "H1"
planned = { sticking = 2026-11-10, lights_off = 2027-01-10 }
"""
    path = season_with(tmp_path / "two.toml", more=neighbour)
    both = run("dates", path).out
    assert both.count("C1 is held back") == 1
    assert "  ! also: C1 held back\n" in both
    assert run("dates", path, "C1").out.count("C1 is held back") == 1
    assert "also:" not in run("dates", path, "C1").out
