"""What a day asks: dates to record and decide, failed lamps, work by place, lamps tonight, and what was changed."""

from __future__ import annotations

import json
from pathlib import Path
from typing import Any

import pytest
from small_season import run

from calendar_tui.commands.command_input import who

MORNING = "2026-11-09"


def parts(season: Path, today: str = MORNING) -> dict[str, list[str]]:
    """The lines of each part by its heading; the first line under ""."""
    ran = run("today", season, today=today)
    assert ran.status == 0, ran.said
    found: dict[str, list[str]] = {"": []}
    title = ""
    for line in ran.out.splitlines():
        if line and not line.startswith(" ") and found[""]:
            title = line
            found[title] = []
        elif line:
            found[title].append(line)
    return found


def row(season: Path, today: str = MORNING) -> dict[str, Any]:
    found: dict[str, Any] = json.loads(run("today", season, "--json", today=today).out)
    return found


def test_the_first_line_counts_what_waits(season: Path) -> None:
    first = parts(season)[""][0]
    counts = row(season)["counts"]
    assert first.startswith("Near Fields 2026-27  Mon 9 Nov 2026: ")
    assert (counts["overdue"], counts["due"]) == (2, 0)
    assert f"{counts['overdue']} overdue" in first
    assert f"{counts['to_record']} to record" in first


def test_dates_that_passed_are_to_record_and_dates_that_come_to_decide(season: Path) -> None:
    record = " ".join(" ".join(parts(season)["To record"]).split())
    assert "A1 transplant, planned for 30 Oct, 10 days ago" in record
    assert "D1 seeding, planned for 20 Oct" in record
    assert "emergence" not in record.split("D1")[1]
    assert "To decide" not in parts(season)
    assert parts(season, "2026-11-13")["To decide"] == ["  B1 sticking by Fri 20 Nov, in 7 days"]
    assert parts(season, "2026-11-20")["To decide"] == ["  B1 sticking by Fri 20 Nov, today"]


def test_work_stands_under_its_place_with_its_caution_once(season: Path) -> None:
    work = "\n".join(parts(season)["Work at H1"])
    assert "Fri 30 Oct: A1 H1  Transplant by hand" in work
    assert work.count("Caution: Heat: water and shade.") == 1
    run("record", season, "A1", "transplant", "2026-11-08", "--yes", "--lights-off", "hold")
    assert "Scout" not in "".join(parts(season)["Work at H1"])
    assert parts(season, "2026-11-15")["Work at H1"][-1].endswith("A1 H1  Scout pests (scout, ~0.5 h)")


def test_lamps_of_every_place_where_plants_stand_are_set_tonight(season: Path) -> None:
    """Natural day 13 h 50 or so at 34.3 S in November: lamps extend it to 16 h after sunset."""
    (lamps,) = parts(season)["Lamps tonight"]
    assert lamps.startswith("  H1: on 19:")
    assert lamps.endswith(", for A1")
    assert parts(season, "2026-11-20")["Lamps tonight"] == ["  H1: off; tonight is recorded as an outage"]
    assert "Lamps tonight" not in parts(season, "2026-09-02")


def test_nights_on_which_lamps_failed_are_shown_for_two_weeks(season: Path) -> None:
    assert parts(season, "2026-11-22")["Lamps that failed"] == [
        "  H1: 2 nights, 20 Nov to 21 Nov; no harm done"
    ]
    assert row(season, "2026-11-22")["failed"] == [
        {"light": "H1", "first": "2026-11-20", "last": "2026-11-21", "nights": 2, "harmless": True}
    ]
    assert "Lamps that failed" not in parts(season, "2026-12-06")
    assert parts(season, "2026-12-05")["Lamps that failed"] == ["  H1: the night of 21 Nov; no harm done"]


@pytest.fixture
def monday(monkeypatch: pytest.MonkeyPatch) -> None:
    """Saves are dated 9 Nov 2026, 14:00 UTC: eleven in the morning at the site."""
    from datetime import UTC, datetime

    monkeypatch.setattr(
        "calendar_tui.commands.command_input.now", lambda: datetime(2026, 11, 9, 14, 0, tzinfo=UTC)
    )


@pytest.mark.usefixtures("monday")
def test_changes_since_yesterday_are_named_with_who_made_them(season: Path) -> None:
    run("record", season, "A1", "transplant", "2026-11-08", "--yes", "--lights-off", "hold")
    (change, *_) = parts(season)["Changed since yesterday"]
    assert change.startswith(f"  Mon 11:00 {who()}: A1 transplant recorded Sun 8 Nov 2026")
    assert [c["who"] for c in row(season)["changed"]] == [who()]
    assert "Changed since yesterday" in parts(season, "2026-11-10")
    assert "Changed since yesterday" not in parts(season, "2026-11-11")
    run("undo", season)
    assert "Changed since yesterday" not in parts(season)


def test_a_day_on_which_nothing_waits(tmp_path: Path) -> None:
    path = tmp_path / "quiet.toml"
    lines = ['format = 3\n[season]\nname = "Quiet"\nfirst_day = 2026-09-01\nlast_day = 2027-06-30']
    lines += ['[site]\nlatitude = -34.3\nlongitude = -56.7\ntimezone = "America/Montevideo"\n']
    path.write_text("\n".join(lines))
    assert run("today", path).out == "Quiet  Mon 9 Nov 2026: nothing waits\n"


def test_more_words_are_refused(season: Path) -> None:
    ran = run("today", season, "A1")
    assert ran.status == 2
    assert "A1" in ran.err


def test_after_a_failure_of_lamps_the_tips_are_to_be_looked_at(season: Path) -> None:
    run(
        "record",
        season,
        "A1",
        "transplant",
        "2026-11-08",
        "--yes",
        "--lights-off",
        "hold",
        today="2026-11-09",
    )
    dark = run("record", season, "H1", "outage", "2027-01-20", "2027-02-08", "--yes", today="2027-02-09")
    assert dark.status == 0, dark.said
    relight = " ".join(" ".join(parts(season, "2027-02-09")["To relight"]).split())
    assert "look at the tips from " in relight
    assert relight.endswith("Record induced, or that it is not there yet")
    assert "To look at" not in parts(season, "2027-02-09")
    run("record", season, "A1", "induced", "2027-02-08", "--yes", today="2027-02-09")
    assert "To relight" not in parts(season, "2027-02-09")


def test_after_dark_nights_the_first_part_is_to_relight_with_the_last_night_to_act(season: Path) -> None:
    text = season.read_text().replace("lights_off = 2027-02-10", "lights_off = 2027-05-20")
    season.write_text(text)
    nights = ("H1", "outage", "2027-03-10", "2027-03-11")
    assert run("record", season, *nights, "--yes", today="2027-03-12").status == 0
    found = parts(season, "2027-03-12")
    assert list(found)[:2] == ["", "To relight"]
    words = " ".join(" ".join(found["To relight"]).split())
    assert words.startswith("urgent: A1, relight tonight: no harm done")
    assert "(H1 dark 10 Mar to 11 Mar); last night to act " in words
    (waiting,) = row(season, "2027-03-12")["to_relight"]
    assert (waiting["cohorts"], waiting["place"]) == (["A1"], "H1")
    assert waiting["last_night"] > "2027-03-12"
    assert waiting["text"] == words
